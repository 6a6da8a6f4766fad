"""The air network against its raw equations and a root finder of its own."""

from __future__ import annotations

import itertools
import math
from typing import NamedTuple

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from dryermodel.physics import airflow as af
from dryermodel.physics import duct
from tests.physics.vents import CFM, INH2O, vent


class Case(NamedTuple):
    """One network."""

    room_density: float
    drum_density: float
    reference_density: float
    burner_loss: float
    load_loss: float
    screen_loss: float
    seal: float
    gasket: float
    joint: float
    coefficient: float
    dead_head: float
    fan_slope: float
    vent: duct.VentLine
    back_pressure: float


HEALTHY = Case(1.17, 1.05, 1.2, 16500.0, 5700.0, 16000.0, 14e-4, 4e-4, 0.0, 0.6, 361.0, 15830.0, vent(), 0.0)

cases = st.builds(
    Case,
    st.floats(0.7, 1.4),
    st.floats(0.6, 1.4),
    st.floats(1.0, 1.3),
    st.floats(500.0, 5.0e5),
    st.floats(0.0, 5.0e5),
    st.floats(0.0, 5.0e6),
    st.floats(0.0, 3.0e-2),
    st.floats(0.0, 3.0e-2),
    st.one_of(st.just(0.0), st.floats(1.0e-6, 3.0e-2)),
    st.floats(0.3, 1.0),
    st.one_of(st.just(0.0), st.floats(5.0, 1500.0)),
    st.floats(500.0, 1.0e6),
    st.builds(
        duct.VentLine,
        st.floats(0.05, 0.30),
        st.floats(0.0, 60.0),
        st.floats(0.0, 2.5e-3),
        st.floats(1.0, 20.0),
        st.one_of(st.floats(0.2, 200.0), st.just(2.0e8)),
        st.floats(0.1, 1000.0),
    ),
    st.one_of(st.just(0.0), st.floats(0.0, 500.0)),
)


def solve(c: Case) -> af.Flows:
    net = network(c)
    return af.solve_network(
        net, af.usual_root(net, c.reference_density), 1.0, 1.0, c.room_density, c.drum_density
    )


def network(c: Case) -> af.Network:
    return af.fold(
        af.Losses(c.reference_density, c.burner_loss, c.load_loss, c.screen_loss, 0.0),
        af.Leaks(c.seal, c.gasket, c.joint, c.coefficient),
        af.Fan(c.dead_head, c.fan_slope),
        c.vent,
        c.back_pressure,
    )


def orifice(area: float, c: Case, density: float, dp: float) -> float:
    return c.coefficient * area * math.sqrt(2.0 * density * max(dp, 0.0))


def upstream(c: Case, suction: float) -> tuple[float, float, float, float]:
    """Burner, seal, gasket flow and drum vacuum at a vacuum before the blower, by bracketing."""

    def inlets(drum: float) -> tuple[float, float]:
        burner = math.sqrt(max(drum, 0.0) * c.reference_density * c.room_density / c.burner_loss)
        return burner, orifice(c.seal, c, c.room_density, drum)

    def excess(share: float) -> float:
        m = sum(inlets(share * suction))
        lost = (c.load_loss + c.screen_loss) / c.drum_density
        return share + lost * m * m / (c.reference_density * suction) - 1.0

    drum = suction * float(brentq(excess, 0.0, 1.0, xtol=1e-15, rtol=1e-14))
    burner, seal = inlets(drum)
    return burner, seal, orifice(c.gasket, c, c.room_density, suction), drum


def vent_flow(c: Case, dp: float, density: float) -> float:
    """Mass flow through the vent whose friction depends on that flow, by bracketing."""
    if dp <= 0.0:
        return 0.0

    def excess(m: float) -> float:
        f = duct.friction_factor(duct.vent_reynolds(m, c.vent.diameter), c.vent.roughness / c.vent.diameter)
        return duct.vent_resistance(f, c.vent, density) * m * m - dp

    high = 1.0
    while excess(high) < 0.0:
        high *= 4.0
    return float(brentq(excess, 0.0, high, xtol=1e-15, rtol=1e-13))


def raw_network(c: Case) -> tuple[float, float, float, float, float]:
    """Burner, seal, gasket, joint flow and collar pressure from the unfolded element equations."""

    def walk(suction: float) -> tuple[float, tuple[float, float, float, float, float]]:
        burner, seal, gasket, _ = upstream(c, suction)
        total = burner + seal + gasket
        volume = (burner + seal) / c.drum_density + gasket / c.room_density
        density = total / volume if volume > 0.0 else c.drum_density
        scale = density / c.reference_density
        flow = total / density
        collar = scale * (c.dead_head - c.fan_slope * flow * flow) - suction
        joint = orifice(c.joint, c, density, collar)
        out = joint + vent_flow(c, collar - c.back_pressure, density)
        return total - out, (burner, seal, gasket, joint, collar)

    if c.dead_head == 0.0:
        return 0.0, 0.0, 0.0, 0.0, 0.0
    high = 1.4 / c.reference_density * c.dead_head
    if walk(1e-15 * high)[0] >= 0.0:  # held shut: the blower works against its dead head
        return 0.0, 0.0, 0.0, 0.0, walk(1e-15 * high)[1][4]
    suction = brentq(lambda s: walk(s)[0], 1e-15 * high, high, xtol=1e-16, rtol=1e-14)
    return walk(float(suction))[1]


@settings(max_examples=120, deadline=None, derandomize=True)
@given(cases)
@example(HEALTHY)
@example(HEALTHY._replace(dead_head=0.0))
@example(HEALTHY._replace(vent=HEALTHY.vent._replace(minor_loss=2.0e8)))
@example(HEALTHY._replace(joint=20e-4))
@example(HEALTHY._replace(joint=20e-4, back_pressure=60.0))
@example(HEALTHY._replace(joint=20e-4, back_pressure=500.0))
@example(HEALTHY._replace(back_pressure=500.0))
def test_network_against_raw_equations(c: Case) -> None:
    """scipy's brentq on the element equations, nothing folded; friction iterated to the end there.

    The folded solution takes two Newton steps for friction and flow together. Over 4000 random networks
    that left at most 1.4e-6 of the blower flow above Re 20,000 in the vent, 2e-4 below it (a trickle
    through a long crushed duct), and 7e-4 of the static.
    """
    f = solve(c)
    burner, seal, gasket, joint, collar = raw_network(c)
    total = burner + seal + gasket
    slow = duct.vent_reynolds(total - joint, c.vent.diameter) < 2.0e4
    off = (1e-3 if slow else 1e-5) * total + 1e-9
    for mine, raw in ((f.burner, burner), (f.drum_seal, seal), (f.gasket, gasket), (f.joint, joint)):
        assert mine == pytest.approx(raw, rel=0.0, abs=off)
    assert f.collar_pressure == pytest.approx(collar, rel=1e-3, abs=1e-6 * c.dead_head)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(cases)
@example(HEALTHY)
def test_mass_is_conserved_and_nothing_flows_backwards(c: Case) -> None:
    f = solve(c)
    assert f.burner + f.drum_seal + f.gasket == pytest.approx(f.total, rel=1e-12, abs=1e-15)
    assert min(f) >= -1e-15 * f.total  # a share left over by subtraction may round below zero
    assert f.joint <= f.total
    assert all(math.isfinite(v) for v in f)
    assert f.drum_suction <= f.suction * (1.0 + 1e-12)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(cases, st.floats(0.05, 1.0), st.floats(0.0, 0.95))
def test_blockage_raises_static_and_lowers_flow(c: Case, wide: float, ratio: float) -> None:
    """More blockage never passes more air, and never reads less at the collar."""
    assume(c.vent.minor_loss < 1e6)
    line = c.vent

    def blocked(o: float) -> af.Flows:
        more = duct.blockage_loss(o)
        return solve(c._replace(vent=line._replace(minor_loss=line.minor_loss + more)))

    a, b = blocked(wide), blocked(wide * ratio)
    assert b.total <= a.total * (1.0 + 1e-4)
    assert b.collar_pressure >= a.collar_pressure * (1.0 - 1e-4)


def test_closed_vent() -> None:
    """Fully blocked: the blower's whole net head at the collar, next to nothing flows."""
    shut = solve(HEALTHY._replace(vent=HEALTHY.vent._replace(minor_loss=duct.blockage_loss(0.0))))
    assert 0.0 < shut.total < 1e-4
    gasket_share = shut.gasket / shut.total
    density = 1.0 / ((1.0 - gasket_share) / 1.05 + gasket_share / 1.17)
    assert shut.collar_pressure == pytest.approx(361.0 * density / 1.2, rel=1e-4)


def test_closed_vent_with_an_open_joint_still_dries() -> None:
    """All the air then leaves into the room."""
    line = HEALTHY.vent._replace(minor_loss=duct.blockage_loss(0.0))
    f = solve(HEALTHY._replace(vent=line, joint=50e-4))
    assert f.joint == pytest.approx(f.total, rel=1e-3)
    assert f.total > 0.03


def test_back_pressure_above_the_dead_head_stops_the_vent() -> None:
    f = solve(HEALTHY._replace(back_pressure=400.0))
    assert f.total == 0.0
    assert f.collar_pressure == pytest.approx(361.0 * 1.0 / 1.2 * 1.05, rel=0.02)
    leaking = solve(HEALTHY._replace(back_pressure=400.0, joint=10e-4))
    assert leaking.joint == pytest.approx(leaking.total, rel=1e-9)


def test_no_fan_no_flow() -> None:
    assert solve(HEALTHY._replace(dead_head=0.0)) == af.Flows(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def test_a_vent_without_any_resistance_has_a_solution() -> None:
    """No length, no elbows, no hood: a machine on the bench. The collar is then at room pressure."""
    f = solve(HEALTHY._replace(vent=HEALTHY.vent._replace(length=0.0, minor_loss=0.0)))
    assert f.collar_pressure == pytest.approx(0.0, abs=0.5)
    assert f.total > solve(HEALTHY).total
    zero = solve(HEALTHY._replace(vent=HEALTHY.vent._replace(resistance_factor=0.0)))
    assert zero.total == pytest.approx(f.total, rel=1e-3)


def test_joint_leak_is_on_the_pressure_side() -> None:
    """It relieves the vent, so the blower moves more, and through the drum too."""
    tight, leaking = solve(HEALTHY), solve(HEALTHY._replace(joint=20e-4))
    assert leaking.burner > tight.burner
    assert leaking.collar_pressure < tight.collar_pressure
    assert leaking.joint > 0.0


def test_gasket_leak_starves_the_drum() -> None:
    """It is on the suction side: more air through the vent, less through the drum."""
    tight, leaking = solve(HEALTHY), solve(HEALTHY._replace(gasket=24e-4))
    assert leaking.burner < 0.9 * tight.burner
    assert leaking.total > tight.total
    assert leaking.collar_pressure > tight.collar_pressure


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.floats(0.5, 1.2))
def test_volume_flow_hardly_depends_on_density(scale: float) -> None:
    """Every element is a square law, so volume flow stays and pressures follow density; only friction's
    Reynolds number moves it: 1 % in flow, 3 % in pressure from 15,000 ft to a cold garage."""
    thin = HEALTHY._replace(room_density=1.2 * scale, drum_density=1.2 * scale)
    thick = HEALTHY._replace(room_density=1.2, drum_density=1.2)
    a, b = solve(thin), solve(thick)
    assert a.total / scale == pytest.approx(b.total, rel=0.015)
    assert a.collar_pressure / scale == pytest.approx(b.collar_pressure, rel=0.03)


def collar(head: float, source: float, vent_r: float, joint: float, back: float) -> tuple[float, float]:
    """Collar pressure and flow through the vent at a fixed resistance, by bracketing the pressure."""

    def surplus(p: float) -> float:
        leak = joint * math.copysign(math.sqrt(abs(p)), p)
        return math.sqrt(max(head - p, 0.0) / source) - math.sqrt(max(p - back, 0.0) / vent_r) - leak

    p = float(brentq(surplus, min(0.0, back), head, xtol=1e-13, rtol=1e-15))
    return p, math.sqrt(max(p - back, 0.0) / vent_r)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    st.floats(10.0, 1000.0),
    st.floats(1.0, 1e6),
    st.floats(1.0, 1e8),
    st.floats(1e-6, 0.1),
    st.one_of(st.floats(-300.0, 1200.0), st.floats(-1e-3, 1e-3)),
)
@example(100.0, 1.0e4, 1.0e4, 0.05, -60.0)  # the joint draws room air in
@example(100.0, 1.0e4, 1.0e4, 0.05, 99.0)  # hardly open
def test_vent_flow_with_a_leaking_joint(
    head: float, source: float, vent_r: float, joint: float, back: float
) -> None:
    """Blower, vent and joint agree, whichever way the joint flows; scipy's brentq on the unfolded law."""
    _, expected = collar(head, source, vent_r, joint, back)
    guess = af.first_vent_flow(head, source, vent_r, joint, back)
    found = af.vent_flow(head, source, vent_r, joint, back, guess, af.SETTLED)
    assert found == pytest.approx(expected, rel=1e-6, abs=1e-7 * math.sqrt(head / (source + vent_r)))


@pytest.mark.parametrize("back", [-200.0, -20.0, 0.0, 20.0, 80.0, 400.0])
def test_a_joint_that_closes_ends_at_the_tight_vent(back: float) -> None:
    """Back pressure of any sign means the same with a hair's breadth of a leak as without one."""
    tight, hair = (solve(HEALTHY._replace(back_pressure=back, joint=area)) for area in (0.0, 1e-12))
    assert hair == pytest.approx(tight, rel=1e-6, abs=1e-9)
    assert (tight.total == 0.0) == (back == 400.0)


def test_outdoors_that_draw_raise_the_flow() -> None:
    """A house above outdoor pressure: more through the vent, the collar below room pressure at last."""
    flows_at = [solve(HEALTHY._replace(back_pressure=back)) for back in (50.0, 0.0, -50.0, -400.0)]
    assert all(b.total > a.total for a, b in itertools.pairwise(flows_at))
    assert flows_at[-1].collar_pressure < 0.0
    leaking = solve(HEALTHY._replace(back_pressure=-400.0, joint=20e-4))
    assert leaking.joint < 0.0


def test_inlet_conductance_states_its_own_loss() -> None:
    """A path of 0.29 in w.c. at 140 cfm passes 140 cfm at 0.29 in w.c."""
    loss = 0.29 * INH2O / (140.0 * CFM) ** 2
    m = af.inlet_conductance(loss, 1.2, 1.2) * math.sqrt(0.29 * INH2O)
    assert m / 1.2 / CFM == pytest.approx(140.0, rel=1e-12)


def test_leak_conductance_is_the_orifice_law() -> None:
    """0.6 A sqrt(2 rho dp): 20 cm2 at 100 Pa pass 0.0186 kg/s of air of 1.2 kg/m3, worked by hand."""
    assert af.leak_conductance(20e-4, 0.6, 1.2) * 10.0 == pytest.approx(0.01859, rel=1e-3)
