"""``dryermodel compare`` and ``dryermodel repairs``: tables, data, pictures; errors in one line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from dryermodel.cli.compare import compare
from dryermodel.cli.repairs import repairs
from dryermodel.cli.simulate import simulate

app = typer.Typer()
for command in (compare, repairs, simulate):
    app.command()(command)
runner = CliRunner()

FAULTS = ("--fault", "vent_blockage=75 %", "--fault", "weak_burner=80 %")


def run(*arguments: object) -> tuple[int, str, str]:
    done = runner.invoke(app, [str(a) for a in arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, done.stderr


def data(*arguments: object) -> Any:
    code, out, err = run(*arguments, "--json")
    assert (code, err) == (0, ""), err
    return json.loads(out)


# compare --------------------------------------------------------------------------------------------


def test_scenarios_side_by_side() -> None:
    code, out, err = run("compare", "standard", "small_load")
    assert (code, err) == (0, "") and out.isascii()
    lines = out.splitlines()
    assert lines[0] == "A  standard: Healthy standard machine with the test load"
    assert lines[1] == "B  small_load: Small load in the standard machine"
    assert "the cycle as it runs" in out and "to the same 4 % dryness" in out and "at the machine" in out
    assert max(map(len, lines)) <= 120


def test_what_ifs_put_the_unchanged_scenario_first() -> None:
    found = data(
        "compare", "standard", "--with", "vent_blockage=75 %", "--with", "outlet_gasket_leak=20 cm2",
        "--with", "burner.firing_rate=17600 Btu/h,vent.length=40 ft",
    )  # fmt: skip
    assert [case["letter"] for case in found["cases"]] == ["A", "B", "C", "D"]
    assert found["cases"][0]["faults"] == {}
    assert found["cases"][1]["faults"] == {"vent_blockage": 0.75}
    assert all(value in (0.0, None) for value in found["cases"][0]["difference_to_first_SI"].values())
    vent = found["cases"][1]
    assert vent["figures_SI"]["cycle_time"] / 60.0 == pytest.approx(vent["summary"]["cycle_time_min"])
    assert vent["difference_to_first_SI"]["cycle_time"] > 600.0
    assert found["currency"] == "USD"
    assert {row["status"] for row in found["rows"]} <= {"validated", "fitted", "assumed", "computed"}
    assert any("not validated" in note for note in found["notes"])


def test_a_cycle_that_ends_wet_is_marked() -> None:
    found = data("compare", "standard", "--with", "thermostat_stuck_open")
    assert [case["second_run_needed"] for case in found["cases"]] == [False, True]
    assert found["cases"][1]["figures_SI"]["time_to_dry"] is None
    _, out, _ = run("compare", "standard", "--with", "thermostat_stuck_open")
    assert "a second run would be needed" in " ".join(out.split())


def test_si_changes_units_and_nothing_else() -> None:
    _, people, _ = run("compare", "standard", "--with", "humid_room=40 %")
    _, si, _ = run("compare", "standard", "--with", "humid_room=40 %", "--si")
    assert "in w.c." in people and "degF" in people and " lb " in people
    assert " Pa " in si and "degC" in si and " kg " in si and "in w.c." not in si
    for label in ("cycle time", "final moisture", "electricity", "cost a year", "burner cycles"):
        same = [[line.split() for line in text.splitlines() if label in line] for text in (people, si)]
        assert same[0] == same[1] != [], label
    gas = [[line.split() for line in text.splitlines() if "gas, gross" in line] for text in (people, si)]
    for trade, metric in zip(*gas, strict=True):
        assert (trade[2], metric[2]) == ("Btu", "kWh")
        # 1 kWh is 3412.14 Btu, by definition of the two; printed to 100 Btu and 0.01 kWh.
        assert float(trade[3]) == pytest.approx(float(metric[3]) * 3412.14, abs=50.0 + 17.1)


def test_picture_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    target = tmp_path / "two.svg"
    assert run("compare", "standard", "--with", "humid_room=40 %", "--plot", target)[0] == 0
    first = target.read_bytes()
    assert first.startswith(b"<?xml") and run(
        "compare", "standard", "--with", "humid_room=40 %", "--plot", target
    )
    assert target.read_bytes() == first, "same input, same bytes"
    code, out, err = run(
        "compare", "standard", "--with", "humid_room=40 %", "--plot", tmp_path / "no" / "two.png"
    )
    assert (code, out) == (2, "") and "there is no directory" in err
    assert sorted(p.name for p in tmp_path.iterdir()) == ["two.svg"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["compare", "standard"], "compare: give two scenarios or more, or one and what to change"),
        (["compare", "standard", "--with", "vent_blokage"], "--with: vent_blokage: unknown fault (did you"),
        (["compare", "standard", "--with", "vent_blockage=3 lb"], "--with: vent_blockage: is a fraction"),
        (["compare", "standard", "electric", "--with", "humid_room=40 %"], "--with: goes with one scenario"),
        (["compare", "standard", "--with", "humid_room=40 %", "--plot", "a.jpg"], "picture's name ends in"),
        (["compare", "standard", *["--with", "humid_room=40 %"] * 6, "--plot", "a.png"], "at most 6"),
        (["compare", "standard", "--fault", "x", "--with", "humid_room=40 %"], "--fault: x: unknown fault"),
        (["repairs", "standard"], "repairs: give what is wrong with --fault"),
        (["repairs", "standard", "--fault", "igniter_open=0.5"], "it is on/off: 0 (whole) or 1 (open)"),
        (["repairs", "standard", *FAULTS, "--first-by", "tmie"], "--first-by: is 'tmie'; choose"),
        (["simulate", "standard", "--fault", "weak_burnr"], "--fault: weak_burnr: unknown fault (did you"),
        (["simulate", "electric", "--fault", "igniter_open"], "has no meaning when machine.heat = 'elec"),
        (["simulate", "standard", "--fault", "vent_blockage=severity 1.2"], "severity is 1.2, outside the"),
        (["simulate", "standard", "--fault", "outlet_gasket_leak=2 ft"], "is an area, e.g. '20 cm2'; '2 ft'"),
    ],
)  # fmt: skip
def test_bad_input_is_one_clear_line(arguments: list[str], said: str) -> None:
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert err.startswith("error: ") and err.count("\n") == 1
    assert said in err


# repairs --------------------------------------------------------------------------------------------


def test_repairs_tell_each_alone_together_and_in_order() -> None:
    code, out, _ = run("repairs", "standard", *FAULTS)
    assert code == 0 and out.isascii() and max(map(len, out.splitlines())) <= 120
    text = " ".join(out.split())
    for part in ("Each repair alone", "all together", "sum of each alone", "In order", "What to do"):
        assert part in text
    assert "assumed range: high-limit coupling 65 to 79 %, lag 25 to 90 s" in text
    assert "The order takes" in text and "fewest minutes of the cycle" in text
    assert run("repairs", "standard", *FAULTS)[1] == out


def test_repairs_take_the_scenario_s_own_faults(tmp_path: Path) -> None:
    path = tmp_path / "sick.toml"
    path.write_text("[faults]\nvent_blockage = '75 %'\nweak_burner = '80 %'\n", encoding="utf-8")
    one, other = data("repairs", path), data("repairs", "standard", *FAULTS)
    for key in ("before", "after", "each_alone", "all_together_saved_SI", "order"):
        assert one[key] == other[key]
    assert [step["repair"] for step in one["order"]] == ["vent_blockage", "weak_burner"]


# simulate -------------------------------------------------------------------------------------------


def test_simulate_takes_faults(tmp_path: Path) -> None:
    path = tmp_path / "sick.toml"
    path.write_text("[scenario]\nextends = 'standard'\n[faults]\nweak_burner = '80 %'\n", encoding="utf-8")
    option = data("simulate", "standard", "--fault", "weak_burner=80 %")
    section = data("simulate", path)
    setting = data("simulate", "standard", "--set", "faults.weak_burner=80 %")
    for found in (section, setting):
        told = {key: value for key, value in found.items() if key not in ("title", "status", "findings")}
        assert told == {key: option[key] for key in told}
    assert option["gas_energy_kWh"] != data("simulate", "standard")["gas_energy_kWh"]
    assert option["scenario_hash"] == section["scenario_hash"]
