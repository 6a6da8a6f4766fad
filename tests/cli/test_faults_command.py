"""``dryermodel faults``: the catalogue, one fault, all of them on a machine; errors in one line."""

from __future__ import annotations

import json
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from dryermodel.cli.faults import faults
from dryermodel.scenario.faults import catalogue

app = typer.Typer()
app.command()(faults)
runner = CliRunner()


def run(*arguments: str) -> tuple[int, str, str]:
    done = runner.invoke(app, list(arguments))
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, done.stderr


def data(*arguments: str) -> Any:
    code, out, err = run(*arguments, "--json")
    assert (code, err) == (0, "")
    return json.loads(out)


def test_catalogue_lists_every_fault_with_every_part() -> None:
    code, out, err = run("--about", "all")
    assert (code, err) == (0, "") and out.isascii()
    blocks = out.split("\n\n")
    assert [block.split(":")[0] for block in blocks] == list(catalogue())
    for block in blocks:
        names = {line[2:12].strip() for line in block.splitlines()[1:] if line[2:12].strip()}
        assert {"does", "customer", "measure", "confirms", "remedy", "caution", "who"} <= names
    assert max(map(len, out.splitlines())) <= 100


def test_list_is_one_line_a_fault() -> None:
    code, out, err = run()
    assert (code, err) == (0, "") and out.isascii()
    listed, closing = out.rstrip().split("\n\n")
    assert [line.split()[0] for line in listed.splitlines()] == list(catalogue())
    for line, fault in zip(listed.splitlines(), catalogue().values(), strict=True):
        assert line.split(maxsplit=1)[1] == fault.title
    assert "--about" in closing and "--says" in closing
    assert max(map(len, out.splitlines())) <= 110
    only = run("--only", "weak_burner,igniter_open")[1].splitlines()
    assert [line.split()[0] for line in only[:2]] == ["weak_burner", "igniter_open"]


def test_says_finds_and_tells_what_to_measure() -> None:
    code, out, err = run("--says", "the timer never stops")
    assert (code, err) == (0, "")
    assert out.startswith("timer_motor_dead: ") and "measure: " in out
    assert [entry["key"] for entry in data("--says", "thermal fuse")] == ["thermal_cutoff_open"]


def test_a_smell_of_gas_comes_before_any_fault() -> None:
    assert run("--says", "it smells of gas")[1].startswith("Smell of gas: no switch, no flame")
    assert "Smell of gas" not in run("--says", "yellow flame")[1]


def test_what_nothing_says_is_taken_by_spelling_or_said_to_be_unknown() -> None:
    assert "by spelling, these are nearest" in run("--says", "sqeuals")[1]
    code, out, _ = run("--says", "qqqq")
    assert code == 0 and "nothing is near" in out
    assert run("--says", "...")[1] == out


def test_about_shows_one_in_full() -> None:
    code, out, _ = run("--about", "coil_fails_hot")
    text = " ".join(out.split())
    assert code == 0
    assert "severity 0 is never, 0.5 is 4 min, 1 is 2 min" in text and "range assumed" in text
    assert "burner.coil_opens, burner.coil_recloses" in text
    assert '--fault "coil_fails_hot=4 min"' in text
    assert "a qualified person where local rules say so" in text
    assert "weak_burner" not in text


def test_catalogue_as_data() -> None:
    assert [entry["key"] for entry in data()] == list(catalogue())
    (one,) = data("--about", "weak_burner")
    assert (one["licensed"], one["place"], one["at_half"]) == (True, "dryer", "70 %")
    assert [entry["key"] for entry in data("--only", "weak_burner,vent_blockage")] == [
        "vent_blockage",
        "weak_burner",
    ]


def test_table_of_a_machine() -> None:
    code, out, err = run(
        "standard",
        "--severity",
        "0.75",
        "--only",
        "vent_blockage,thermostat_stuck_open",
        "--only",
        "humid_room",
    )
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0].endswith("timer shunted by the exhaust thermostat alone")
    names = [line.split()[0] for line in lines[5:9]]
    assert names == ["healthy", "vent_blockage*", "thermostat_stuck_open", "humid_room"]
    assert out.count("not validated") == 1 and out.count("Caution:") == 1
    assert "burner cycles on the high limit" in out and "stops early, after 13 min" in out
    assert "indistinguishable from healthy in the cycle: measure room temperature" in out
    assert max(map(len, lines)) <= 120 and out.isascii()


def test_the_other_wiring() -> None:
    only = ("--only", "thermal_cutoff_open")
    _, one, _ = run("standard", *only)
    _, other, _ = run("standard", *only, "--set", "machine.timer_wiring=whole chain")
    assert "does not end by itself" in one
    assert "stops early, after 13 min" in other and "whole chain with the high limit" in other


def test_json_of_a_machine_is_only_json() -> None:
    found = data("standard", "--only", "igniter_slow")
    assert found["severity"] == 0.5
    (fault,) = found["faults"]
    assert (fault["fault"], fault["amount"], fault["validated"]) == ("igniter_slow", "45 s", True)
    assert fault["summary"]["cycle_time_min"] > found["healthy"]["summary"]["cycle_time_min"]
    assert "slow light" in fault["marks"]
    assert fault["burner_off_mean_s"] > found["healthy"]["burner_off_mean_s"]


def test_si_units() -> None:
    _, out, _ = run("standard", "--only", "thermostat_drift", "--si")
    assert "[degC]" in out and "[Pa, L/s]" in out and "8.33 degC" in out
    assert "degF" not in out


def test_same_command_same_bytes() -> None:
    arguments = ("standard", "--only", "igniter_slow")
    assert run(*arguments) == run(*arguments)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--about", "weak_burnr"], "--about: weak_burnr: unknown fault (did you mean weak_burner"),
        (["standard", "--only", "weak_burnr"], "--only: weak_burnr: unknown fault (did you mean weak_burner"),
        (["standard", "--severity", "1.5"], "--severity: is 1.5, outside the allowed"),
        (["standard", "--severity", "0"], "--severity: is 0, outside the allowed"),
        (["--severity", "0.5"], "--severity: needs a scenario to run the faults on"),
        (["--si"], "--si: needs a scenario"),
        (["--about", "weak_burner", "--only", "igniter_slow"], "--only: goes without --about"),
        (["--says", "slow", "--only", "igniter_slow"], "--only: goes without --says"),
        (["--says", "slow", "--about", "igniter_slow"], "--says: goes without --about"),
        (["standard", "--says", "slow"], "--says: finds faults in the catalogue and takes no scenario"),
        (["--about", "thermal fuse"], "unknown fault (did you mean thermal_cutoff_open?)"),
        (["standard", "--about", "weak_burner"], "--about: shows one fault and takes no scenario"),
        (["standrad"], "no scenario file 'standrad' (did you mean standard"),
        (["standard", "--set", "vent.length=3 psi"], "--set: vent.length: is a length"),
    ],
)
def test_bad_input_is_one_clear_line(arguments: list[str], said: str) -> None:
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert err.startswith("error: ") and err.count("\n") == 1
    assert said in err
