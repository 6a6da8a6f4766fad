"""What a fault amounts to and who may mend it, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dryermodel.scenario.faults import Fault

IN_SI = {"delta_degF": "delta_degC", "inH2O": "Pa", "ft": "m"}
"""Metric unit of a fault's quantity, where it has another."""

QUALIFIED = "a qualified person where local rules say so: it is work on the gas side"
ANYONE = "no gas work; unplugged, by whoever is at home with it"
OUTSIDE = "no gas work; outside the dryer"


def fault_amount(fault: Fault, severity: float, si: bool = False) -> str:
    """What a severity means, as it is printed.

    Parameters
    ----------
    fault : Fault
        Of the catalogue.
    severity : float
        0 to 1 [1].
    si : bool
        Metric units.

    Examples
    --------
    >>> from dryermodel.scenario.faults import catalogue
    >>> drift = catalogue()["thermostat_drift"]
    >>> fault_amount(drift, 0.6), fault_amount(drift, 0.6, si=True)
    ('18 degF', '10 degC')
    """
    text = fault.at(severity)
    if fault.graded and text != fault.at_0:
        from dryermodel import units

        unit = IN_SI.get(fault.unit, fault.unit) if si else fault.unit
        text = units.format(fault.amount(severity), unit, 3)
    return text.replace("delta_deg", "deg").replace("inH2O", "in w.c.")


def who(fault: Fault) -> str:
    """Return who may do the work.

    Parameters
    ----------
    fault : Fault
        Of the catalogue.

    Examples
    --------
    >>> from dryermodel.scenario.faults import catalogue
    >>> who(catalogue()["overload"])
    'no gas work; outside the dryer'
    """
    if fault.licensed:
        return QUALIFIED
    return ANYONE if fault.dryer_at_fault else OUTSIDE
