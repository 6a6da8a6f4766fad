"""The tune-up: safe order, names that exist, and the list for a clipboard."""

from __future__ import annotations

from typer.testing import CliRunner

from dryermodel.cli import app
from dryermodel.field.measurements import measurements
from dryermodel.field.observations import observations
from dryermodel.field.tune_up import LICENSED, STAGES, STANDING, Step, readings_of, tune_up
from dryermodel.show.text.tune_up import WIDTH, lines

STEPS = tune_up()
NAMES = [step.name for step in STEPS]


def test_stages_come_in_the_order_of_safe_work() -> None:
    order = [list(STAGES).index(step.stage) for step in STEPS]
    assert order == sorted(order)
    assert {step.stage for step in STEPS} == set(STAGES)


def test_power_and_gas_are_off_before_anything_is_opened_and_leaks_are_looked_for_before_a_flame() -> None:
    first_open = next(i for i, step in enumerate(STEPS) if step.stage == "while open")
    assert NAMES.index("power off") == first_open - 1
    assert NAMES.index("gas on") < NAMES.index("plug in") < NAMES.index("first run")
    assert STEPS[0].name == "smell and air"
    assert "everybody out" in STEPS[0].caution


def test_looks_come_when_their_question_may_be_answered() -> None:
    """What needs the machine unplugged is asked while it is open; what needs it running is not."""
    for step in STEPS:
        opened = step.stage in ("while open", "gas side")
        for name in step.look:
            when = observations()[name].when
            assert not (when == "unplugged" and not opened), (step.name, name)
            assert not (when in ("running", "end") and step.stage == "gas side"), (step.name, name)


def test_readings_have_their_names_and_come_before_and_after() -> None:
    for step in STEPS:
        assert set(step.before) | set(step.after) <= set(measurements()), step.name
        assert set(step.look) <= set(observations()), step.name
        told = readings_of(step)
        assert [len(told[key]) for key in ("before", "after", "look")] == [
            len(step.before), len(step.after), len(step.look)
        ]  # fmt: skip
    before = {name for step in STEPS for name in step.before}
    after = {name for step in STEPS for name in step.after}
    assert {"vent static", "exhaust flow", "gas input", "exhaust temperature"} <= before & after


def test_the_gas_side_is_for_whoever_may() -> None:
    for step in STEPS:
        assert step.licensed == (step.stage == "gas side" or step.name == "gas on"), step.name
        assert step.caution or not step.licensed


def test_the_list_for_a_clipboard() -> None:
    told = CliRunner().invoke(app, ["tune-up"])
    assert told.exit_code == 0
    assert told.stdout.splitlines() == lines(STEPS)
    assert told.stdout.isascii()
    assert max(map(len, lines(STEPS))) <= WIDTH
    plain = " ".join(told.stdout.split())
    assert STANDING in plain
    for step in STEPS:
        for text in (step.do, step.why, step.caution):
            assert text in plain
    assert plain.count(LICENSED) == sum(step.licensed for step in STEPS)
    assert plain.count("[ ]") == len(STEPS)


def test_a_step_on_paper() -> None:
    step = Step("x", "closing", "Do it.", "Because.", "Mind.", ("vent static",), (), ("flame seen",), True)
    assert lines([step])[-6:] == [
        "[ ] 1. Do it.",
        "    why: Because.",
        "    CAUTION: Mind.",
        f"    {LICENSED}",
        "    before: vent static __________ in w.c.",
        "    seen:   flame seen?  yes / no",
    ]
