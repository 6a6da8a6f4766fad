"""The shell's completion: what Tab offers, asked for as a shell asks."""

from __future__ import annotations

import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from dryermodel.cli import main
from dryermodel.scenario import shipped_scenarios
from dryermodel.scenario.defaults import defaults
from dryermodel.scenario.faults import catalogue
from dryermodel.scenario.rules import Rule
from dryermodel.scenario.schema import choices_of, is_switch, keys, rule_of
from dryermodel.studies.sweep.outcomes import find_outcome, outcome_names
from dryermodel.studies.sweep.vary import read_vary
from dryermodel.studies.uncertainty.uncertain import ranges

COMMANDS = {"simulate", "compare", "faults", "repairs", "sweep", "sensitivity", "scenario", "bench"}


@pytest.fixture
def tab(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Tab:
    monkeypatch.chdir(tmp_path)
    return Tab(monkeypatch, capsys)


class Tab:
    """Presses Tab at the end of a line."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self._set, self._read = monkeypatch.setenv, capsys.readouterr

    def __call__(self, *line: str) -> list[str]:
        words = ["dryermodel", *line]
        self._set("_DRYERMODEL_COMPLETE", "complete_bash")
        self._set("COMP_WORDS", " ".join(shlex.quote(word) if word else "" for word in words))
        self._set("COMP_CWORD", str(len(words) - 1))
        with pytest.raises(SystemExit) as ending:
            main()
        assert ending.value.code == 0
        return self._read().out.split()


def test_commands_and_options(tab: Tab) -> None:
    assert set(tab("")) >= COMMANDS
    assert tab("simu") == ["simulate"]
    assert set(tab("scenario", "")) == {"list", "show", "check", "new"}
    assert {"--set", "--stop-at-moisture", "--si"} <= set(tab("simulate", "standard", "--s"))


TAKES_A_SCENARIO = [
    ("simulate",), ("sweep",), ("sensitivity",), ("repairs",), ("faults",), ("compare",),
    ("compare", "standard"), ("scenario", "show"), ("scenario", "check"), ("bench", "vent", "--scenario"),
]  # fmt: skip


@pytest.mark.parametrize("before", TAKES_A_SCENARIO)
def test_scenarios_wherever_one_is_wanted(before: tuple[str, ...], tab: Tab) -> None:
    assert tab(*before, "") == shipped_scenarios()
    assert tab(*before, "stand") == ["standard"]


def test_scenario_files_and_directories(tab: Tab) -> None:
    Path("kitchen").mkdir()
    for name in ("mine.toml", "mine.csv", ".hidden.toml", "kitchen/mrs_k.toml"):
        Path(name).write_text("", encoding="utf-8")
    assert tab("simulate", "mi") == ["mine.toml"]
    assert tab("simulate", "k") == ["kitchen/"]
    assert tab("simulate", "kitchen/") == ["kitchen/mrs_k.toml"]
    assert tab("simulate", "nowhere/m") == []


def test_values_that_a_fit_may_be_kept_to(tab: Tab) -> None:
    assert tab("calibrate", "standard", "--only", "") == list(ranges())
    assert tab("calibrate", "standard", "--only", "burner.fi") == ["burner.firing_rate"]


def test_faults_with_an_equals_sign_where_a_severity_follows(tab: Tab) -> None:
    offered = tab("simulate", "standard", "--fault", "")
    assert {text.rstrip("=") for text in offered} == set(catalogue())
    for text in offered:
        assert text.endswith("=") == catalogue()[text.rstrip("=")].graded


@pytest.mark.parametrize("option", ["--only", "--about"])
def test_fault_names(option: str, tab: Tab) -> None:
    assert set(tab("faults", option, "")) == set(catalogue())
    assert tab("faults", option, "vent_blockage,igniter_o") == ["vent_blockage,igniter_open"]


SETS = [
    ("simulate", "standard"),
    ("compare", "standard"),
    ("scenario", "show", "standard"),
    ("sweep", "standard"),
]


@pytest.mark.parametrize("before", SETS)
def test_every_key_can_be_set(before: tuple[str, ...], tab: Tab) -> None:
    offered = tab(*before, "--set", "")
    assert [text.rstrip("=") for text in offered if not text.startswith("faults.")] == list(keys())
    assert {text for text in offered if text.startswith("faults.")} == {
        f"faults.{key}=" for key in catalogue()
    }


def test_words_of_a_key(tab: Tab) -> None:
    for key in keys():
        rule = rule_of(key)
        words = (
            rule.words if isinstance(rule, Rule) else ("true", "false") if is_switch(key) else choices_of(key)
        )
        expected = [f"{key}={word}" for word in words if " " not in word]
        assert tab("simulate", "standard", "--set", f"{key}=") == expected, key
    assert tab("simulate", "standard", "--set", "no.such=") == []


@pytest.mark.parametrize("command", ["sweep", "sensitivity"])
def test_what_can_vary_is_what_is_offered(command: str, tab: Tab) -> None:
    offered = tab(command, "standard", "--vary", "")
    for text in offered:
        key = text.removesuffix("=")
        rule = None if key.startswith("faults.") else rule_of(key)
        ends = (rule.low, rule.high) if rule else ("severity 0.1", "0.9")
        assert read_vary(f"{text}{ends[0]}:{ends[1]}", drawn=True).key == key
    quantities = [key for key in keys() if rule_of(key) and not key.startswith("costs.")]
    graded = [f"faults.{key}" for key, fault in catalogue().items() if fault.graded]
    assert [text.removesuffix("=") for text in offered] == quantities + graded


def test_what_ifs_take_faults_and_keys(tab: Tab) -> None:
    assert tab("compare", "standard", "--with", "weak_b") == ["weak_burner="]
    assert tab("compare", "standard", "--with", "igniter_open,vent.le") == ["igniter_open,vent.length="]


def test_outcomes_criteria_gases_ducts(tab: Tab) -> None:
    assert tab("sweep", "standard", "--show", "") == list(outcome_names())
    assert tab("sensitivity", "standard", "--outcome", "cycle") == ["cycle_time"]
    assert tab("repairs", "standard", "--first-by", "") == ["time", "money"]
    assert tab("bench", "gas-clock", "--gas", "") == ["natural", "propane"]
    assert tab("bench", "vent", "--material", "fl") == ["flexible"]


@pytest.mark.parametrize(
    ("line", "about"),
    [
        ("simulate standard --fault weak", catalogue()["weak_burner"].title.partition(":")[2]),
        ("simulate standard --set vent.len", defaults()["vent.length"].about),
        ("sweep standard --show cycle_t", find_outcome("cycle_time", "").words),
    ],
)
def test_other_shells_are_told_what_each_is(
    line: str, about: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("_DRYERMODEL_COMPLETE", "complete_zsh")
    monkeypatch.setenv("_TYPER_COMPLETE_ARGS", f"dryermodel {line}")
    with pytest.raises(SystemExit):
        main()
    assert about in capsys.readouterr().out


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell"])
def test_the_script_for_each_shell_asks_in_the_same_way(shell: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from dryermodel.cli import main; main()"],
        env={"_DRYERMODEL_COMPLETE": f"source_{shell}", "PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0 and "_DRYERMODEL_COMPLETE" in done.stdout


def test_names_are_offered_without_the_heavy_libraries() -> None:
    code = (
        "import sys\nfrom dryermodel.cli import _completion as c\n"
        "assert c.scenarios('') and c.faults('') and c.settings('') and c.fault_names('')\n"
        "sys.exit(bool({'numpy', 'pydantic', 'pint', 'numba'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
