"""Any machine a scenario may describe: no exception, nothing unphysical, balances closed."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, reject, settings
from hypothesis import strategies as st

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine.equations import PICK_UP_FLOW
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.reasons import EndReason
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.errors import InputError
from dryermodel.scenario import convert
from dryermodel.scenario.files import Layer
from dryermodel.scenario.interruptions import CODES
from dryermodel.scenario.merge import merge
from dryermodel.scenario.schema import ScenarioModel, keys, rule_of
from tests.cycle.cases import parameters
from tests.strategies import number_and_unit, scenarios

LENGTH = 1800.0  # s; what goes wrong goes wrong early, and time is short

SKIPPED = ("controls.rel_tolerance",)


def model_of(raw: dict[str, dict[str, Any]]) -> ScenarioModel:
    """The checked scenario; what the reader refuses is not admissible (set points a rounding apart)."""
    try:
        return merge([Layer("drawn", raw)]).model
    except InputError:
        reject()


def short(p: Parameters) -> Parameters:
    return p._replace(time_limit=min(p.time_limit, LENGTH))


def check(r: CycleResult) -> None:
    """What holds for every cycle."""
    p, states = r.parameters, r.trajectory.state
    assert np.isfinite(states).all()
    assert np.isfinite(r.trajectory.rate).all()
    kinds = Y.MOISTURE + Y.PER_PIECE * np.arange(Y.MOST_PIECES)
    assert states[:, kinds].min() > -1e-9
    assert 0.0 <= r.cycle_time <= p.time_limit
    check_temperatures(r)
    check_sums(r)
    check_end(r)


def check_temperatures(r: CycleResult) -> None:
    """Nothing is colder than the coldest start or its wet bulb, nothing hotter than the burner makes it."""
    p, states = r.parameters, r.trajectory.state
    coldest = min(p.room_temp, p.load_temp) - 60.0
    hottest = burner_air(r) + 1.0
    for column in (Y.METAL_TEMP, Y.HOUSING_TEMP, Y.CHAMBER_TEMP, Y.EXHAUST_ELEMENT, Y.HIGH_LIMIT_ELEMENT):
        assert states[:, column].min() > coldest
        assert states[:, column].max() < hottest
    # The error of one step of a quick coil, within the tolerance of 10 K times 1e-5 and a few steps.
    assert states[:, Y.COIL_TEMP].max() <= p.room_temp + p.coil_rise + 1e-3
    for t in np.linspace(0.0, r.cycle_time, 15):
        a = r.air(float(t))
        assert coldest < a.load.temp < hottest
        assert coldest < a.exhaust.air.temp < hottest
        assert a.burner.air.temp < hottest
        assert min(a.flows.burner, a.flows.drum, a.flows.exhaust) > 0.0
        assert a.exhaust.air.humidity_ratio >= 0.0


SORPTION = 15.0  # K; water that moves from wet cloth to dry is bound there, and sets that heat free


def burner_air(r: CycleResult) -> float:
    """A bound on any temperature: all heat there is into the least air that can pass, or the hot load."""
    p = r.parameters
    heat = p.firing_rate + p.motor_power + p.line_voltage**2 / p.igniter_resistance
    taken = p.natural_draught / (p.natural_draught + PICK_UP_FLOW)  # of the shell's loss, which comes back
    hot = heat / (1006.0 * p.natural_draught) / (1.0 - p.cabinet_share * taken)
    # Dry cloth in damp air takes up water, and is warmed by all the heat that its vapour brought.
    damp = 2.5e6 * p.room_humidity_ratio / 1006.0
    return max(p.room_temp + hot + damp, p.load_temp + SORPTION)


def check_sums(r: CycleResult) -> None:
    p, final = r.parameters, r.final
    assert abs(r.balance_water) < 1e-6
    assert abs(r.balance_energy) < 1e-6
    assert final[Y.GAS_ENERGY] >= 0.0
    assert final[Y.ELECTRIC_ENERGY] >= 0.0
    assert 0.0 <= r.burner_time <= r.cycle_time + 1e-9
    assert 0.0 <= r.timer_time <= r.cycle_time + 1e-9
    assert final[Y.GAS_ENERGY] <= p.firing_rate * r.cycle_time * (1.0 + 1e-9)
    assert final[Y.DIAL] <= p.dial_heat + p.dial_cool_down + 1e-9


def check_end(r: CycleResult) -> None:
    p, tr = r.parameters, r.trajectory
    assert tr.time[-1] == r.cycle_time
    if r.end is EndReason.DIAL_RAN_OUT:
        assert float(r.final[Y.DIAL]) == pytest.approx(p.dial_heat + p.dial_cool_down, abs=1e-6)
    elif r.end is EndReason.MOISTURE_REACHED:
        assert r.final_moisture <= p.stop_moisture + 1e-9
    elif r.end is EndReason.SCORCHED:
        assert Y.hottest(r.final, r.constants.pieces) >= p.scorch_temp - 1e-6
    elif r.end is EndReason.STOPPED:
        assert not r.sample([r.cycle_time])["motor"][0]
    else:
        assert r.cycle_time == p.time_limit
        if r.end is EndReason.NEVER_CUTS_OUT:
            assert math.isnan(r.outcome.first_cut_out_s)
            assert r.timer_time == 0.0


NEARLY_NO_DIAL = {
    "machine": {
        "drum_metal_mass": "1 kg",
        "drum_specific_heat": "300 J/(kg K)",
        "drum_conductance": "0.0 W/K",
        "cabinet_conductance": "0.0 W/K",
        "cabinet_share": "0 %",
        "seal_from_cabinet": "0 %",
        "housing_mass": "0.1 kg",
    },
    "controls": {"program": "timed", "dial_heat": "5e-324 min"},
}

DAMP_ROOM = {
    "machine": {
        "transfer_conductance": "0.33 kg/s",
        "least_uptake": "0 %",
        "reference_load": "1 lb",
        "small_load_exponent": "2",
        "overload_mass": "29 kg",
    },
    "vent": {"joint_leak": "300 cm2"},
    "load": {
        "temperature": "0 degF",
        "pieces": [
            {"name": "a", "share": "32 %", "critical_moisture": "100 %", "exposure": "5"},
            {"name": "b", "share": "44 %", "critical_moisture": "100 %", "initial_moisture": "142 %"},
            {"name": "c", "share": "24 %", "exposure": "1.5", "initial_moisture": "1 %"},
        ],
    },
    "room": {"volume": "1 m3", "depressurisation": "1 inH2O"},
}
"""What leaves the vent's joint would fill the room within seconds."""

SORBING = {
    "machine": {"drum_conductance": "0 W/K", "housing_conductance": "0 W/K"},
    "load": {"dry_mass": "0.2 lb", "initial_moisture": "1 %", "temperature": "110 degF"},
    "room": {"temperature": "120 degF", "relative_humidity": "100 %"},
    "controls": {"program": "air only"},
}
"""Dry cloth in damp air, warmed beyond everything about it by the water it takes up."""


# Some 12 draws a second on a quiet core, many of them slower than that: 80 take some ten seconds, and
# what a draw has once shown to be wrong stays as an example or a corner below.
@settings(
    max_examples=80,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(scenarios(skip=SKIPPED))
@example(NEARLY_NO_DIAL)
@example(DAMP_ROOM)
@example(SORBING)
def test_any_admissible_scenario(raw: dict[str, dict[str, Any]]) -> None:
    """Drawn from the ranges of the schema itself, ends included."""
    model = model_of(raw)
    events = tuple((e.at, CODES[e.what]) for e in model.controls.interruptions)
    check(run_cycle(short(convert.to_parameters(model)), events))


def from_nought(key: str) -> bool:
    """Whether a key is a quantity whose range begins at nought."""
    rule = rule_of(key)
    return rule is not None and rule.kind not in ("count", "number") and number_and_unit(rule.low)[0] == 0.0


REACHED = {
    "burner.heater_power": ("machine.heat=electric",),
    "controls.timed_length": ("controls.program=timed",),
    "machine.dial_less_dry": ("controls.dryness=less dry",),
    "machine.dial_very_dry": ("controls.dryness=very dry",),
    "machine.cool_down": ("controls.program=timed", "controls.dial_heat=1 min"),
}
"""What it takes for a key to matter within two minutes."""


@pytest.mark.parametrize("key", [key for key in keys() if from_nought(key)])
def test_next_to_nothing_is_nothing(key: str) -> None:
    """The smallest number there is, where nought is admissible: no time or slope made of it overflows."""
    rule = rule_of(key)
    assert rule is not None
    unit = number_and_unit(rule.low)[1]
    basis = ["controls.time_limit=2 min", *REACHED.get(key, ())]
    tiny, none = (run_cycle(parameters(*basis, f"{key}={n} {unit}")) for n in ("5e-324", "0"))
    check(tiny)
    assert tiny.cycle_time == pytest.approx(none.cycle_time, abs=1e-6)


CORNERS: dict[str, tuple[str, ...]] = {
    "a handkerchief": ("load.dry_mass=0.2 lb",),
    "a hot handkerchief": ("load.dry_mass=0.2 lb", "load.temperature=160 degF"),
    "a handkerchief well exposed": ("load.dry_mass=0.2 lb", "machine.transfer_conductance=1 kg/s"),
    "a handkerchief over a furnace": ("load.dry_mass=0.2 lb", "burner.firing_rate=200000 Btu/h"),
    "orifice of three tenths": ("burner.orifice=0.3 in",),
    "all that fits, soaking": ("load.dry_mass=40 lb", "load.initial_moisture=200 %"),
    "hardly damp": ("load.initial_moisture=1 %",),
    "tropics at altitude": (
        "room.temperature=120 degF", "room.relative_humidity=100 %", "room.altitude=15000 ft",
    ),
    "arctic and bone-dry air": ("room.temperature=-20 degF", "room.relative_humidity=0 %"),
    "frozen load": ("load.temperature=0 degF",),
    "no blower": ("air.fan_speed=0 %",),
    "vent blocked": ("vent.open_area=0 %",),
    "held shut by wind": ("air.fan_dead_head=0.1 inH2O", "room.depressurisation=1 inH2O"),
    "blowing into the room": ("vent.joint_leak=300 cm2", "vent.flap_pressure=2 inH2O", "room.volume=1 m3"),
    "nothing on": ("machine.motor_power=0 W", "machine.heat=electric", "burner.heater_power=0 W"),
    "no dial": ("controls.dial_heat=0 min", "machine.cool_down=0 min"),
    "quick elements": ("machine.exhaust_lag=5 s", "machine.high_limit_lag=5 s", "vent.resistance_factor=8"),
}  # fmt: skip


@pytest.mark.parametrize("overrides", CORNERS.values(), ids=CORNERS.keys())
def test_corners(overrides: tuple[str, ...]) -> None:
    """The ends of the ranges that are hardest on the integrator, each by itself."""
    r = run_cycle(short(parameters(*overrides)))
    check(r)
    assert r.outcome.rejected_steps <= r.outcome.steps + 10.0


@pytest.mark.parametrize(
    ("column", "value"),
    [(Y.MOISTURE, -1e-6), (Y.METAL_TEMP, 150.0), (Y.EXHAUST_ELEMENT, 1e5), (Y.LOAD_ENTHALPY, math.nan)],
)
def test_the_checks_can_fail(column: int, value: float) -> None:
    """One spoiled number in one row of a good run is caught."""
    good = run_cycle(parameters()._replace(time_limit=300.0))
    check(good)
    good.trajectory.state[20, column] = value
    with pytest.raises(AssertionError):
        check(good)


def test_the_sums_can_fail() -> None:
    good = run_cycle(parameters()._replace(time_limit=300.0))
    good.final[Y.GAS_ENERGY] *= 1.001
    with pytest.raises(AssertionError):
        check(good)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.floats(0.0, 1.0), st.floats(0.01, 1.0))
def test_more_vent_resistance_never_means_more_air(share: float, more: float) -> None:
    p = parameters()._replace(time_limit=60.0)
    a, b = (run_cycle(p._replace(vent_resistance_factor=1.0 + 19.0 * s)) for s in (share, share + more))
    assert b.air(50.0).flows.exhaust < a.air(50.0).flows.exhaust
