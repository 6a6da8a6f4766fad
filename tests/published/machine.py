"""Published values of whole machines: the energy tests, usual practice, and one machine that was logged."""

from __future__ import annotations

from functools import cache

from scipy.optimize import brentq

from dryermodel.cycle.engine.equations import flows
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import start_moisture
from dryermodel.cycle.result import CycleResult
from dryermodel.physics.airflow import Flows
from dryermodel.readings.single import CycleReadings
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.vocabulary import known
from tests.cycle.cases import KWH, TEST_VENT, degF, energy, parameters, run, to_four_percent
from tests.physics.vents import CFM, FOOT, INH2O, STANDARD_DENSITY
from tests.published.check import ELSEWHERE, FITTED, MEMORY, PRACTICE, PUBLISHED, QUOTED, Check, within

RULE = "10 CFR 430.32(h), its field-use factor removed"
LOG = "a public plug-meter log of one gas dryer with electronic control, own reading"


def on_cold_air(p: Parameters) -> Flows:
    """Flows as a technician measures them without a load."""
    return flows(p, 1.0, start_moisture(p), STANDARD_DENSITY, STANDARD_DENSITY)


def outlet_static(length_ft: float, turns: int) -> float:
    """Static [in w.c.] of the standard machine on a vent of the chart."""
    p = parameters()._replace(vent_length=length_ft * FOOT, vent_minor_loss=0.6 * turns + 1.1)
    return on_cold_air(p).collar_pressure / INH2O


def outlet_flow() -> float:
    """Flow [cfm] of the standard machine throttled to 0.75 in w.c."""

    def at(factor: float) -> Flows:
        return on_cold_air(parameters(*TEST_VENT)._replace(vent_resistance_factor=factor))

    factor = brentq(lambda x: at(x).collar_pressure / INH2O - 0.75, 0.5, 5.0)
    return at(factor).total / STANDARD_DENSITY / CFM


def leakage() -> float:
    """Share of the blower's flow that does not pass the burner [%]."""
    f = on_cold_air(parameters())
    return 100.0 * (f.drum_seal + f.gasket) / f.total


def to_four() -> CycleResult:
    """The test load of 2015 on the vent that stands for the test's."""
    return to_four_percent(*TEST_VENT)


def of_1994() -> CycleResult:
    """The test load of 1994."""
    return to_four_percent(*TEST_VENT, "load.dry_mass=7 lb", "load.initial_moisture=70 %")


def to_two() -> CycleResult:
    """The test load, dried to 2 %."""
    return run(*TEST_VENT, "controls.stop_at_moisture=2 %")


def bulk(r: CycleResult, name: str) -> float:
    """A number half way through drying."""
    found = r.bulk
    assert found is not None
    return found[name]


@cache
def family(*settings: str) -> CycleReadings:
    """Readings of the family load."""
    return CycleReadings(simulate(load_scenario("family_load", settings)))


ENERGY = [
    Check(
        "energy of the test load, 57.5 to 4 %, limit of 2015",
        *within(8.45 / 3.30 / 1.04, 0.05),
        8.45 / 3.30 / 1.04,
        3,
        "kWh",
        RULE,
        QUOTED,
        lambda: energy(to_four()) / KWH,
        FITTED,
    ),
    Check(
        "energy of 7 lb, 70 to 4 %, limit of 1994",
        *within(7.0 / 2.67 / 1.04, 0.05),
        7.0 / 2.67 / 1.04,
        3,
        "kWh",
        RULE,
        MEMORY,
        lambda: energy(of_1994()) / KWH,
        FITTED,
    ),
    Check(
        "energy of the test load to 2 %, the later limit",
        *within(8.45 / 3.48, 0.05),
        8.45 / 3.48,
        3,
        "kWh",
        "as reported of the 2022 proposal",
        QUOTED,
        lambda: energy(to_two()) / KWH,
        missed="no target for the same machine: it asks for a better one",
    ),
    Check(
        "burner time to 4 %",
        21.0,
        24.0,
        None,
        1,
        "min",
        "the same energy over 22,000 Btu/h",
        QUOTED,
        lambda: to_four().burner_time / 60.0,
        FITTED,
    ),
    Check(
        "energy per water, stopped at dryness",
        1.15,
        1.30,
        None,
        2,
        "kWh/kg",
        RULE,
        QUOTED,
        lambda: energy(to_four()) / to_four().water_removed / KWH,
        FITTED,
    ),
    Check(
        "electric share of a full cycle's energy",
        6.5,
        7.5,
        7.0,
        1,
        "%",
        "ANSI/RESNET 301, a convention",
        PUBLISHED,
        lambda: 100.0 * run().electric_energy / energy(run()),
        missed="the motor takes less as the water leaves, and the igniter is quick",
    ),
    Check(
        "energy spent beyond 4 %, share of the cycle's",
        0.0,
        62.0,
        None,
        0,
        "%",
        "PNNL-23616, 2014: 20 % on average, up to 62 %",
        PUBLISHED,
        lambda: 100.0 * (1.0 - energy(to_four_percent()) / energy(run())),
    ),
]

HEALTHY = [
    Check(
        "static at the collar in bulk drying, 20 ft and two elbows",
        0.5,
        0.7,
        None,
        2,
        "in w.c.",
        "service manuals' limits and usual values",
        PUBLISHED,
        lambda: bulk(run(*TEST_VENT), "vent_static_Pa") / INH2O,
    ),
    Check(
        "exhaust in bulk drying",
        100.0,
        135.0,
        None,
        0,
        "degF",
        "the trade",
        PRACTICE,
        lambda: degF(bulk(run(), "exhaust_temp_K")),
    ),
    Check(
        "air that does not pass the burner",
        20.0,
        60.0,
        None,
        0,
        "%",
        "OSTI 1649634, other machines",
        PUBLISHED,
        leakage,
        ELSEWHERE,
        "a tight machine, fitted to 15 to 20 %",
    ),
    Check(
        "igniter on before the flame",
        12.0,
        16.0,
        None,
        1,
        "s",
        LOG,
        PUBLISHED,
        lambda: known(family(), "ignition_delay_mean"),
        ELSEWHERE,
    ),
    Check(
        "heat off at a thermostat opening, late, differential 25 degF",
        1.3,
        2.2,
        None,
        1,
        "min",
        LOG,
        PUBLISHED,
        lambda: known(family("machine.exhaust_cut_in=130 degF"), "heat_off_late") / 60.0,
        ELSEWHERE,
    ),
    Check(
        "burns of a family load",
        8.0,
        11.0,
        None,
        0,
        "",
        LOG,
        PUBLISHED,
        lambda: known(family(), "burner_cycles"),
        ELSEWHERE,
    ),
    Check(
        "electricity of a family load",
        0.165,
        0.217,
        None,
        3,
        "kWh",
        LOG,
        PUBLISHED,
        lambda: known(family(), "electric_energy") / KWH,
        ELSEWHERE,
        "by half a percent; other loads, 43 to 52 min there, 49 min here",
    ),
]
