"""What may be changed on the lesson's machine: sliders, kinds of cloth and their mixes, the wiring."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from dryermodel import units
from dryermodel.cycle.engine import parameters as P
from dryermodel.scenario.convert import pieces, without_faults
from dryermodel.scenario.fault_moves import MOVES
from dryermodel.scenario.model import Scenario
from dryermodel.scenario.pieces import kinds, read_pieces
from dryermodel.scenario.schema import ScenarioModel
from dryermodel.show.pages.pocket.faults import move_data
from dryermodel.show.pages.shared.sliders import Control
from dryermodel.show.pages.shared.units import unit_data

PIECE_FIELDS = tuple(field for field in P.Parameters._fields if field.startswith("piece_"))
"""Parameters that hold one number a kind of cloth."""


class Setting(NamedTuple):
    """One slider of the lesson."""

    control: Control
    group: str
    field: str = ""  # parameter that it sets outright
    fault: str = ""  # or entry of the fault catalogue whose amount it is
    kind: str = ""  # of that amount


LOAD, AIR, HEAT, DIAL, ROOM = "Load", "Vent and seals", "Burner", "Thermostat and dial", "Room"

SETTINGS = (
    Setting(Control("load.dry_mass", "load, bone dry", 1.0, 20.0, 0.5, "lb", "kg"), LOAD),
    Setting(Control("load.initial_moisture", "water from the washer", 20.0, 110.0, 1.0, "%", "%"), LOAD),
    Setting(
        Control("vent_blockage", "vent blocked, of the duct's area", 0.0, 95.0, 1.0, "%", "%"), AIR,
        fault="vent_blockage", kind="fraction",
    ),
    Setting(
        Control("outlet_gasket_leak", "leak at the outlet gasket", 0.0, 40.0, 1.0, "cm2", "cm2"), AIR,
        fault="outlet_gasket_leak", kind="area",
    ),
    Setting(
        Control("weak_burner", "burner input, of the healthy one", 40.0, 100.0, 1.0, "%", "%"), HEAT,
        fault="weak_burner", kind="fraction",
    ),
    Setting(
        Control("machine.exhaust_cut_out", "thermostat opens (cut-out)", 120.0, 185.0, 1.0, "degF", "degC"),
        DIAL, field="cut_out",
    ),
    Setting(
        Control("machine.exhaust_cut_in", "thermostat closes (cut-in)", 100.0, 180.0, 1.0, "degF", "degC"),
        DIAL, field="cut_in",
    ),
    Setting(
        Control("controls.dial_heat", "dial start before the cool-down", 1.0, 60.0, 0.5, "min", "min"),
        DIAL, field="dial_heat",
    ),
    Setting(Control("room.temperature", "room", 30.0, 110.0, 1.0, "degF", "degC"), ROOM),
    Setting(Control("room.relative_humidity", "its relative humidity", 5.0, 95.0, 1.0, "%", "%"), ROOM),
)  # fmt: skip
"""Sliders in the order of the page."""

LEAST_DIFFERENTIAL = 2.0 / 1.8
"""Between cut-out and cut-in [K]: moving one of them pushes the other, so that their order holds."""

MIXES: Mapping[str, Mapping[str, float]] = {
    "Test cloth, all alike": {"test cloth": 100.0},
    "Family load: shirts, mixed cloth, jeans": {"shirts and sheets": 35.0, "test cloth": 40.0, "jeans": 25.0},
    "Towels and jeans": {"towels": 60.0, "jeans": 40.0},
    "One bath mat": {"bath mat": 100.0},
}
"""Loads to start from, by what the page calls them: weight of each kind of cloth in hundredths."""

WIRINGS: Mapping[str, Mapping[str, Any]] = {
    "thermostat": {
        "words": "auto: timer motor across the exhaust thermostat",
        "set": {"program": P.AUTO, "timer_wiring": P.SHUNT_EXHAUST_THERMOSTAT},
        "said": {"controls.program": "auto", "machine.timer_wiring": "exhaust thermostat"},
    },
    "chain": {
        "words": "auto: timer motor across thermostat, high limit and cut-off",
        "set": {"program": P.AUTO, "timer_wiring": P.SHUNT_WHOLE_CHAIN},
        "said": {"controls.program": "auto", "machine.timer_wiring": "whole chain"},
    },
    "line": {
        "words": "timed: timer motor straight on the line",
        "set": {"program": P.TIMED, "timer_wiring": P.SHUNT_EXHAUST_THERMOSTAT},
        "said": {"controls.program": "timed", "machine.timer_wiring": "exhaust thermostat"},
    },
}
"""The switch for the wiring: parameters, and the same as a scenario file says it."""


def settings() -> list[dict[str, Any]]:
    """Return the sliders with their units and with what they move."""
    return [_setting(setting) for setting in SETTINGS]


def _setting(setting: Setting) -> dict[str, Any]:
    control = setting.control
    shown = {"trade": unit_data(control.unit), "metric": unit_data(control.metric)}
    move = move_data(MOVES[setting.fault]) if setting.fault else None
    return {
        **control._asdict(), **shown,
        "group": setting.group, "field": setting.field, "fault": setting.fault, "move": move,
    }  # fmt: skip


def machine(scenario: Scenario) -> dict[str, Any]:
    """Return the machine with its load as it comes.

    Parameters
    ----------
    scenario : Scenario
        Its faults are left out.
    """
    sound = scenario.with_faults({})
    p = sound.to_parameters()
    return {
        "name": sound.name,
        "title": sound.title,
        "parameters": p._asdict(),
        "values": {s.control.key: _as_it_comes(s, sound, p) for s in SETTINGS},
        "pieces": [piece.name for piece in pieces(sound.model)],
        "ownLoadTemperature": sound.model.load.temperature is not None,
        "wiring": _wiring(p),
    }


def _as_it_comes(setting: Setting, sound: Scenario, p: P.Parameters) -> float:
    """Value of a slider on the sound machine [SI]: what multiplies is 1, what is added is 0."""
    if setting.field:
        return float(getattr(p, setting.field))
    if setting.fault:
        return 1.0 if setting.fault == "weak_burner" else 0.0
    return float(sound.value(setting.control.key))


def _wiring(p: P.Parameters) -> str:
    if p.program != P.AUTO:
        return "line"
    return "chain" if p.timer_wiring == P.SHUNT_WHOLE_CHAIN else "thermostat"


def cloths(scenario: Scenario) -> dict[str, Any]:
    """Return each kind of cloth as the parameters of a load of it alone, and those of an absent one."""
    model = scenario.with_faults({}).model
    alone = {name: without_faults(_only(model, name)) for name in kinds()}
    first = next(iter(alone.values()))
    return {
        "kinds": [{"name": name, **_numbers(p, 0)} for name, p in alone.items()],
        "absent": _numbers(first, 1),
        "mixes": [{"words": words, "parts": dict(parts)} for words, parts in MIXES.items()],
    }


def _numbers(p: P.Parameters, place: int) -> dict[str, float]:
    return {field: getattr(p, field)[place] for field in PIECE_FIELDS}


def _only(model: ScenarioModel, kind: str) -> ScenarioModel:
    """A load of one kind of cloth, as wet as the washer leaves it."""
    found = read_pieces([{"kind": kind}])
    means = {"initial_moisture": found[0].initial_moisture, "cotton_fraction": found[0].cotton_fraction}
    return model.model_copy(update={"load": model.load.model_copy(update={"pieces": found, **means})})


def amount(key: str, text: str) -> float:
    """Return a slider's value as a question writes it [SI].

    >>> round(amount("weak_burner", "50 %"), 2)
    0.5
    """
    setting = next(s for s in SETTINGS if s.control.key == key)
    unit = setting.control.unit
    return units.parse(text, setting.kind or units.kind_of(unit))
