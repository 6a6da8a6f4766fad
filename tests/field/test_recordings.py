"""Recordings of a visit: read where they are named, and put into the file on demand, but never twice."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from dryermodel.errors import InputError
from dryermodel.field.evidence import read_measured
from dryermodel.field.measurements import measurements
from dryermodel.field.recordings import as_measured, measured_in
from dryermodel.field.traces.noting import note
from dryermodel.field.traces.outcome import KINDS, SI_UNITS, Found
from dryermodel.field.traces.reading import read_trace
from dryermodel.field.visit import load_visit
from dryermodel.scenario.model import load_scenario
from dryermodel.unit_names import KINDS as UNITS

LOG = Path(__file__).parents[2] / "docs" / "logs" / "family_load.csv"
MINE = """\
# mine
complaint = "slow"
logs = ["plug.csv"]

[[measurement]]
name = "cycle time"
value = "51 min"
"""


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    shutil.copy(LOG, tmp_path / "plug.csv")
    path = tmp_path / "visit.toml"
    path.write_text(MINE, encoding="utf-8")
    return path


def test_all_that_a_log_gives_can_be_measured_in_the_same_unit() -> None:
    for name, kind in KINDS.items():
        entry = measurements()[name]
        assert entry.kind == kind and UNITS[entry.kind].si_unit.replace("1", "") == SI_UNITS[kind]
    assert {m.name for m in measured_in(LOG, load_scenario("standard"))} <= set(KINDS)


def test_evidence_holds_what_the_recordings_tell(mine: Path) -> None:
    visit = load_visit(mine)
    found = {m.name: m for m in visit.evidence().measured}
    told = {m.name: m for m in measured_in(LOG, visit.scenario)}
    assert set(found) == set(told) and len(told) > 10
    assert found["first burn"] == told["first burn"]
    # the watch and the log together: the log has nearly all the weight, and its accuracy counts
    assert found["cycle time"].accuracy == told["cycle time"].accuracy
    assert abs(found["cycle time"].value - told["cycle time"].value) < 0.01
    assert visit.measured[0].item.value == 51.0 * 60.0 and visit.problems() == []


def test_a_log_that_contradicts_the_watch_is_told(mine: Path) -> None:
    mine.write_text(MINE.replace("51 min", "95 min"), encoding="utf-8")
    (problem,) = load_visit(mine).problems()
    assert problem.where.endswith("visit.toml, line 3") and problem.key == "logs"
    assert "cycle time is 95 min and 49.2 min: too far apart" in problem.message


@pytest.mark.parametrize(
    ("content", "told"), [(None, "no file"), (b"", ""), (b"time,power\n", ""), (b"\x00\xff\x00" * 99, "")]
)
def test_a_recording_that_cannot_be_read_is_told_with_its_line(
    mine: Path, content: bytes | None, told: str
) -> None:
    log = mine.with_name("plug.csv")
    log.unlink()
    if content is not None:
        log.write_bytes(content)
    visit = load_visit(mine)
    (problem,) = visit.problems()
    assert problem.where.endswith("visit.toml, line 3") and problem.key == "logs"
    assert log.as_posix() in problem.message and told in problem.message
    with pytest.raises(InputError, match="logs: "):
        visit.evidence()
    assert visit.measured[0].item.name == "cycle time"  # what was written by hand can still be had


def test_measurements_put_into_the_file_are_not_read_again(mine: Path) -> None:
    before = {m.name: m for m in measured_in(LOG, load_scenario("standard"))}
    note(mine, mine.with_name("plug.csv"), read_trace(LOG).found)
    text = mine.read_text(encoding="utf-8")
    assert text.startswith(MINE) and text.count('note = "from plug.csv"') == len(before) - 1
    visit = load_visit(mine)
    assert visit.recorded == () and visit.problems() == []
    after = {m.name: m for m in visit.evidence().measured}
    assert after.keys() == before.keys() and after["cycle time"].value == 51.0 * 60.0  # as told by hand
    for name in after.keys() - {"cycle time"}:
        assert after[name].number == before[name].number
        assert after[name].value == pytest.approx(before[name].value, rel=1e-4)


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("last", ["", "\n", "\n\n\n"])
def test_line_ends_and_byte_order_mark_stay(mine: Path, ends: str, last: str) -> None:
    mine.write_bytes(b"\xef\xbb\xbf" + (MINE.rstrip() + last).replace("\n", ends).encode("utf-8"))
    before = mine.read_bytes()
    done = note(mine, mine.with_name("plug.csv"), read_trace(LOG).found)
    after = mine.read_bytes()
    assert done.added and after.startswith(before.rstrip())
    assert after.count(b"\r\n") == (after.count(b"\n") if ends == "\r\n" else 0)
    assert len(load_visit(mine).measured) == 1 + len(done.added)


def test_a_file_that_nothing_can_be_put_to_is_left_as_it_is(mine: Path) -> None:
    text = 'logs = ["plug.csv"]\nmeasurement = [{name = "flow", value = "90 cfm"}]\n'
    mine.write_text(text, encoding="utf-8")
    done = note(mine, mine.with_name("plug.csv"), read_trace(LOG).found)
    assert done.added == () and done.refused and mine.read_text(encoding="utf-8") == text


def test_what_no_instrument_could_show_is_left_out_and_no_accuracy_is_nought() -> None:
    found = as_measured([Found("igniter power", 9.0e9, 1.0), Found("burner cycles", 8.0, 0.0)])
    assert [m.name for m in found] == ["burner cycles"] and 0.0 < found[0].accuracy < 1e-6
    assert read_measured("burner cycles=8").value == found[0].value
