"""A diagnosis in words: groups of many, what could be hidden, what is saved, and who leaves first."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from dryermodel.field.complaints import complained_of
from dryermodel.field.evidence import gather
from dryermodel.inference.diagnosis import Diagnosis, Interval, Ranked, diagnose
from dryermodel.inference.gains import Gain
from dryermodel.scenario.faults import catalogue
from dryermodel.show.pages.report import words as report
from dryermodel.show.text import diagnosis as show
from dryermodel.show.text.columns import WIDEST
from dryermodel.show.text.complaint import NOT_UNDERSTOOD
from tests.inference.toys import Rule, line, toy_bank

MANY = tuple(catalogue())[:24]
GRADED = ("vent_blockage", "weak_burner")
TIME = "cycle time=50 min"


def crowd() -> Ranked:
    """Many faults of which none holds a twentieth of the group."""
    return Ranked(MANY, False, 0.6, dict.fromkeys(MANY, 0.6 / len(MANY)), {}, tuple(range(len(MANY))))


def test_of_many_that_hold_little_each_the_first_are_named() -> None:
    named = [show.name_of(key) for key in MANY[:3]]
    assert show.short_name(crowd()) == f"{' / '.join(named)} / 21 more, less likely"
    assert show.titles(crowd()).count('"') == 6
    assert report.members(crowd()) == list(MANY[:3])


def test_members_that_hold_little_beside_others_are_only_counted() -> None:
    shares = dict.fromkeys(MANY, 0.001) | {MANY[1]: 0.5}
    assert show.likely_of(crowd()._replace(members=shares), 0.05) == [MANY[1]]


def weighed(sound: float, *known: str) -> Diagnosis:
    """A healthy machine and two graded faults that show in nothing."""
    rule: Rule = line(3000.0, 100.0)
    rest = 0.5 * (1.0 - sound)
    kinds = [((), sound, rule), *(((key,), rest, rule) for key in GRADED)]
    return diagnose(toy_bank(kinds, 900), gather(known, []), fresh=0)


def test_what_could_be_hidden_is_told_once_something_was_measured() -> None:
    nothing, some = (" ".join(show.verdict(d)) for d in (weighed(0.6), weighed(0.6, TIME)))
    assert "stands first" in nothing and "without showing" not in nothing
    assert "vent blockage, up to" in some
    assert "weak burner, down to" in some, "a weaker burner has less gas, not more"


@pytest.mark.parametrize(("sound", "likelier"), [(0.45, True), (0.2, False)])
def test_a_group_ahead_of_nothing_wrong_by_number_alone_says_so(sound: float, likelier: bool) -> None:
    d = weighed(sound, TIME)
    assert len(d.ranking[0].faults) == 2
    assert ("is likelier than any one of them" in " ".join(show.verdict(d))) == likelier


def gain(time: tuple[float, float, float], energy: float) -> Gain:
    flat = Interval(energy, energy, energy)
    saved = {"cycle_time": Interval(*time), "gas_energy": flat, "electric_energy": Interval(0.0, 0.0, 0.0)}
    return Gain("vent_blockage", 0.5, {"cycle_time": Interval(3000.0, 3000.0, 3000.0)}, saved, 40)


def test_savings_have_a_sign_and_nought_has_none() -> None:
    (row,) = show.gain_table([gain((-20.0, 0.0, 90.0), -1000.0)])[1]
    assert row[3:] == ["0 to +2 min", "0.00 kWh"]


@pytest.mark.parametrize(
    ("time", "energy", "told"),
    [
        ((-120.0, 0.0, 60.0), 0.0, True),
        ((0.0, 0.0, 60.0), -3.6e6, True),
        ((-20.0, 0.0, 60.0), -1000.0, False),
        ((10.0, 20.0, 60.0), 3.6e6, False),
    ],
)
def test_a_repair_that_takes_more_is_explained(
    time: tuple[float, float, float], energy: float, told: bool
) -> None:
    assert bool(show.gain_notes([gain(time, energy)])) == told
    assert np.all([len(x) <= WIDEST for x in show.gain_notes([gain(time, energy)])])


def test_what_is_saved_of_cycles_given_up_is_marked_and_explained() -> None:
    whole, cut = (
        gain((600.0, 900.0, 7200.0), 3.6e6),
        gain((600.0, 900.0, 7200.0), 3.6e6)._replace(given_up=True),
    )
    (first, second) = show.gain_table([whole, cut])[1]
    assert (first[3], second[3]) == ("+10 to +120 min", "+10 to +120 min *")
    assert "given up after 180 min" in " ".join(show.gain_notes([whole, cut]))
    assert "given up" not in " ".join(show.gain_notes([whole]))


def test_likely_means_one_thing_and_what_counts_pairs_too_is_called_otherwise() -> None:
    d = weighed(0.2, TIME)
    assert show.ranking_table(d)[0][0] == "likely" and "likely" not in show.gain_table([])[0]


@pytest.mark.parametrize(
    ("times", "told"),
    [(1, "if it stands, write it down twice, and look for"), (2, ": it stands, so look for")],
)
def test_a_reading_that_fits_nothing_is_to_be_read_again_once(times: int, told: str) -> None:
    known = gather(["cycle time=300 min +- 10 s"], [])
    known = known._replace(measured=(known.measured[0]._replace(times=times),))
    d = diagnose(toy_bank([((), 1.0, line(2400.0, 100.0))]), known, fresh=0)
    assert "nothing likely in the catalogue" in " ".join(show.verdict(d)) and told in " ".join(
        show.verdict(d)
    )


def test_an_overload_saves_on_a_smaller_load_only() -> None:
    saved = gain((10.0, 20.0, 60.0), 3.6e6)
    assert "of its own" in " ".join(show.gain_notes([saved._replace(fault="overload")]))


def test_one_named_fault_needs_nothing_told_apart() -> None:
    """Where one of a group stands far out, no look at "these" is asked for."""
    rule: Rule = line(3000.0, 100.0)
    shares = [((), 1e-6), (("vent_blockage",), 0.95), (("weak_burner",), 0.05)]
    alone, even = (
        diagnose(toy_bank([(key, p, rule) for key, p in kinds], 900), gather([TIME], []), fresh=0)
        for kinds in (shares, [shares[0], *((key, 0.5) for key, _ in shares[1:])])
    )
    assert (len(alone.ranking[0].faults), len(even.ranking[0].faults)) == (1, 2)
    assert "tells these apart" not in " ".join(show.verdict(alone))
    assert "tells these apart" in " ".join(show.verdict(even))


def test_faults_of_the_scenario_are_said_to_be_left_out() -> None:
    d = weighed(0.6, TIME)
    faulty = replace(d.bank, scenario=d.bank.scenario.with_faults({"vent_blockage": 0.7}))
    plain = show.heading(d)
    told = show.heading(replace(d, posterior=replace(d.posterior, bank=faulty)))
    assert told[0] == plain[0] and "vent blockage: left out" in told[1] and told[2:] == plain[1:]


@pytest.mark.parametrize(
    ("complaint", "known"),
    [("takes 2 cycles", True), ("il est en panne", False), ("smells of gas", True), ("", True)],
)
def test_a_complaint_that_counts_for_nothing_is_said(complaint: str, known: bool) -> None:
    numbers: Rule = lambda x, bad: {"cycle_time": 3000.0 + x[:, 2], "lateness": x[:, 3]}  # noqa: E731
    d = diagnose(toy_bank([((), 1.0, numbers)], 50), gather([], [], complaint), fresh=0)
    assert ("counts for nothing" in " ".join(show.heading(d))) != known


@pytest.mark.parametrize(
    ("seen", "complaint", "waits"),
    [
        ("smell of gas", "", True),
        ("", "it stinks of gas", True),
        ("limit trips", "", False),
        ("", "takes too long", False),
    ],
)
def test_where_nobody_stays_the_tests_wait(seen: str, complaint: str, waits: bool) -> None:
    known = gather([], [seen] if seen else [], complaint)
    rule = lambda points, bad: {"cycle_time": 3000.0 + points[:, 2], "lateness": points[:, 3]}  # noqa: E731
    d = diagnose(toy_bank([((), 1.0, rule)], 50), known, fresh=0)
    assert ("not before" in show.next_heading(d)) == waits


def test_words_that_are_offered_are_understood() -> None:
    offered = re.findall(r"'([^']+)'", NOT_UNDERSTOOD)
    assert len(offered) > 4 and all(complained_of(words) for words in offered)


@pytest.mark.parametrize(
    ("complaint", "told"),
    [
        ("sqeaks terribly", "counts for nothing (the nearest known is 'noisy drum')"),
        ("shows an error code", "counts for nothing: say it otherwise"),
        ("trips the breaker", "FIRST: A breaker that trips"),
    ],
)
def test_words_not_known_are_told_with_the_nearest_and_a_breaker_with_its_caution(
    complaint: str, told: str
) -> None:
    rule: Rule = line(3000.0, 10.0)
    d = diagnose(toy_bank([((), 1.0, rule)], 50), gather([], [], complaint), fresh=0)
    assert told in " ".join(" ".join(show.heading(d)).split())


def test_a_unit_that_ends_in_a_point_ends_the_sentence() -> None:
    rule: Rule = line(200.0, 10.0, "mid_drying_static")
    known = gather(["vent static=0.9 in w.c."], [])
    assert show.heading(diagnose(toy_bank([((), 1.0, rule)], 50), known, fresh=0))[1].endswith(" in w.c.")
    assert ".." not in " ".join(show.heading(weighed(0.6, TIME)))
