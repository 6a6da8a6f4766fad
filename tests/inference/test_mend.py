"""Machines before and after what was mended: the same ones, drawn by what the evidence says of them."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from dryermodel.field.evidence import gather
from dryermodel.inference.bank import LONGEST, Bank
from dryermodel.inference.diagnosis import Diagnosis, diagnose
from dryermodel.inference.gains import FEW, TWINS, Mending, gains, mend
from tests.inference.toys import Array, Rule, toy_bank

SLOPE = 300.0
LOST = 1500.0
"""Time [s] that the vent and the burner of a toy take at their worst, each."""


def rule(*places: int) -> Rule:
    """A cycle that the severities in these places lengthen; it tells severities and load in other numbers."""

    def numbers(points: Array, bad: Array) -> dict[str, Array]:
        time = 3000.0 + SLOPE * points[:, 2] + sum(LOST * bad[:, i] for i in places)
        return {
            "cycle_time": time,
            "gas_energy": bad[:, 0],
            "electric_energy": bad[:, 1],
            "final_moisture": points[:, 2],
        }

    return numbers


def bank(pair: bool = True, **more: Any) -> Bank:
    found = [
        ((), 0.4, rule()),
        (("vent_blockage",), 0.3, rule(0)),
        (("weak_burner",), 0.2, rule(0)),
    ]
    found += [(("vent_blockage", "weak_burner"), 0.1, rule(0, 1))] if pair else []
    return toy_bank(found, **more)


SINGLES = [((key,), 1e-12, rule(0)) for key in ("vent_blockage", "weak_burner")]
"""Faults alone, so rare that nothing but the pair is drawn."""

SLOW = ["cycle time=70 min"]


def mended(*keys: str, evidence: list[str] = SLOW, pair: bool = True) -> tuple[Diagnosis, Mending | None]:
    found = diagnose(bank(pair), gather(evidence, []), seed=1, fresh=0)
    return found, mend(found, keys)


def test_every_machine_keeps_its_own_unknowns_and_loses_what_the_fault_took() -> None:
    _, m = mended("vent_blockage", pair=False)
    assert m is not None and m.together and len(m.before["cycle_time"]) == TWINS
    bad = m.before["gas_energy"]  # the toy tells its severity there
    assert m.before["cycle_time"] - m.after["cycle_time"] == pytest.approx(LOST * bad)


def test_the_machines_are_those_that_fit_the_evidence() -> None:
    _, slow = mended("vent_blockage")
    _, quick = mended("vent_blockage", evidence=["cycle time=58 min"])
    assert slow is not None and quick is not None
    assert np.mean(slow.before["cycle_time"]) == pytest.approx(4200.0, abs=200.0)
    assert np.mean(quick.before["cycle_time"]) < np.mean(slow.before["cycle_time"]) - 300.0


def test_all_that_is_named_is_mended() -> None:
    found, m = mended("weak_burner", "vent_blockage")
    assert m is not None and m.together
    assert m.after["cycle_time"] == pytest.approx(3000.0 + SLOPE * m.before["final_moisture"])
    assert mend(found, []) is None


@pytest.mark.parametrize(
    ("key", "left"), [("vent_blockage", "electric_energy"), ("weak_burner", "gas_energy")]
)
def test_of_two_faults_the_other_stays_as_bad_as_it_was(key: str, left: str) -> None:
    found = bank()
    only = [h for h in found.hypotheses if len(h.faults) != 1]  # nothing, or both
    both = toy_bank([*((h.faults, h.weight, rule(*range(len(h.faults)))) for h in only), *SINGLES])
    m = mend(diagnose(both, gather(["cycle time=92 min"], []), seed=1, fresh=0), [key])
    assert m is not None
    assert m.after["gas_energy"] == pytest.approx(m.before[left])
    assert m.after["cycle_time"] == pytest.approx(
        3000.0 + SLOPE * m.before["final_moisture"] + LOST * m.before[left]
    )


def test_faults_that_no_machine_has_together_are_taken_one_by_one() -> None:
    _, m = mended("vent_blockage", "weak_burner", pair=False)
    assert m is not None and not m.together and m.faults == ("vent_blockage", "weak_burner")
    assert (m.before["cycle_time"] > m.after["cycle_time"]).all()


def test_a_fault_that_no_machine_has_is_not_modelled() -> None:
    assert mended("igniter_open")[1] is None


def test_few_machines_give_a_wide_answer_and_not_one_of_no_width() -> None:
    one = diagnose(bank(size=60), gather(["cycle time=90 min"], []), seed=1, fresh=0)
    m = mend(one, ["vent_blockage"])
    assert m is not None and m.effective < FEW
    assert len(np.unique(m.before["cycle_time"])) > 5


def test_same_seed_same_machines() -> None:
    one, other = (mended("vent_blockage")[1] for _ in range(2))
    assert one is not None and other is not None
    assert np.array_equal(one.before["cycle_time"], other.before["cycle_time"])


@pytest.mark.parametrize("endless", [False, True])
def test_a_repair_of_cycles_that_were_given_up_says_so(endless: bool) -> None:
    """A fault at half of its worst and above never ends: what its repair saves was cut off."""

    def faulty(points: Array, bad: Array) -> dict[str, Array]:
        told = dict(rule(0)(points, bad))
        told["cycle_time"] = np.where(endless & (bad[:, 0] > 0.5), LONGEST, told["cycle_time"])
        return told

    toys = toy_bank([((), 0.5, rule()), (("vent_blockage",), 0.5, faulty)])
    (found,) = gains(diagnose(toys, gather([], []), fresh=0))
    assert found.given_up == endless
