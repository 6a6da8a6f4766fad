"""``dryermodel calibrate``: the page, the JSON, the files, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from dryermodel.cli import app
from dryermodel.scenario.model import load_scenario

FEW = ["--only", "burner.firing_rate", "--only", "vent.resistance_factor", "--starts", "2"]
READ = ["--measured", "gas input=21000 Btu/h", "--measured", "static=0.55 in w.c."]


def run(*words: str, code: int = 0) -> Result:
    done = CliRunner().invoke(app, ["calibrate", *words])
    assert done.exit_code == code, done.output
    return done


def test_page_says_what_its_columns_of_errors_mean() -> None:
    lines = run("standard", *READ, *FEW).stdout.splitlines()
    head = next(i for i, line in enumerate(lines) if "off before" in line)
    assert " ".join(lines[head + 4 : head + 6]).startswith("Off: by how many errors, of instrument and model")


@pytest.fixture(scope="module")
def data() -> Any:
    return json.loads(run("standard", *READ, *FEW, "--json").stdout)


def test_json_holds_readings_and_values(data: Any) -> None:
    assert [m["measurement"] for m in data["measurements"]] == ["gas input", "vent static"]
    rate = next(v for v in data["values"] if v["key"] == "burner.firing_rate")
    assert (
        rate["unit_SI"] == "W" and rate["interval_80_SI"][0] < rate["fitted_SI"] < rate["interval_80_SI"][1]
    )
    assert data["fits"] is True and data["degrees_of_freedom"] == 2 and data["status"] == "fitted"
    assert abs(data["balance_water"]) < 1e-6 and abs(data["balance_energy"]) < 1e-6
    assert data["settings"].keys() == {"burner.firing_rate", "vent.resistance_factor"}
    for one in data["measurements"]:
        off = (one["after_SI"] - one["measured_SI"]) / one["error_SI"]
        assert one["off_after"] == pytest.approx(off, rel=1e-6) and abs(off) < abs(one["off_before"])


def test_the_page_says_what_is_known_and_what_is_not() -> None:
    page = run("standard", *READ, *FEW, "--only", "room.relative_humidity").stdout
    known, unknown = page.split("What they cannot determine")
    assert "burner.firing_rate" in known and "room.relative_humidity" not in known
    assert "1 of 3 values are not determined" in unknown and "room humidity" in unknown
    assert "fit a healthy machine of this kind" in known and "WARNING" not in page


def test_the_page_warns_of_what_does_not_fit() -> None:
    page = run("standard", "--measured", "static=1.4 in w.c.", *FEW).stdout
    assert "WARNING" in page and "diagnose first" in page and "vent static stays" in page


def test_metric_units_on_request() -> None:
    page = run("standard", *READ, *FEW, "--si").stdout
    assert " Pa" in page and " W " in page and "Btu/h" not in page and "in w.c." not in page


def test_the_file_runs(tmp_path: Path, data: Any) -> None:
    out = tmp_path / "mine.toml"
    assert "wrote" in run("standard", *READ, *FEW, "-o", str(out)).stdout
    assert load_scenario(out).hash == data["fitted_hash"]


def test_the_picture_is_drawn(tmp_path: Path) -> None:
    picture = tmp_path / "fit.svg"
    run("standard", *READ, *FEW, "--plot", str(picture))
    assert "vent static" in picture.read_text(encoding="utf-8") or picture.stat().st_size > 10_000


def test_a_visit_file_is_taken() -> None:
    page = run("strong_draught", *FEW).stdout
    assert "2 values fitted to" in page


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["standard"], "nothing was measured"),
        (["standard", *READ, "--only", "vent.resistence_factor"], "did you mean vent.resistance_factor"),
        (["standard", *READ, "--starts", "0"], "--starts: is 0"),
        (["standard", *READ, "--seed", "-1"], "--seed: is -1"),
        (["standard", *READ, "-o", "mine.txt"], "must end in .toml"),
        (["standard", *READ, "--plot", "fit.doc"], "ends in .png"),
        (["standard", "--measured", "static=3 lb"], "is a pressure"),
        (["strong_draught", "--fault", "weak_burner=80 %"], "a visit file names its own"),
        (["standard", *READ, *READ[:2]], "given twice"),
    ],
)
def test_what_is_refused(words: list[str], told: str) -> None:
    done = run(*words, code=2)
    assert told in done.stderr and not done.stdout


def test_an_existing_file_is_left_as_it_is(tmp_path: Path) -> None:
    out = tmp_path / "mine.toml"
    out.write_text("# mine\n", encoding="utf-8")
    assert "already exists" in run("standard", *READ, *FEW, "-o", str(out), code=2).stderr
    assert out.read_text(encoding="utf-8") == "# mine\n"
