"""Priors: weights that add up, a person's own file over them, and what cannot be in one."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from dryermodel.errors import InputError
from dryermodel.inference.draws import Drawer, severities_of
from dryermodel.inference.priors import HEALTHY, Hypothesis, Priors, priors_of, read_priors
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.uncertainty.uncertain import uncertain_of

STANDARD = load_scenario("standard")
USUAL = priors_of(STANDARD)


def written(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    return path


def weight(name: str, priors: Priors = USUAL) -> float:
    return next(h.weight for h in priors.hypotheses if h.name == name)


def test_weights_add_up_and_every_fault_is_there() -> None:
    assert sum(h.weight for h in USUAL.hypotheses) + USUAL.outside == pytest.approx(1.0)
    assert {h.name for h in USUAL.hypotheses if len(h.faults) == 1} == set(catalogue())
    assert USUAL.hypotheses[0].name == HEALTHY


def test_pairs_are_their_share_of_all_faults() -> None:
    pairs = [h.weight for h in USUAL.hypotheses if len(h.faults) == 2]
    faults = sum(h.weight for h in USUAL.hypotheses if h.faults)
    assert sum(pairs) / faults == pytest.approx(0.12)
    assert np.ptp(pairs) < 1e-15


def test_electric_machine_has_no_gas_faults_alone_or_in_pairs() -> None:
    electric = priors_of(load_scenario("electric"))
    held = {key for h in electric.hypotheses for key in h.faults}
    gas = {key for key, fault in catalogue().items() if fault.gas_only}
    assert gas and not gas & held
    assert sum(h.weight for h in electric.hypotheses) + electric.outside == pytest.approx(1.0)


def test_own_file_changes_what_it_names_and_nothing_else(tmp_path: Path) -> None:
    mine = priors_of(STANDARD, read_priors(written(tmp_path, "[weights]\nigniter_open = 8.0\n")))
    ratio = weight("igniter_open", mine) / weight("igniter_slow", mine)
    assert ratio == pytest.approx(4.0 * weight("igniter_open") / weight("igniter_slow"))
    assert weight("vent_blockage", mine) / weight("igniter_slow", mine) == pytest.approx(3.0)
    assert mine.unknown == USUAL.unknown


def test_fault_of_no_weight_is_never_suspected(tmp_path: Path) -> None:
    mine = priors_of(STANDARD, read_priors(written(tmp_path, "[weights]\noverload = 0\n")))
    assert "overload" not in {h.name for h in mine.hypotheses}


def test_range_of_an_unknown_can_be_set(tmp_path: Path) -> None:
    text = '[unknown."room.temperature"]\noffset = ["-1 delta_degF", "2 delta_degF"]\nshape = "uniform"\n'
    mine = priors_of(STANDARD, read_priors(written(tmp_path, text)))
    (found,) = (u for u in mine.unknown if u.key == "room.temperature")
    room = STANDARD.value("room.temperature")
    assert (found.low, found.high) == pytest.approx((room - 1.0 / 1.8, room + 2.0 / 1.8))
    assert found.source == "given"


def test_own_ranges_are_wider_than_those_of_one_s_own_machine() -> None:
    usual = {u.key: u.high - u.low for u in uncertain_of(STANDARD)}
    wider = {u.key: u.high - u.low for u in USUAL.unknown}
    assert {key for key in usual if wider[key] > usual[key] * 1.0001} == {
        "load.dry_mass", "load.initial_moisture", "room.temperature",
    }  # fmt: skip
    assert all(wider[key] == pytest.approx(usual[key]) or wider[key] > usual[key] for key in usual)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[wieghts]\n", "weights"),
        ("weights = 3\n", "section"),
        ("[weights]\nvent_blokage = 1\n", "vent_blockage"),
        ("[weights]\noverload = -1\n", "weights.overload"),
        ("[weights]\noverload = true\n", "weights.overload"),
        ('[weights]\noverload = "many"\n', "weights.overload"),
        ("[healthy]\nweight = 1e9\n", "healthy.weight"),
        ("[severity]\nleast = 1.0\n", "severity.least"),
        ("[pairs]\nshare = 1.0\n", "pairs.share"),
        ('[together]\nlist = [["overload"]]\n', "pair"),
        ('[together]\nlist = [["overload", "overload"]]\n', "pair"),
        ('[together]\nlist = [["overload", "underload"]]\n', "overload"),
        ('[unknown."load.dry_mas"]\nfactor = [0.5, 2.0]\nshape = "uniform"\n', "load.dry_mass"),
        ('[unknown."load.dry_mass"]\nshape = "uniform"\n', "factor"),
        ('[unknown."load.dry_mass"]\nfactor = [0.5]\nshape = "uniform"\n', "two ends"),
        ('[unknown."load.dry_mass"]\nfactor = [0.5, 2.0]\nshape = "round"\n', "triangular"),
        ("[weights\n", "cannot be read"),
    ],
)
def test_what_cannot_be_is_told_with_file_and_key(tmp_path: Path, text: str, told: str) -> None:
    with pytest.raises(InputError) as caught:
        read_priors(written(tmp_path, text))
    assert told in str(caught.value)


@pytest.mark.parametrize(
    "entry",
    [
        'offset = ["3 kg", "5 kg"]\nshape = "uniform"',
        'offset = ["-3 degF", "5 degF"]\nshape = "uniform"',
        "factor = [1.2, 2.0]\nshape = 'triangular'",
    ],
)
def test_range_that_does_not_hold_the_scenario_s_value_is_told(tmp_path: Path, entry: str) -> None:
    raw = read_priors(written(tmp_path, f'[unknown."load.dry_mass"]\n{entry}\n'))
    with pytest.raises(InputError, match=r"unknown\.load\.dry_mass"):
        priors_of(STANDARD, raw)


def test_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_priors(tmp_path / "none.toml")


def test_severities_are_even_from_the_least_to_the_worst() -> None:
    drawer = Drawer(STANDARD, USUAL)
    points = np.random.default_rng(1).standard_normal((4000, drawer.width))
    bad = drawer.severities(points)
    assert bad.min() >= USUAL.least_severity and bad.max() <= 1.0
    assert np.histogram(bad[:, 0], 8, (0.2, 1.0))[0] / 4000 == pytest.approx(np.full(8, 0.125), abs=0.02)


def test_values_follow_the_ranges() -> None:
    drawer = Drawer(STANDARD, USUAL)
    points = np.random.default_rng(2).standard_normal((4000, drawer.width))
    values = drawer.values(points)
    for i, u in enumerate(USUAL.unknown):
        assert values[:, i].min() >= u.low and values[:, i].max() <= u.high
        assert np.median(values[:, i]) == pytest.approx(float(u.ppf(0.5)), abs=0.04 * (u.high - u.low))


def test_points_beyond_the_edge_are_at_it() -> None:
    drawer = Drawer(STANDARD, USUAL)
    far = drawer.values(np.array([np.full(drawer.width, 40.0), np.full(drawer.width, -40.0)]))
    assert far[0] == pytest.approx([u.high for u in USUAL.unknown], rel=1e-4)
    assert far[1] == pytest.approx([u.low for u in USUAL.unknown], rel=1e-4)


def test_row_has_the_fault_and_what_moves_with_the_unknown() -> None:
    drawer = Drawer(STANDARD, USUAL)
    which = np.array([0, [h.name for h in USUAL.hypotheses].index("lint_screen_blocked")])
    points = np.zeros((2, drawer.width))
    points[:, 2:] = np.random.default_rng(3).standard_normal(drawer.width - 2)
    sound, blocked = drawer.rows(USUAL.hypotheses, which, points)
    half = USUAL.least_severity + 0.5 * (1.0 - USUAL.least_severity)
    expected = apply_faults(
        drawer._make([float(v) for v in drawer.values(points)[0]]), {"lint_screen_blocked": half}
    )
    assert blocked["screen_loss"] == pytest.approx(expected.screen_loss)
    changed = {name for name in sound.dtype.names or () if not np.array_equal(sound[name], blocked[name])}
    assert changed == {"screen_loss"}


def test_severities_go_to_the_graded_faults_of_a_pair() -> None:
    pair = Hypothesis(("vent_blockage", "thermal_cutoff_open"), 1.0)
    assert severities_of(pair, np.array([0.4, 0.9])) == {"vent_blockage": 0.4, "thermal_cutoff_open": 1.0}
    assert pair.graded == ("vent_blockage",)
    assert severities_of(Hypothesis((), 1.0), np.array([0.4, 0.9])) == {}
