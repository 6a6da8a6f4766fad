"""The air network: three inlets, a screen, a blower and a vent (:mod:`dryermodel.physics.duct`).

Every element obeys a square law, ``dp = R m**2 / rho``, so the whole network folds into one
equation for the pressure at the machine's outlet collar. Mass flows are of *moist* air here; the
caller divides by ``1 + w``.

::

    room --burner path--+                        +--vent joint leak--> room
    room --drum seal----+--load--screen--+--fan--+--vent--> outdoors
    room --gasket leak-------------------+

References
----------
.. [1] I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., 1994 (orifice plate in a duct).
.. [2] C. F. Colebrook, "Turbulent flow in pipes", J. Inst. Civil Eng. 11 (1939) 133-156.
.. [3] ASHRAE Handbook Fundamentals, ch. 21, Duct design (Darcy and Colebrook equations; losses in
   series and side by side).
.. [4] W. H. Press et al., Numerical Recipes, 3rd ed., 2007, sec. 9.4 (Newton's method in a bracket).
"""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.physics.duct import TURBULENT_REYNOLDS, Vent, VentLine, colebrook, resistance_at, vent_of

FIRST_ROOT = 6.5
"""First guess of ``1/sqrt(f)`` in a vent of which nothing is known yet."""

ROOT_PASSES = 8
"""Newton steps from `FIRST_ROOT` to the root of a vent at its usual flow; doubles the digits at each."""

SETTLED, ROUGHLY = 1.0e-7, 1.0e-2
"""Relative changes of the vent's flow at which Newton's method stops; what is left is about the square."""

NO_RESISTANCE_FLOW = 1.0e3
"""More than any blower moves [kg/s]: bound where a vent has no resistance of its own."""

OUTLET_PASSES = 60
"""Bound on the steps for a leaking joint; three or four are usual, halving alone needs fifty."""

SMALL = 1.0e-30
"""Keeps a slope finite where a root of zero stands under it [Pa], [Pa s/kg]."""


class Flows(NamedTuple):
    """Moist-air mass flows [kg/s] and pressures [Pa] of the solved network."""

    burner: float  # drawn past the burner
    drum_seal: float  # drawn into the drum past the burner
    gasket: float  # drawn in between screen and blower
    total: float  # through the blower
    joint: float  # lost from the vent into the room
    collar_pressure: float  # static pressure at the outlet collar, above the room
    suction: float  # depth of vacuum at the blower inlet, below the room
    drum_suction: float  # depth of vacuum in the drum, below the room


class Losses(NamedTuple):
    """Loss coefficients of the paths on the suction side, at `reference_density`."""

    reference_density: float  # [kg/m3]
    burner: float  # [Pa s2/m6] inlet and burner path
    load: float  # [Pa s2/m6] drum and load
    screen: float  # [Pa s2/m6] clean lint screen
    housing: float  # [Pa s2/m6] what has settled in screen housing and outlet duct, before the gasket


class Leaks(NamedTuple):
    """Leak areas and how sharp their edges are."""

    seal: float  # [m2] drum seal
    gasket: float  # [m2] between screen and blower
    joint: float  # [m2] vent joint, on the pressure side
    coefficient: float  # [1] of discharge


class Fan(NamedTuple):
    """The blower at reference density and its present speed: ``dp = dead_head - slope Q**2``."""

    dead_head: float  # [Pa]
    slope: float  # [Pa s2/m6]


class Network(NamedTuple):
    """What of the whole network stays the same while densities and flows change.

    Conductances are per root of the density of the air that flows, resistances times it.
    """

    burner: float  # [kg^0.5 m^1.5/(s Pa^0.5)]
    seal: float
    gasket: float
    joint: float
    load: float  # [1/m4] with what has settled in the housing
    screen: float  # [1/m4] clean
    head: float  # [Pa m3/kg] dead head per density of the air moved
    slope: float  # [1/m4] blower's own resistance
    vent: Vent
    back_pressure: float  # [Pa] at the vent's outlet


def leak_conductance(area: float, coefficient: float, density: float) -> float:
    """Conductance ``C`` of an orifice-like leak in ``m = C sqrt(dp)`` [kg/(s Pa^0.5)].

    ``m = c A sqrt(2 rho dp)``, the orifice equation [1]_.

    Parameters
    ----------
    area : float
        Leak area [m2].
    coefficient : float
        Discharge coefficient [1], about 0.6 for a sharp edge.
    density : float
        Of the air that flows in [kg/m3].
    """
    return coefficient * area * math.sqrt(2.0 * density)


class Outlet(NamedTuple):
    """Where the blower's net curve meets the vent and the joint leak."""

    pressure: float  # [Pa] at the collar, above the room; below it when the outdoors draw
    total: float  # [kg/s] through the blower
    through: float  # [kg/s] through the vent


def first_vent_flow(head: float, source: float, vent: float, joint: float, back_pressure: float) -> float:
    """Flow through the vent [kg/s], exact where joint leak or back pressure is 0, else a first guess.

    Below 0 a flap holds the vent shut. Arguments as in :func:`vent_flow`; losses as in [3]_.
    """
    if head <= back_pressure * (1.0 + source * joint * joint):
        return 0.0
    wider = 1.0 + joint * math.sqrt(vent)
    return math.sqrt((head - back_pressure) / (source * wider * wider + vent))


def vent_flow(
    head: float, source: float, vent: float, joint: float, back_pressure: float, guess: float, settled: float
) -> float:
    """Flow through the vent [kg/s] where blower, vent of a given resistance and joint leak agree.

    Solves ``v + Cj sqrt(p) = sqrt((p0 - p)/Rs)`` with ``p = pb + Rv v**2`` for the flow ``v`` through
    the vent. The left side rises with ``v`` and the right side falls, so the root is unique for every
    admissible input, a closed vent included. Below room pressure the joint draws room air in. Newton's
    method, kept within a bracket [4]_; a guess of 0 means that a flap holds the vent shut.

    Parameters
    ----------
    head : float
        Net pressure at no flow, ``p0`` [Pa], not negative.
    source : float
        Resistance upstream of the collar, blower's own included, ``Rs`` [Pa s2/kg2], positive.
    vent : float
        Resistance of the vent, ``Rv`` [Pa s2/kg2].
    joint : float
        Conductance of the joint leak, ``Cj`` [kg/(s Pa^0.5)].
    back_pressure : float
        Pressure ``pb`` that the vent's outlet must overcome [Pa]; negative where the outdoors draw.
    guess : float
        From :func:`first_vent_flow`, or nearer.
    settled : float
        Relative change at which to stop [1]; what is left is about its square.

    Examples
    --------
    >>> v = vent_flow(100.0, 1.0e4, 1.0e4, 0.005, 20.0, 0.05, 1.0e-8)
    >>> p = 20.0 + 1.0e4 * v**2
    >>> round(v + 0.005 * p**0.5, 9) == round(((100.0 - p) / 1.0e4) ** 0.5, 9)
    True
    """
    v = guess
    if v == 0.0 or joint == 0.0 or back_pressure == 0.0:
        return v
    free = head - back_pressure
    low = 0.0
    high = math.sqrt(free / vent) if vent > 0.0 else NO_RESISTANCE_FLOW
    for _ in range(OUTLET_PASSES):
        p = back_pressure + vent * v * v
        root = math.sqrt(abs(p))
        offered = math.sqrt(max(head - p, 0.0) / source)
        excess = v + joint * math.copysign(root, p) - offered
        if excess > 0.0:
            high = v
        else:
            low = v
        slope = 1.0 + vent * v * (joint / (root + SMALL) + 1.0 / (source * offered + SMALL))
        better = v - excess / slope
        if not low < better < high:
            better = 0.5 * (low + high)
        change = abs(better - v)
        v = better
        if change <= settled * v:
            break
    return v


def outlet(
    root: float, head: float, source: float, vent: Vent, density: float, joint: float, back_pressure: float
) -> Outlet:
    """Where the blower's net curve meets the vent, whose friction factor answers to the flow.

    One Newton step on flow and friction factor [2]_ together: from the root at the machine's usual
    flow it leaves less than a millionth of the flow.

    Parameters
    ----------
    root : float
        ``1/sqrt(f)`` to start from [1]; see :func:`usual_root`.
    head, source : float
        Net pressure at no flow [Pa] and resistance upstream of the collar [Pa s2/kg2].
    vent : Vent
        The vent.
    density : float
        Of the exhaust air [kg/m3].
    joint : float
        Conductance of the joint leak [kg/(s Pa^0.5)].
    back_pressure : float
        At the vent's outlet [Pa].
    """
    resistance = resistance_at(root, vent, density)
    v = first_vent_flow(head, source, resistance, joint, back_pressure)
    v = vent_flow(head, source, resistance, joint, back_pressure, v, ROUGHLY)
    better = better_root(root, v, source, vent, density)
    resistance = resistance_at(better, vent, density)
    if joint == 0.0 or back_pressure == 0.0:
        v = first_vent_flow(head, source, resistance, joint, back_pressure)
    v = vent_flow(head, source, resistance, joint, back_pressure, v, SETTLED)
    p = back_pressure + resistance * v * v if v > 0.0 else head / (1.0 + source * joint * joint)
    return Outlet(p, v + joint * math.copysign(math.sqrt(abs(p)), p), v)


def better_root(root: float, through: float, source: float, vent: Vent, density: float) -> float:
    """One Newton step on ``1/sqrt(f)`` [2]_, whose flow `through` [kg/s] follows it; else as `outlet`."""
    reynolds = vent.reynolds * through
    friction = vent.straight / (root * root * density)
    whole = source + vent.minor / density + friction
    response = friction / whole if reynolds > TURBULENT_REYNOLDS else 0.0
    return colebrook(root, reynolds, vent.roughness, response)


def inlet_conductance(loss: float, reference_density: float, density: float) -> float:
    """Conductance in ``m = C sqrt(dp)`` of a path whose loss is ``dp = loss * Q**2`` at a stated density.

    A loss on a velocity pressure goes with density and the square of the volume flow [3]_.

    Parameters
    ----------
    loss : float
        Loss coefficient at reference density [Pa s2/m6].
    reference_density, density : float
        Densities of the statement and of the air that flows [kg/m3].
    """
    return math.sqrt(density * reference_density / loss)


class Suction(NamedTuple):
    """The paths on the blower's suction side at present densities, folded."""

    first: float  # [kg/(s Pa^0.5)] burner path and drum seal, side by side
    burner_share: float  # [1] of the flow through them
    whole: float  # [kg/(s Pa^0.5)] all paths to the blower's inlet
    gasket_share: float  # [1] of the blower's flow
    density: float  # [kg/m3] of the mixture


def fold(losses: Losses, leaks: Leaks, fan: Fan, line: VentLine, back_pressure: float) -> Network:
    """Constants of a network of square laws [1]_, [3]_.

    Parameters
    ----------
    losses, leaks, fan, line : Losses, Leaks, Fan, VentLine
        Paths, leaks, blower at full speed, and vent.
    back_pressure : float
        At the vent's outlet [Pa].
    """
    reference = losses.reference_density
    return Network(
        inlet_conductance(losses.burner, reference, 1.0),
        leak_conductance(leaks.seal, leaks.coefficient, 1.0),
        leak_conductance(leaks.gasket, leaks.coefficient, 1.0),
        leak_conductance(leaks.joint, leaks.coefficient, 1.0),
        (losses.load + losses.housing) / reference,
        losses.screen / reference,
        fan.dead_head / reference,
        fan.slope / reference,
        vent_of(line),
        back_pressure,
    )


def usual_root(net: Network, density: float) -> float:
    """``1/sqrt(f)`` of the vent with the blower running and air of one density all through [2]_."""
    s = suction_side(net, 1.0, density, density)
    source = net.slope / density + 1.0 / (s.whole * s.whole)
    joint = net.joint * math.sqrt(density)
    root = FIRST_ROOT
    head = net.head * density
    for _ in range(ROOT_PASSES):
        resistance = resistance_at(root, net.vent, density)
        v = first_vent_flow(head, source, resistance, joint, net.back_pressure)
        v = vent_flow(head, source, resistance, joint, net.back_pressure, v, SETTLED)
        root = better_root(root, v, source, net.vent, density)
    return root


def suction_side(net: Network, screen_growth: float, room_density: float, drum_density: float) -> Suction:
    """Fold the paths between the room and the blower's inlet: side by side and in series [3]_.

    Everything there is a square law, so the shares of the three inlets do not depend on the blower.

    Parameters
    ----------
    net : Network
        Constants of the network.
    screen_growth : float
        Loss of the lint screen over that of the clean one [1].
    room_density, drum_density : float
        Moist-air densities in the room and leaving the load [kg/m3].
    """
    first = (net.burner + net.seal) * math.sqrt(room_density)
    behind = (net.load + net.screen * screen_growth) / drum_density
    drum = 1.0 / math.sqrt(1.0 / (first * first) + behind)
    gasket = net.gasket * math.sqrt(room_density)
    whole = drum + gasket
    gasket_share = gasket / whole
    density = 1.0 / ((1.0 - gasket_share) / drum_density + gasket_share / room_density)
    return Suction(first, net.burner / (net.burner + net.seal), whole, gasket_share, density)


def solve_network(
    net: Network, root: float, fan: float, screen_growth: float, room_density: float, drum_density: float
) -> Flows:
    """Solve the air network [3]_ for its three inlets, the vent and the joint leak.

    Parameters
    ----------
    net : Network
        From :func:`fold`.
    root : float
        From :func:`usual_root`.
    fan : float
        1 with the blower running, 0 without.
    screen_growth : float
        Loss of the lint screen over that of the clean one [1].
    room_density, drum_density : float
        Moist-air densities in the room and leaving the load [kg/m3].

    Returns
    -------
    Flows
        Mass flows [kg/s] and pressures [Pa].
    """
    s = suction_side(net, screen_growth, room_density, drum_density)
    source = net.slope / s.density + 1.0 / (s.whole * s.whole)
    joint = net.joint * math.sqrt(s.density)
    head = net.head * fan * s.density
    out = outlet(root, head, source, net.vent, s.density, joint, net.back_pressure)
    through_drum = out.total * (1.0 - s.gasket_share)
    burner = through_drum * s.burner_share
    return Flows(
        burner,
        through_drum - burner,
        out.total - through_drum,
        out.total,
        out.total - out.through,
        out.pressure,
        square_law(out.total, s.whole),
        square_law(through_drum, s.first),
    )


def square_law(flow: float, conductance: float) -> float:
    """Pressure difference [Pa] that drives a flow [kg/s] through a conductance [kg/(s Pa^0.5)] [3]_.

    Examples
    --------
    >>> square_law(0.06, 0.01)
    36.0
    """
    share = flow / conductance
    return share * share
