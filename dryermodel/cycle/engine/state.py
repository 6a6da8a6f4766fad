"""The state of one cycle: where each part of it sits, and the load's own state.

This is the one place that knows how many kinds of cloth tumble together and where each of them sits
in the state vector. The load's state is enthalpy and moisture of each kind, from which temperatures
follow; energy and water balances are then linear in the state.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.physics.drum import Surface, Surfaces
from dryermodel.physics.moist_air import humidity_ratio, saturation_pressure
from dryermodel.physics.textile import (
    Cloth,
    heat_capacity,
    load_enthalpy,
    load_temperature,
    surface_wetness,
    temperature_rate,
    water_activity,
)

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Vector
    from dryermodel.cycle.engine.parameters import Parameters

MOST_PIECES = 4
"""Kinds of cloth a load may have."""

# Positions in the state vector; plain integers, constants to the compiled engine.
LOAD_ENTHALPY = 0  # [J] of the first kind of cloth and its water; dry cloth and liquid water at 0 degC: zero
MOISTURE = 1  # [kg/kg] of the first kind, dry basis
PER_PIECE = 2  # the next kind's enthalpy and moisture follow
METAL_TEMP = 8  # [K] drum and bulkheads
HOUSING_TEMP = 9  # [K] blower housing and outlet duct
CHAMBER_TEMP = 10  # [K] sheet metal of the burner's chamber
EXHAUST_ELEMENT = 11  # [K] exhaust thermostat
HIGH_LIMIT_ELEMENT = 12  # [K]
CUTOFF_ELEMENT = 13  # [K] one-shot thermal cut-off
COIL_TEMP = 14  # [K] main valve coil
SENSOR_WARMTH = 15  # [1] 0 cold .. 1 hot, flame sensor
DIAL = 16  # [s] travelled
ROOM_HUMIDITY = 17  # [kg/kg]
N_DYNAMIC = 18  # the states above feed back; those below only add up
GAS_ENERGY = 18  # [J] gross
ELECTRIC_ENERGY = 19  # [J]
WATER_IN = 20  # [kg] with the intake air
WATER_FORMED = 21  # [kg] by combustion
WATER_OUT = 22  # [kg] with the exhaust and the vent leak
AIR_ENTHALPY_IN = 23  # [J]
AIR_ENTHALPY_OUT = 24  # [J]
HEAT_LOST = 25  # [J] to the room, and unburned gas
N_STATES = 26

TEMPERATURES = (
    METAL_TEMP,
    HOUSING_TEMP,
    CHAMBER_TEMP,
    EXHAUST_ELEMENT,
    HIGH_LIMIT_ELEMENT,
    CUTOFF_ELEMENT,
    COIL_TEMP,
)
"""States that are temperatures of metal, all of them the room's at the start."""

COLDEST_LOAD, HOTTEST_LOAD = 150.0, 900.0
"""Bounds [K] on the load's temperature as the equations see it: a trial stage of a step that is about
to be rejected may stray far, and must still return numbers."""


class Piece(NamedTuple):
    """One kind of cloth in the load, as far as it does not change during a run."""

    cloth: Cloth
    share: float  # [1] of the bone-dry mass
    area_share: float  # [1] of the exposed area
    moisture: float  # [kg/kg] at the start


class Pieces(NamedTuple):
    """The load; kinds that are not there have a share of 0."""

    first: Piece
    second: Piece
    third: Piece
    fourth: Piece


def pieces_of(p: Parameters) -> Pieces:
    """The kinds of cloth of parameter set `p`."""
    return Pieces(piece_of(p, 0), piece_of(p, 1), piece_of(p, 2), piece_of(p, 3))


def piece_of(p: Parameters, i: int) -> Piece:
    """Kind number `i` of the load of parameter set `p`."""
    share, area = float(p.piece_share[i]), exposed_area(p)
    cloth = Cloth(
        share * p.dry_mass,
        float(p.piece_specific_heat[i]),
        float(p.piece_sorption_share[i]),
        float(p.piece_sorption_heat[i]),
        float(p.piece_critical_moisture[i]),
    )
    area_share = share * float(p.piece_exposure[i]) / area if area > 0.0 else 0.0
    return Piece(cloth, share, area_share, float(p.piece_moisture[i]))


def exposed_area(p: Parameters) -> float:
    """Area of the whole load per mass, relative to the test cloth [1]."""
    area = 0.0
    for i in range(MOST_PIECES):
        area += float(p.piece_share[i]) * float(p.piece_exposure[i])
    return area


def nth(pieces: Pieces, i: int) -> Piece:
    """Kind number `i` of a load."""
    if i == 0:
        return pieces.first
    if i == 1:
        return pieces.second
    return pieces.third if i == 2 else pieces.fourth


def start_load(y: Vector, p: Parameters) -> None:
    """Put the load as it is at the start into state `y`."""
    for i in range(MOST_PIECES):
        piece = piece_of(p, i)
        present = piece.share > 0.0
        y[LOAD_ENTHALPY + PER_PIECE * i] = start_enthalpy(p, i)
        y[MOISTURE + PER_PIECE * i] = piece.moisture if present else 0.0


def start_enthalpy(p: Parameters, i: int) -> float:
    """Enthalpy of kind number `i` at the start [J]; 0 where there is none of it."""
    piece = piece_of(p, i)
    return load_enthalpy(p.load_temp, piece.moisture, piece.cloth) if piece.share > 0.0 else 0.0


# the load as the equations see it ---------------------------------------------------------------------


def surfaces_of(y: Vector, pieces: Pieces, pressure: float) -> Surfaces:
    """The kinds of cloth at one instant as the air meets them.

    Parameters
    ----------
    y : sequence of float, shape (N_STATES,)
        State.
    pieces : Pieces
        From :func:`pieces_of`.
    pressure : float
        Ambient [Pa].
    """
    return Surfaces(
        surface_of(y, pieces.first, 0, pressure),
        surface_of(y, pieces.second, 1, pressure),
        surface_of(y, pieces.third, 2, pressure),
        surface_of(y, pieces.fourth, 3, pressure),
    )


def surface_of(y: Vector, piece: Piece, i: int, pressure: float) -> Surface:
    """Kind number `i` of the load as the air meets it; a rounding excursion below 0 moisture counts as 0."""
    if piece.share == 0.0:
        return Surface(0.0, HOTTEST_LOAD, 0.0, 1.0)
    cloth = piece.cloth
    x = max(moisture_of(y, i), 0.0)
    temp = piece_temperature(y, piece, i)
    activity = water_activity(x, temp, cloth.sorption_share, cloth.sorption_heat)
    return Surface(
        piece.area_share,
        temp,
        humidity_ratio(activity * saturation_pressure(temp), pressure),
        surface_wetness(x, cloth.critical_moisture),
    )


def piece_temperature(y: Vector, piece: Piece, i: int) -> float:
    """Temperature of kind number `i` [K]."""
    x = max(moisture_of(y, i), 0.0)
    temp = load_temperature(float(y[LOAD_ENTHALPY + PER_PIECE * i]), x, piece.cloth)
    return min(max(temp, COLDEST_LOAD), HOTTEST_LOAD)


def moisture_of(y: Vector, i: int) -> float:
    """Moisture of kind number `i` [kg/kg], dry basis."""
    return float(y[MOISTURE + PER_PIECE * i])


# what a person asks of the load -----------------------------------------------------------------------


def mean_moisture(y: Vector, pieces: Pieces) -> float:
    """Water of the whole load over its bone-dry mass [kg/kg]."""
    total = pieces.first.share * y[MOISTURE]
    if pieces.second.share > 0.0:
        total += pieces.second.share * y[MOISTURE + PER_PIECE]
        total += pieces.third.share * y[MOISTURE + 2 * PER_PIECE]
        total += pieces.fourth.share * y[MOISTURE + 3 * PER_PIECE]
    return float(total)


def start_moisture(p: Parameters) -> float:
    """Water of the whole load over its bone-dry mass at the start [kg/kg]."""
    total = 0.0
    for i in range(MOST_PIECES):
        piece = piece_of(p, i)
        total += piece.share * piece.moisture
    return total


def critical_moisture(p: Parameters) -> float:
    """Mean moisture below which the load's surface is no longer wet all over [kg/kg], by mass."""
    total = 0.0
    for i in range(MOST_PIECES):
        total += float(p.piece_share[i]) * float(p.piece_critical_moisture[i])
    return total


def mean_temperature(y: Vector, pieces: Pieces) -> float:
    """Temperature of the load, the mean by heat capacity [K]."""
    capacity = 0.0
    weighted = 0.0
    for i in range(MOST_PIECES):
        piece = nth(pieces, i)
        if piece.share > 0.0:
            own = heat_capacity(y[MOISTURE + PER_PIECE * i], piece.cloth)
            capacity += own
            weighted += own * piece_temperature(y, piece, i)
    return weighted / capacity


def hottest(y: Vector, pieces: Pieces) -> float:
    """Temperature of the hottest kind of cloth [K]."""
    temp = 0.0
    for i in range(MOST_PIECES):
        piece = nth(pieces, i)
        if piece.share > 0.0:
            temp = max(temp, piece_temperature(y, piece, i))
    return temp


class Heat(NamedTuple):
    """Temperature of a kind of cloth and how fast it changes."""

    temp: float  # [K]
    rate: float  # [K/s]


def hottest_piece(y: Vector, rate: Vector, pieces: Pieces) -> Heat:
    """The hottest kind of cloth at state `y`, whose rates are `rate`."""
    found = Heat(0.0, 0.0)
    for i in range(MOST_PIECES):
        piece = nth(pieces, i)
        temp = piece_temperature(y, piece, i) if piece.share > 0.0 else 0.0
        if temp > found.temp:
            j = PER_PIECE * i
            change = temperature_rate(
                temp,
                float(y[MOISTURE + j]),
                float(rate[LOAD_ENTHALPY + j]),
                float(rate[MOISTURE + j]),
                piece.cloth,
            )
            found = Heat(temp, change)
    return found


def wettest(y: Vector, pieces: Pieces) -> float:
    """Moisture of the wettest kind of cloth [kg/kg]."""
    moisture = 0.0
    for i in range(MOST_PIECES):
        if nth(pieces, i).share > 0.0:
            moisture = max(moisture, moisture_of(y, i))
    return moisture


def water_removed(y: Vector, p: Parameters) -> float:
    """Water that has left the load since the start [kg]."""
    total = 0.0
    for i in range(MOST_PIECES):
        piece = piece_of(p, i)
        total += piece.cloth.dry_mass * (piece.moisture - y[MOISTURE + PER_PIECE * i])
    return float(total)


def heat_gained(y: Vector, p: Parameters) -> float:
    """Enthalpy the load has gained since the start [J]."""
    total = 0.0
    for i in range(MOST_PIECES):
        total += y[LOAD_ENTHALPY + PER_PIECE * i] - start_enthalpy(p, i)
    return float(total)
