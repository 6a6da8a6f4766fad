"""The current in each branch of the wiring, for a drawing of it.

Nothing in the cycle depends on it: which load works is said by :func:`~dryermodel.machine.circuit.energise`.
The drive motor's current is not here, because its winding is no resistance.

References
----------
.. [1] Ohm's and Kirchhoff's laws on the circuit drawn in :mod:`dryermodel.machine.circuit`.
"""

from __future__ import annotations

from typing import NamedTuple

from dryermodel.machine.circuit import Circuit, Contacts, Voltages, section_closed, voltages


class Currents(NamedTuple):
    """Current in each branch [A], from line to neutral."""

    heat_feed: float  # timer heat contact
    section: float  # contacts that the timer motor lies across
    timer_across: float  # timer motor, across that section
    timer_direct: float  # timer motor, straight from the line
    chain: float  # what lies between the section and the burner
    holding: float
    flame_sensor: float
    main_coil: float
    igniter: float
    assist: float
    heater: float
    heat_return: float  # centrifugal contact's second pole


def currents(c: Contacts, k: Circuit) -> Currents:
    """Currents as the contacts stand.

    Parameters
    ----------
    c : Contacts
        The contacts. Timer heat and timer direct both closed in auto is left out: no cam does that.
    k : Circuit
        Resistances and wiring.

    Examples
    --------
    Burner lit, the thermostat closed: nothing in the timer motor. The thermostat open: the timer motor's
    few hundredths of an ampere are all that the burner gets.

    >>> k = Circuit(120.0, 4000.0, 45.0, 1300.0, 560.0, 1300.0, 0.0, 0.6, False)
    >>> c = Contacts(True, True, True, True, False, True, True, False, False, True, *[True] * 3, False, True)
    >>> lit = currents(c, k)
    >>> lit.timer_across, round(lit.main_coil, 3)
    (0.0, 0.089)
    >>> off = currents(c._replace(exhaust_thermostat=False, flame_sensor=True), k)
    >>> round(off.timer_across, 3), round(off.igniter, 3), off.section
    (0.03, 0.027, 0.0)
    """
    v = voltages(c, k)
    gas = k.heater <= 0.0
    holding = v.burner / k.holding if gas else 0.0
    igniter = v.lower / k.igniter if gas else 0.0
    assist = v.lower / k.assist if gas else 0.0
    main_coil = v.main_coil / k.main_coil if gas else 0.0
    heater = v.burner / k.heater if not gas else 0.0
    burner = holding + igniter + assist + heater
    timer = timer_currents(c, k, v)
    section = burner if section_closed(c, k) else 0.0
    through_sensor = igniter + assist - main_coil if c.flame_sensor else 0.0
    back = burner + timer.direct
    return Currents(
        burner, section, timer.across, timer.direct, burner,
        holding, through_sensor, main_coil, igniter, assist, heater, back,
    )  # fmt: skip


class TimerCurrents(NamedTuple):
    """Current of the timer motor by the way it is connected [A]."""

    across: float
    direct: float


def timer_currents(c: Contacts, k: Circuit, v: Voltages) -> TimerCurrents:
    """Current of the timer motor, across the section or straight from the line."""
    timer = v.timer / k.timer
    return TimerCurrents(0.0, timer) if c.timer_direct else TimerCurrents(timer, 0.0)
