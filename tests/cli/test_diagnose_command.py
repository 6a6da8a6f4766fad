"""``dryermodel diagnose``: the page, the JSON, the picture, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from dryermodel.cli import app

BANK = ["--bank", "2000", "--fresh", "0"]
SLOW = ["--complaint", "takes too long to dry"]
BLOCKED = [
    "--measured", "vent static=1.0 in w.c.", "--measured", "exhaust flow=80 cfm",
    "--measured", "gas input=22000 Btu/h", "--seen", "drum turns", "--seen", "flame seen",
]  # fmt: skip


def run(*words: str, code: int = 0) -> Result:
    done = CliRunner().invoke(app, ["diagnose", *words])
    assert done.exit_code == code, done.output
    return done


def data(*words: str) -> Any:
    return json.loads(run("standard", *BANK, "--json", *words).stdout)


@pytest.fixture(scope="module")
def blocked() -> Any:
    return data(*SLOW, *BLOCKED)


def test_probabilities_sum_to_one_and_the_best_comes_first(blocked: Any) -> None:
    shares = [entry["probability"] for entry in blocked["ranking"]]
    assert sum(shares) + blocked["unexplained"] == pytest.approx(1.0, abs=1e-6)
    assert shares == sorted(shares, reverse=True)


def test_a_static_up_and_a_flow_down_is_the_vent(blocked: Any) -> None:
    first = blocked["ranking"][0]
    assert {"vent_blockage", "vent_crushed"} <= set(first["faults"]) and not first["together"]
    assert first["severity"]["low"] <= first["severity"]["middle"] <= first["severity"]["high"]
    assert first["severity"]["unit"] and first["probability"] == pytest.approx(
        sum(first["members"].values()), abs=1e-6
    )


def test_every_hypothesis_stands_in_one_entry(blocked: Any) -> None:
    alone = [key for entry in blocked["ranking"] if not entry["together"] for key in entry["faults"]]
    assert len(alone) == len(set(alone)) and "healthy" in alone


def test_tests_done_are_not_asked_for_again(blocked: Any) -> None:
    names = [test["measurement"] for test in blocked["next_tests"]]
    assert names and not {"vent static", "exhaust flow", "gas input", "drum turns", "flame seen"} & set(names)
    rates = [test["bits"] / test["minutes"] for test in blocked["next_tests"]]
    assert rates == sorted(rates, reverse=True)


def test_same_words_same_bytes() -> None:
    words = ("standard", *BANK, "--json", *SLOW, *BLOCKED)
    assert run(*words).stdout == run(*words).stdout


def test_a_complaint_alone_orders_the_suspects() -> None:
    found = data(*SLOW)
    assert len(found["ranking"]) > 20 and found["next_tests"] and not found["measured"]
    nothing = data()
    share = {tuple(e["faults"]): e["probability"] for e in nothing["ranking"]}
    assert found["ranking"][0]["probability"] != pytest.approx(share[tuple(found["ranking"][0]["faults"])])


def test_no_heat_leads_to_what_takes_the_heat_away() -> None:
    found = data(
        "--complaint",
        "no heat",
        "--seen",
        "drum turns",
        "--seen",
        "igniter glows=no",
        "--seen",
        "flame seen=no",
    )
    alone = {key: share for e in found["ranking"] for key, share in e["members"].items() if not e["together"]}
    assert max(alone, key=lambda key: alone[key]) in {
        "igniter_open", "thermal_cutoff_open", "flame_sensor_stuck_open", "thermostat_stuck_open",
    }  # fmt: skip


def test_a_drum_that_does_not_turn_leads_to_it() -> None:
    assert data("--complaint", "the drum does not turn")["ranking"][0]["faults"] == ["drum_not_turning"]


def test_a_look_settles_it() -> None:
    words = ("--seen", "flame seen=no", "--seen", "igniter glows=no", "--seen", "thermal cut-off open")
    assert data(*words)["ranking"][0]["faults"] == ["thermal_cutoff_open"]


def test_tools_at_hand_limit_the_tests() -> None:
    found = data(*SLOW, "--have", "watch")
    assert found["next_tests"] and all(
        set(test["tools"]) <= {"watch", "hand"} for test in found["next_tests"]
    )


def test_minutes_of_ones_own_move_the_order() -> None:
    usual = {test["measurement"]: test["minutes"] for test in data(*SLOW)["next_tests"]}
    mine = {
        test["measurement"]: test["minutes"] for test in data(*SLOW, "--minutes", "static=1")["next_tests"]
    }
    assert mine["vent static"] == 2.0 < usual["vent static"] and mine["cycle time"] == usual["cycle time"]


def test_danger_comes_first() -> None:
    lines = run("standard", *BANK, "--complaint", "smells of gas and takes too long").stdout.splitlines()
    first = next(line for line in lines if line.startswith("FIRST"))
    assert "gas utility" in first and lines.index(first) < 4
    assert "high limit" in " ".join(data("--seen", "short burns while wet")["cautions"])


def test_nonsense_together_is_outside_the_catalogue() -> None:
    """A flow far above what any fault gives, with a static far above too, and hardly any gas."""
    words = (
        "--measured",
        "flow=200 cfm",
        "--measured",
        "static=1.3 in w.c.",
        "--measured",
        "gas input=9000 Btu/h",
    )
    odd = data(*words)
    assert odd["unexplained"] > 20 * data(*BLOCKED)["unexplained"]


def test_the_page_names_numbers_and_picture(tmp_path: Path) -> None:
    picture = tmp_path / "answer.png"
    told = run("standard", *BANK, *SLOW, *BLOCKED, "--plot", str(picture)).stdout
    assert picture.read_bytes().startswith(b"\x89PNG")
    for words in (
        "vent blockage",
        "What to test next",
        "What each repair would buy",
        "not validated",
        "effective",
    ):
        assert words in " ".join(told.split())


def test_a_visit_is_its_options(tmp_path: Path) -> None:
    """A visit file and the same things on the command line give the same answer; options come on top."""
    visit = tmp_path / "visit.toml"
    visit.write_text(
        'scenario = "standard"\ncomplaint = "takes too long to dry"\n[seen]\n"drum turns" = true\n'
        '[[measurement]]\nname = "vent static"\nvalue = "0.9 in w.c."\n',
        encoding="utf-8",
    )
    told = json.loads(run(str(visit), *BANK, "--json").stdout)
    same = data(*SLOW, "--seen", "drum turns", "--measured", "vent static=0.9 in w.c.")
    assert told["ranking"] == same["ranking"]
    more = json.loads(run(str(visit), *BANK, "--json", "--measured", "vent static=0.5 in w.c.").stdout)
    assert [m["value_SI"] for m in more["measured"]] != [m["value_SI"] for m in told["measured"]]


def test_dangers_of_a_visit_come_first(tmp_path: Path) -> None:
    visit = tmp_path / "visit.toml"
    visit.write_text('scenario = "standard"\n[safety]\n"exhaust in the room" = true\n', encoding="utf-8")
    assert "carbon monoxide" in json.loads(run(str(visit), *BANK, "--json").stdout)["cautions"][0]


def test_priors_of_ones_own(tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text("[weights]\nvent_crushed = 50.0\n", encoding="utf-8")
    usual, own = data(*BLOCKED), data(*BLOCKED, "--priors", str(mine))
    assert own["each_fault"]["vent_crushed"] > 2.0 * usual["each_fault"]["vent_crushed"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["standrad"], "standard"),
        (["standard", "--measured", "vent statik=1 in w.c."], "vent static"),
        (["standard", "--measured", "vent static"], "name=value"),
        (["standard", "--measured", "vent static=3 min"], "pressure"),
        (["standard", "--measured", "vent static=1 in w.c. @ sleeping"], "running empty"),
        (["standard", "--measured", "static=1 in w.c.", "--measured", "vent static=0.2 in w.c."], "twice"),
        (["standard", "--seen", "drum tuns"], "drum turns"),
        (["standard", "--seen", "drum turns=perhaps"], "yes or no"),
        (["standard", "--measured", "gas input=300000 Btu/h"], "gas input"),
        (["slow_towels", "--seen", "flame seen=no"], "'flame seen' is answered no"),
        (["slow_towels", "--set", "load.dry_mass=5 lb"], "a visit file names its own"),
        (["standard", "--have", "manometre"], "manometer"),
        (["standard", "--minutes", "static=soon"], "TEST=MINUTES"),
        (["standard", "--bank", "3"], "500"),
        (["standard", "--fresh", "-5"], "0 to"),
        (["standard", "--seed", "-1"], "0 and above"),
        (["standard", "--plot", "answer.doc"], ".png"),
        (["standard", "--priors", "nowhere.toml"], "nowhere.toml"),
    ],
)
def test_bad_input_is_one_line(words: list[str], told: str) -> None:
    done = run(*words, code=2)
    assert told in done.stderr and len(done.stderr.strip().splitlines()) == 1 and not done.stdout
