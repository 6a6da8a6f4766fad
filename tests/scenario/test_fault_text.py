"""Faults as a person writes them: one meaning each, and a clear line for what has two or none."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.errors import InputError
from dryermodel.scenario.fault_text import parse_fault, read_fault
from dryermodel.scenario.faults import catalogue

GRADED = [key for key, fault in catalogue().items() if fault.graded]
ON_OFF = [key for key, fault in catalogue().items() if not fault.graded]


@pytest.mark.parametrize(
    ("text", "severity"),
    [
        ("vent_blockage=severity 0.5", 0.5),
        ("vent_blockage = Severity  .5", 0.5),
        ("vent_blockage = 50 %", 0.5),
        ("vent_blockage = '50 %'", 0.5),
        ("vent_blockage=none", 0.0),
        ("outlet_gasket_leak=20 cm2", 0.5),
        ("outlet_gasket_leak=3.1 in2", 0.5),
        ("weak_burner=80 %", 1.0 / 3.0),
        ("weak_burner=severity 0.8", 0.8),
        ("coil_fails_hot=8 min", 0.25),
        ("coil_fails_hot=never", 0.0),
        ("igniter_open", 1.0),
        ("igniter_open=open", 1.0),
        ("igniter_open=true", 1.0),
        ("igniter_open=1", 1.0),
        ("igniter_open=whole", 0.0),
        ("igniter_open=false", 0.0),
        ("igniter_open=0", 0.0),
        ("igniter_open=severity 0", 0.0),
        ("thermostat_drift=15 degF", 0.5),
        ("altitude_unadjusted=1524 m", 0.5),
    ],
)
def test_parse_fault(text: str, severity: float) -> None:
    key, found = parse_fault(text)
    assert key == text.partition("=")[0].strip()
    assert found == pytest.approx(severity, abs=1e-5)


@given(st.sampled_from(GRADED), st.floats(0.01, 1.0))
@settings(max_examples=100, deadline=None, derandomize=True)
def test_quantity_text_round_trips(key: str, severity: float) -> None:
    fault = catalogue()[key]
    assert parse_fault(f"{key}={fault.at(severity)}")[1] == pytest.approx(severity, abs=2e-5)
    assert parse_fault(f"{key}=severity {severity!r}")[1] == severity
    assert fault.severity_at(fault.amount(severity)) == pytest.approx(severity, rel=1e-9)


@pytest.mark.parametrize("key", GRADED)
@pytest.mark.parametrize("given_as", ["", "=0.8", "=1", "=0"])
def test_a_graded_fault_says_how_bad_in_one_way_or_is_refused(key: str, given_as: str) -> None:
    """A share of what is left and a severity run against each other: a number alone is neither."""
    with pytest.raises(InputError) as caught:
        parse_fault(key + given_as)
    message = str(caught.value)
    fault = catalogue()[key]
    example = message.partition("'")[2].partition("'")[0]
    assert example.startswith(f"{key}=") and parse_fault(example)[1] == pytest.approx(0.5)
    assert f"{key}=severity 0.5" in message and fault.quantity in message
    assert (f"severity 0.8 is {fault.said(0.8)}" in message) == (given_as == "=0.8")


@pytest.mark.parametrize("key", ON_OFF)
def test_an_on_off_fault_needs_no_number(key: str) -> None:
    assert parse_fault(key) == (key, 1.0)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("vent_blokage=50 %", "did you mean vent_blockage?"),
        ("zzz", "unknown fault; faults: vent_blockage, "),
        ("overload=severity 3", "severity is 3.0, outside the allowed 0 to 1"),
        ("overload=severity -0.1", "severity is -0.1, outside the allowed 0 to 1"),
        ("overload=severity", "severity is ''; it is a number from 0 to 1"),
        ("overload=severity much", "severity is 'much'; it is a number from 0 to 1"),
        ("outlet_gasket_leak=200 cm2", "is 200 cm2, outside the allowed 0 cm2 to 40 cm2"),
        ("outlet_gasket_leak=20 psi", "is an area, e.g. '20 cm2'; '20 psi' is a pressure"),
        ("outlet_gasket_leak=20 smoots", "unknown unit 'smoots'"),
        ("outlet_gasket_leak=", "is not an area, written e.g. '20 cm2'"),
        ("coil_fails_hot=1 min", "outside the allowed never to 2 min"),
        ("igniter_open=0.5", "it is on/off: 0 (whole) or 1 (open)"),
        ("igniter_open=severity 0.5", "it is on/off: 0 (whole) or 1 (open)"),
        ("igniter_open=shut", "is 'shut'; choose 'whole' or 'open'"),
        ("vent_blockage=statik 1 in w.c.", "or what was measured: 'static 1.1 in w.c.'"),
        ("vent_blockage=static 3 lb", "static is a pressure, e.g. '3.5 in w.c.'; '3 lb' is a mass"),
        ("vent_blockage=static 1 in w.c.", "can be given with --fault or in a scenario, not here"),
    ],
)
def test_bad_fault_is_told_in_one_line(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_fault(text)
    message = str(caught.value)
    assert said in message and "\n" not in message
    assert message.startswith(f"fault: {text.partition('=')[0]}: ")


def test_what_was_measured_waits_for_the_machine() -> None:
    written = read_fault("low_supply_pressure=2 in w.c.")
    assert written.severity is None and written.measured is not None
    assert written.measured.word == "supply"
    assert written.measured.value == pytest.approx(498.18, rel=1e-4)  # 249.09 Pa an inch
