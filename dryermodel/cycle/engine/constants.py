"""What follows from the parameters of a cycle and stays the same while it runs: computed once."""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import Pieces, exposed_area, pieces_of, start_moisture
from dryermodel.physics.airflow import Fan, Leaks, Losses, Network, fold, usual_root
from dryermodel.physics.drum import load_factor
from dryermodel.physics.duct import VentLine, blockage_loss
from dryermodel.physics.moist_air import humidity_ratio, saturation_pressure


class Constants(NamedTuple):
    """Constants of one run."""

    pieces: Pieces
    start_moisture: float  # [kg/kg] of the whole load
    network: Network
    vent_root: float  # [1] 1/sqrt(f) of the vent at its usual flow
    transfer_base: float  # [kg/s] transfer conductance of this load's cloth at reference flow
    saturated_room: float  # [kg/kg] humidity ratio above which the room's air lets water fall


def constants_of(p: Parameters) -> Constants:
    """Constants of parameter set `p`."""
    net = network_of(p)
    factor = load_factor(p.dry_mass, p.reference_load, p.small_load_exponent, p.overload_mass)
    exposure = math.pow(exposed_area(p), p.small_load_exponent)
    return Constants(
        pieces_of(p),
        start_moisture(p),
        net,
        usual_root(net, p.reference_density),
        p.transfer_base * factor * exposure,
        humidity_ratio(saturation_pressure(p.room_temp), p.pressure),
    )


def network_of(p: Parameters) -> Network:
    """The air network of parameter set `p`."""
    return fold(
        Losses(p.reference_density, p.burner_loss, p.load_loss, p.screen_loss, p.housing_loss),
        Leaks(p.drum_seal_area, p.gasket_area, p.joint_area, p.leak_coefficient),
        Fan(p.fan_dead_head * p.fan_speed * p.fan_speed, p.fan_slope),
        vent_line(p),
        p.vent_back_pressure + p.house_depressurisation,
    )


def vent_line(p: Parameters) -> VentLine:
    """The vent of parameter set `p` as the air network needs it."""
    return VentLine(
        p.vent_diameter,
        p.vent_length,
        p.vent_roughness,
        p.vent_flex_factor,
        p.vent_minor_loss + blockage_loss(p.vent_open_area),
        p.vent_resistance_factor,
    )
