"""The wiring: which loads a set of contacts energises, by voltage and current.

Nothing here knows about heat or dryness. The timer motor of an automatic cycle lies across the
thermostat contacts, in series with the burner circuit::

    line -- timer main -+-- start | hold -- MOTOR ------------------------ door -- neutral
                        |
                        +-- timer heat -- heat select -- A
                        +-- timer direct -- TIMER MOTOR -- return

    A --+-- thermostat section --+-- rest of chain -- BURNER -- return
        +------ TIMER MOTOR -----+                              return = centrifugal -- door -- neutral

Section closed: both ends of the timer motor are at line potential, no current flows through it,
the burner has the voltage. Section open: the burner circuit is a few hundred ohm or less against
the timer motor's thousands, so the timer motor has the voltage and the burner next to none. Which
contacts form the section is a matter of the machine's wiring.

The burner circuit of a gas machine, again with one contact that shunts one load::

    feed --+-- HOLDING COIL ------------------------------------ return
           +-- flame sensor --+--+-- IGNITER ------------------- return
           +-- MAIN COIL -----+  +-- ASSIST COIL --------------- return

Sensor closed: the main coil is shunted, igniter and assist coil have the voltage. Sensor open: the
main coil is in series with the igniter, whose resistance is small, so the main coil has it.

References
----------
.. [1] Common practice of the trade; no single published source. The circuit laws are Kirchhoff's.
"""

from __future__ import annotations

from typing import NamedTuple

DOOR_OPENED, DOOR_CLOSED, START_PRESSED, POWER_CUT, POWER_BACK = 0, 1, 2, 3, 4
"""What can happen to a running machine from outside (interruptions of a cycle)."""


class Contacts(NamedTuple):
    """Every contact of the machine; true is closed (conducting)."""

    supply: bool  # the house's, at the plug
    door: bool
    timer_main: bool
    timer_heat: bool
    timer_direct: bool  # feeds the timer motor straight from the line
    automatic: bool  # cycle select: timer motor connected across the thermostat section
    heat_select: bool  # open for air only
    low_heat: bool  # temperature select: bias heater connected
    start: bool
    centrifugal: bool  # closed by the running motor: hold path and neutral of the heat circuit
    exhaust_thermostat: bool
    high_limit: bool
    thermal_cutoff: bool
    flame_sensor: bool
    main_coil_whole: bool  # the coil's winding, open when it fails hot


class Circuit(NamedTuple):
    """What does not change during a cycle: resistances and wiring."""

    line_voltage: float  # [V]
    timer: float  # [ohm]
    igniter: float  # [ohm]
    holding: float  # [ohm]
    assist: float  # [ohm]
    main_coil: float  # [ohm]
    heater: float  # [ohm] electric heater, 0 for a gas machine
    pull_in_share: float  # [1]
    whole_chain: bool  # the section includes high limit and thermal cut-off


class Energised(NamedTuple):
    """Loads that have enough voltage to work, and the power each branch draws [W]."""

    motor: bool
    timer_motor: bool
    heat_call: bool  # the heat circuit is fed, whatever the thermostats do
    burner_feed: bool
    holding: bool
    assist: bool
    igniter: bool
    main_coil: bool
    heater: bool
    bias_heater: bool
    timer_power: float
    igniter_power: float
    valve_power: float


class Voltages(NamedTuple):
    """Voltage across each load of the heat circuit [V]."""

    timer: float
    burner: float  # the whole burner circuit, and with it the holding coil or the electric heater
    lower: float  # igniter and assist coil
    main_coil: float


def parallel(a: float, b: float) -> float:
    """Resistance of `a` and `b` in parallel [ohm].

    Examples
    --------
    >>> parallel(60.0, 30.0)
    20.0
    """
    return a * b / (a + b)


def power(voltage: float, resistance: float) -> float:
    """Power of a resistance across a voltage [W].

    Examples
    --------
    >>> power(120.0, 60.0)
    240.0
    """
    return voltage * voltage / resistance


def burner_resistance(c: Contacts, k: Circuit) -> float:
    """Resistance of the burner circuit as the contacts stand [ohm].

    Parameters
    ----------
    c : Contacts
        Only `flame_sensor` and `main_coil_whole` matter.
    k : Circuit
        Resistances [ohm].
    """
    if k.heater > 0.0:
        return k.heater
    lower = parallel(k.igniter, k.assist)
    if c.flame_sensor:
        return parallel(k.holding, lower)
    if c.main_coil_whole:
        return parallel(k.holding, k.main_coil + lower)
    return k.holding


def energise(c: Contacts, k: Circuit) -> Energised:
    """Contacts to energised loads.

    Parameters
    ----------
    c : Contacts
        The contacts.
    k : Circuit
        Resistances and wiring.

    Returns
    -------
    Energised
        Loads above the pull-in share of line voltage, and the power of the resistive ones.
    """
    v = voltages(c, k)
    motor = motor_fed(c)
    heat_call = heat_called(c)
    enough = k.pull_in_share * k.line_voltage
    gas = k.heater <= 0.0
    igniter_power = power(v.lower, k.igniter) if gas else 0.0
    valve_power = (
        power(v.burner, k.holding) + power(v.lower, k.assist) + power(v.main_coil, k.main_coil)
        if gas
        else 0.0
    )
    return Energised(
        motor,
        v.timer >= enough,
        heat_call,
        v.burner >= enough,
        gas and v.burner >= enough,
        gas and v.lower >= enough,
        gas and v.lower >= enough,
        gas and v.main_coil >= enough,
        (not gas) and v.burner >= enough,
        c.low_heat and heat_call,
        power(v.timer, k.timer),
        igniter_power,
        valve_power,
    )


def motor_fed(c: Contacts) -> bool:
    """Whether the drive motor has line voltage."""
    return c.supply and c.timer_main and c.door and (c.start or c.centrifugal)


def heat_called(c: Contacts) -> bool:
    """Whether the heat circuit is fed and has its return, whatever the thermostats do."""
    return c.supply and c.timer_main and c.timer_heat and c.heat_select and c.door and c.centrifugal


def section_closed(c: Contacts, k: Circuit) -> bool:
    """Whether the contacts that the timer motor lies across in auto are all closed."""
    return c.exhaust_thermostat and ((c.high_limit and c.thermal_cutoff) or not k.whole_chain)


def voltages(c: Contacts, k: Circuit) -> Voltages:
    """Voltage across each load of the heat circuit as the contacts stand.

    Parameters
    ----------
    c : Contacts
        The contacts.
    k : Circuit
        Resistances and wiring.
    """
    burner = burner_resistance(c, k)
    across_timer = 0.0
    across_burner = 0.0
    if heat_called(c) and ((c.high_limit and c.thermal_cutoff) or k.whole_chain):
        if section_closed(c, k):
            across_burner = k.line_voltage
        elif c.automatic:
            across_timer = k.line_voltage * k.timer / (k.timer + burner)
            across_burner = k.line_voltage - across_timer
    if c.supply and c.timer_main and c.door and c.centrifugal and c.timer_direct:
        across_timer = k.line_voltage

    lower = parallel(k.igniter, k.assist)
    across_lower = across_burner
    across_main = 0.0
    if not c.flame_sensor:
        if c.main_coil_whole:
            across_main = across_burner * k.main_coil / (k.main_coil + lower)
            across_lower = across_burner - across_main
        else:
            across_lower = 0.0
    return Voltages(across_timer, across_burner, across_lower, across_main)
