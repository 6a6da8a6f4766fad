"""The small step of the valve coils, in signals made by hand."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from dryermodel.field.traces.coils import decode
from dryermodel.field.traces.placing import placed, releases
from dryermodel.field.traces.reading import Trace, read_run
from dryermodel.field.traces.rhythm import rhythm
from dryermodel.field.traces.runs import cut_out
from dryermodel.field.traces.samples import FREE, GLOW, HELD, Readings, against, noise_of
from dryermodel.field.traces.table import Log

Vector = NDArray[np.float64]

# From, to [s]: igniter, then flame; a first burn, two strokes.
GLOWS = [(0, 15), (900, 915), (1085, 1100)]
FLAMES = [(15, 830), (915, 1010), (1100, 1190)]
END = 1500


def signal(step: float, noise: float, seed: int, fall: float = 30.0) -> tuple[Vector, Vector]:
    """Power of motor, igniter and coils, once a second, standing still for a minute before and after."""
    time = np.arange(-60.0, END + 60.0)
    power = np.where((time >= 0) & (time < END), 250.0 - fall * np.clip(time / 1000.0, 0.0, 1.0), 1.0)
    for a, b in GLOWS:
        power[(time >= a) & (time < b)] += 480.0
    for a, b in FLAMES:
        power[(time >= a) & (time < b)] += step
    random = np.random.default_rng(seed)
    return time, power + random.normal(0.0, noise, len(time)) * ((time >= 0) & (time < END))


def read(time: Vector, power: Vector) -> Trace:
    told = rhythm(time, {"power": power})
    return read_run(
        cut_out(
            Log(time - time[0], {"power": power}, told.usual, told.steady, "", (), told.least, told.short)
        )
    )


@pytest.mark.parametrize("step", [5.0, 8.0, 12.0, 20.0])
@pytest.mark.parametrize("seed", [1, 2])
def test_burns_are_found_to_the_second(step: float, seed: int) -> None:
    trace = read(*signal(step, 1.2, seed))
    assert len(trace.burns) == len(FLAMES)
    for burn, (on, off) in zip(trace.burns, FLAMES, strict=True):
        assert burn.on.time == pytest.approx(on, abs=1.5)
        assert burn.off.time == pytest.approx(off, abs=3.0 if step < 6.0 else 1.5)
    assert trace.power is not None and trace.power.coil_step is not None
    assert trace.power.coil_step.value == pytest.approx(step, abs=1.0)
    assert [g.length.time for g in trace.power.glows] == pytest.approx([15.0] * 3, abs=1.0)


def test_the_likelier_place_of_a_step_has_the_weight() -> None:
    time, power = signal(8.0, 1.2, 3)
    run = slice(60, 60 + END)
    r = Readings(time[run], power[run], power[run] > 450.0, False, 1.0)
    coils = decode(r)
    (first, *_) = releases(coils.states)
    places, weight = placed(r, coils, first)
    assert weight.sum() == pytest.approx(1.0)
    assert abs(time[run][int(places[np.argmax(weight)])] + 1.0 - 830.0) <= 1.0
    spread = np.sqrt(weight @ (places - weight @ places) ** 2)
    assert spread < 2.0
    faint = Readings(r.time, signal(2.5, 2.5, 3)[1][run], r.glow, False, 1.0)
    blurred = placed(faint, coils._replace(step=2.5, noise=2.5, level=faint.power - 240.0), first)[1]
    assert np.max(blurred) < np.max(weight)


def test_states_at_each_reading() -> None:
    time, power = signal(10.0, 0.5, 4)
    run = slice(60, 60 + END)
    states = decode(Readings(time[run], power[run], power[run] > 450.0, False, 1.0)).states
    for seconds, state in ((5, GLOW), (100, HELD), (860, FREE), (905, GLOW), (950, HELD), (1400, FREE)):
        assert states[seconds] == state


def test_noise_is_that_of_the_readings_and_not_of_the_steps() -> None:
    time, power = signal(8.0, 1.5, 5)
    run = slice(60, 60 + END)
    assert noise_of(Readings(time[run], power[run], power[run] > 450.0, False, 1.0)) == pytest.approx(
        1.5, rel=0.1
    )


def test_a_try_without_flame_is_no_burn() -> None:
    """The coils hold for the half minute in which the sensor recloses, then the igniter glows again."""
    time = np.arange(-60.0, 700.0)
    power = np.where((time >= 0) & (time < 630), 250.0, 1.0)
    for k in range(14):
        glow = (time >= 45 * k) & (time < 45 * k + 15)
        power += 480.0 * glow + 8.0 * ((time >= 45 * k + 15) & (time < 45 * k + 45))
    trace = read(time, power + np.random.default_rng(6).normal(0.0, 1.0, len(time)) * (power > 100.0))
    assert trace.power is not None
    assert len(trace.power.glows) == 14
    assert trace.power.failed >= 13 and len(trace.burns) <= 1
    assert any("brought no flame" in note for note in trace.notes)


def test_a_machine_whose_igniter_never_glows() -> None:
    time = np.arange(-60.0, 700.0)
    power = np.where((time >= 0) & (time < 640), 240.0, 1.0)
    trace = read(time, power + np.random.default_rng(7).normal(0.0, 1.0, len(time)) * (power > 100.0))
    assert trace.burns == ()
    assert any("no glow" in note for note in trace.notes)
    assert trace.power is not None and trace.power.time_to_flame is None


def test_a_run_that_is_cut_off_gives_no_length() -> None:
    """The log begins with the machine running and ends before it stops."""
    time, power = signal(8.0, 1.0, 8)
    trace = read(time[160:1300], power[160:1300])
    names = {found.name for found in trace.found}
    assert trace.run.whole == (False, False)
    assert not names & {"cycle time", "first burn", "electricity used", "motor power early", "burner cycles"}
    assert "burner on late" in names
    assert any("its start is not known" in note for note in trace.notes)


def test_what_the_exhaust_says_against_a_state() -> None:
    """It cools with the burner off and warms with it on, where readings are far enough apart to tell."""
    time = np.array([0.0, 30.0, 60.0, 90.0])
    held, free = against(time, np.array([320.0, 323.0, 319.0, 319.5]))
    assert held == pytest.approx([0.0, 0.0, 9.0, 0.0])
    assert free == pytest.approx([0.0, 4.0, 0.0, 0.0])
    near = against(np.arange(4.0), np.array([320.0, 323.0, 319.0, 319.5]))
    assert not np.any(near)
    gap = against(time, np.array([320.0, np.nan, 319.0, 318.0]))
    assert np.isfinite(gap).all()


def test_reports_of_changes_miss_no_glow() -> None:
    """A logger that reports the igniter has not missed it: what looks like a light is a load that shifts."""
    time = np.arange(-60.0, 700.0)
    power = np.where((time >= 0) & (time < 640), 240.0, 1.0) + 480.0 * ((time >= 0) & (time < 15))
    power += 8.0 * ((time >= 15) & (time < 300)) + 8.0 * ((time >= 400) & (time < 500))
    power += np.random.default_rng(9).normal(0.0, 0.5, len(time)) * (power > 100.0)
    kept = [0]
    for i in range(1, len(time)):
        if time[i] - time[kept[-1]] >= 30.0 or abs(power[i] - power[kept[-1]]) > 4.0:
            kept.append(i)
    trace = read(time[kept], power[kept])
    assert not trace.run.log.steady
    assert len(trace.burns) == 1 and trace.burns[0].off.time == pytest.approx(300.0, abs=1.5)
    assert trace.power is not None and trace.power.unseen == 0
