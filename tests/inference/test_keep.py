"""Banks kept between processes: what is read back is what was drawn, and a name stands for all of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from dryermodel.inference import bank, keep
from dryermodel.inference.bank import Bank
from dryermodel.inference.keep import KEPT, SOURCES, bank_for, key_of
from dryermodel.inference.priors import Hypothesis, Priors, priors_of
from dryermodel.scenario.model import Scenario, load_scenario

SIZE = 12


@pytest.fixture(scope="module")
def machine() -> Scenario:
    return load_scenario("standard")


@pytest.fixture(scope="module")
def priors(machine: Scenario) -> Priors:
    """Three hypotheses are enough to keep."""
    found = priors_of(machine)
    return found._replace(hypotheses=found.hypotheses[:3])


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setattr(keep, "cache_root", lambda: tmp_path)
    yield tmp_path / keep.BANKS


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """Every draw from now on."""
    found: list[Any] = []
    draw = bank.draw

    def counted(*args: Any) -> Bank:
        found.append(args)
        return draw(*args)

    monkeypatch.setattr(keep, "draw", counted)
    return found


def same(one: Bank, other: Bank) -> bool:
    a, b = one.batch, other.batch
    arrays = [(a.which, b.which), (a.points, b.points), (a.severities, b.severities)]
    arrays += [(a.numbers[name], b.numbers[name]) for name in a.numbers]
    healthy = np.array_equal(list(one.healthy.values()), list(other.healthy.values()), equal_nan=True)
    return (
        all(np.array_equal(x, y, equal_nan=x.dtype.kind == "f") for x, y in arrays)
        and list(a.numbers) == list(b.numbers)
        and list(one.healthy) == list(other.healthy)
        and healthy
        and one.seed == other.seed
    )


def test_read_back_bit_for_bit_and_drawn_once(
    machine: Scenario, priors: Priors, folder: Path, drawn: list[Any]
) -> None:
    first, second = (bank_for(machine, priors, SIZE, 1) for _ in range(2))
    assert len(drawn) == 1
    assert same(first, second)
    assert [file.stem for file in folder.glob("*")] == [key_of(machine, priors, SIZE, 1)]


def cut(data: bytes) -> bytes:
    return data[: len(data) // 2]


def flipped(data: bytes) -> bytes:
    at = len(data) // 3
    return data[:at] + bytes([data[at] ^ 255]) + data[at + 1 :]


def of_other_parts(data: bytes) -> bytes:
    from io import BytesIO

    buffer = BytesIO()
    with np.load(BytesIO(data)) as held:
        np.savez(
            buffer, **{name: held[name] for name in held if name != "points"}
        )  # as an older one might be
    return buffer.getvalue()


def of_other_lengths(data: bytes) -> bytes:
    from io import BytesIO

    buffer = BytesIO()
    with np.load(BytesIO(data)) as held:
        np.savez(buffer, **{name: held[name][:-1] if name == "which" else held[name] for name in held})
    return buffer.getvalue()


@pytest.mark.parametrize("spoil", [cut, flipped, of_other_parts, of_other_lengths, lambda data: b""])
def test_spoilt_file_is_drawn_again_without_a_word(
    machine: Scenario, priors: Priors, folder: Path, drawn: list[Any], spoil: Any, capfd: Any
) -> None:
    whole = bank_for(machine, priors, SIZE, 1)
    (file,) = folder.glob("*")
    file.write_bytes(spoil(file.read_bytes()))
    assert same(bank_for(machine, priors, SIZE, 1), whole)
    assert len(drawn) == 2
    assert same(bank_for(machine, priors, SIZE, 1), whole)
    assert len(drawn) == 2  # and kept again
    assert capfd.readouterr() == ("", "")


def test_name_changes_with_whatever_decides(machine: Scenario, priors: Priors) -> None:
    wider = priors.unknown[0]._replace(high=priors.unknown[0].high * 1.01)
    other = [
        key_of(machine, priors, SIZE, 2),
        key_of(machine, priors, SIZE + 3, 1),
        key_of(load_scenario("standard", ["vent.elbows=3"]), priors, SIZE, 1),
        key_of(machine, priors._replace(least_severity=0.1), SIZE, 1),
        key_of(machine, priors._replace(hypotheses=priors.hypotheses[:2]), SIZE, 1),
        key_of(machine, priors._replace(unknown=(wider, *priors.unknown[1:])), SIZE, 1),
        key_of(machine, priors._replace(unknown=priors.unknown[1:]), SIZE, 1),
    ]
    assert len({key_of(machine, priors, SIZE, 1), *other}) == len(other) + 1


def test_name_is_the_same_for_another_weight_or_a_fault_of_the_scenario_s_own(
    machine: Scenario, priors: Priors
) -> None:
    """Weights come in afterwards, and a bank is of the sound machine."""
    name = key_of(machine, priors, SIZE, 1)
    heavier = tuple(Hypothesis(h.faults, 2.0 * h.weight) for h in priors.hypotheses)
    assert key_of(machine, priors._replace(hypotheses=heavier, outside=0.5), SIZE, 1) == name
    assert key_of(machine.with_faults({"vent_blockage": 0.7}), priors, SIZE, 1) == name


@pytest.mark.parametrize("source", SOURCES)
def test_name_changes_with_every_source(
    machine: Scenario, priors: Priors, monkeypatch: pytest.MonkeyPatch, source: str
) -> None:
    before = key_of(machine, priors, SIZE, 1)
    read = Path.read_bytes

    def changed(path: Path) -> bytes:
        return read(path) + (b"\n" if path.as_posix().endswith(f"dryermodel/{source}") else b"")

    monkeypatch.setattr(Path, "read_bytes", changed)
    assert key_of(machine, priors, SIZE, 1) != before


def test_name_changes_with_the_engine(
    machine: Scenario, priors: Priors, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = key_of(machine, priors, SIZE, 1)
    monkeypatch.setattr(keep, "fingerprint", lambda function: "another engine")
    assert key_of(machine, priors, SIZE, 1) != before


def test_oldest_bank_goes_when_there_are_many(machine: Scenario, priors: Priors, folder: Path) -> None:
    import os

    folder.mkdir(parents=True)
    for i in range(KEPT + 2):
        file = folder / f"{i}.npz"
        file.write_bytes(b"")
        os.utime(file, (1000.0 + i, 1000.0 + i))
    bank_for(machine, priors, SIZE, 1)
    left = {file.stem for file in folder.glob("*.npz")}
    assert left == {key_of(machine, priors, SIZE, 1), *(str(i) for i in range(3, KEPT + 2))}


def test_bank_that_cannot_be_kept_is_an_answer_all_the_same(
    machine: Scenario, priors: Priors, folder: Path
) -> None:
    folder.write_text("a file where the folder should be")
    assert len(bank_for(machine, priors, SIZE, 1).batch) == SIZE
    assert folder.is_file()
