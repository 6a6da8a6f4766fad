"""Moist air: saturation, humidity, enthalpy, density, wet bulb and dew point.

Dry air and vapour are ideal gases that mix ideally. Against real-gas properties (CoolProp) this leaves
the humidity ratio of saturated air at sea level low by 0.4 % at 2 to 10 degC, 0.5 % at 25, 0.7 % at 60,
1.0 % at 75 and 1.3 % at 90 degC: that is the module's tolerance. Dry hot air is much closer.
Enthalpies are zero for dry air and for liquid water at 0 degC.

References
----------
1. ASHRAE Handbook - Fundamentals (2017), chapter 1, Psychrometrics.
2. Hyland, R. W., Wexler, A. (1983). Formulations for the thermodynamic properties of the saturated
   phases of H2O from 173.15 K to 473.15 K. ASHRAE Transactions 89(2A), 500-519.
3. IAPWS (1997). Industrial Formulation for the Thermodynamic Properties of Water and Steam.
"""

from __future__ import annotations

import math

EPSILON = 0.621945
"""[1] Molar mass of water over that of dry air [1]."""
CP_AIR = 1006.0
"""[J/(kg K)] Specific heat of dry air [1]."""
CP_VAPOUR = 1860.0
"""[J/(kg K)] Specific heat of water vapour [1]."""
CP_WATER = 4186.0
"""[J/(kg K)] Specific heat of liquid water [1]."""
CP_ICE = 2100.0
"""[J/(kg K)] Specific heat of ice [1]."""
H_VAPOUR_0C = 2.501e6
"""[J/kg] Enthalpy of vapour over liquid water at 0 degC [1]."""
H_SUBLIMATION_0C = 2.830e6
"""[J/kg] Enthalpy of vapour over ice at 0 degC [1]."""
ZERO_C = 273.15
"""[K] 0 degC."""
R_AIR = 287.042
"""[J/(kg K)] Gas constant of dry air [1]."""
STANDARD_PRESSURE = 101325.0
"""[Pa] Standard atmosphere at sea level [1]."""

COLDEST, HOTTEST = 173.15, 473.15
"""[K] Range of the saturation pressure [2]; the searches below stay inside it."""

_BOILING_SHARE = 0.95
_HALVINGS = 52  # 300 K halved 52 times is below the spacing of floats near 300 K

# Coefficients of ref. 2 as printed in ref. 1, eqs. 5 and 6: C1..C7 for ice, C8..C13 for liquid.
_C1, _C2, _C3, _C4 = -5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7
_C5, _C6, _C7 = 2.0747825e-9, -9.4840240e-13, 4.1635019
_C8, _C9, _C10 = -5.8002206e3, 1.3914993, -4.8640239e-2
_C11, _C12, _C13 = 4.1764768e-5, -1.4452093e-8, 6.5459673


def saturation_pressure(T: float) -> float:
    """Pressure of water vapour in equilibrium with liquid water, or with ice below 273.15 K.

    ln p = C8/T + C9 + C10 T + C11 T^2 + C12 T^3 + C13 ln T over liquid, and
    ln p = C1/T + C2 + C3 T + C4 T^2 + C5 T^3 + C6 T^4 + C7 ln T over ice.
    The branches meet within 0.01 %. A Magnus-type fit would be cheaper, but drifts by 4 % at 120 degC.

    Parameters
    ----------
    T : temperature [K], 173.15 to 473.15. Not checked; outside it the fit extrapolates.

    Returns
    -------
    Saturation pressure [Pa].

    References
    ----------
    [1] eqs. 5 and 6, [2].

    >>> round(saturation_pressure(298.15), 1)
    3169.2
    """
    if T < ZERO_C:
        poly = _C2 + T * (_C3 + T * (_C4 + T * (_C5 + T * _C6)))
        return math.exp(_C1 / T + poly + _C7 * math.log(T))
    poly = _C9 + T * (_C10 + T * (_C11 + T * _C12))
    return math.exp(_C8 / T + poly + _C13 * math.log(T))


def humidity_ratio(vapour_pressure: float, pressure: float) -> float:
    """Humidity ratio from the partial pressure of the vapour: w = 0.621945 p_w / (P - p_w).

    p_w is clipped at 0.95 P. At the boiling point w has a pole; an integrator's trial step may put a
    hot wet surface beyond it, and must then see a large finite drying force, not a negative one.

    Parameters
    ----------
    vapour_pressure : partial pressure of the vapour [Pa], at least 0.
    pressure : total pressure [Pa], above 0.

    Returns
    -------
    Humidity ratio [kg/kg dry air], at most 11.8.

    References
    ----------
    [1] eq. 20.

    >>> round(humidity_ratio(3169.2, 101325.0), 5)
    0.02008
    """
    p = min(vapour_pressure, _BOILING_SHARE * pressure)
    return EPSILON * p / (pressure - p)


def vapour_pressure(w: float, pressure: float) -> float:
    """Partial pressure of the vapour: p_w = P w / (0.621945 + w), the inverse of `humidity_ratio`.

    Parameters
    ----------
    w : humidity ratio [kg/kg dry air], at least 0.
    pressure : total pressure [Pa].

    Returns
    -------
    Vapour pressure [Pa].

    References
    ----------
    [1] eq. 20 solved for p_w.

    >>> round(vapour_pressure(0.01, 101325.0), 1)
    1603.4
    """
    return pressure * w / (EPSILON + w)


def humidity_ratio_from_rh(T: float, rh: float, pressure: float) -> float:
    """Humidity ratio of air at a relative humidity: that of p_w = rh p_sat(T).

    Parameters
    ----------
    T : temperature [K], 173.15 to 473.15.
    rh : relative humidity [1], 0 to 1; over ice below 273.15 K.
    pressure : total pressure [Pa].

    Returns
    -------
    Humidity ratio [kg/kg dry air].

    References
    ----------
    [1] eqs. 12 and 20.

    >>> round(humidity_ratio_from_rh(297.04, 0.5, 101325.0), 5)
    0.00924
    """
    return humidity_ratio(rh * saturation_pressure(T), pressure)


def relative_humidity(T: float, w: float, pressure: float) -> float:
    """Relative humidity p_w / p_sat(T); above 1 the air is supersaturated. Not clipped.

    Parameters
    ----------
    T : temperature [K], 173.15 to 473.15.
    w : humidity ratio [kg/kg dry air], at least 0.
    pressure : total pressure [Pa].

    Returns
    -------
    Relative humidity [1].

    References
    ----------
    [1] eq. 12.

    >>> round(relative_humidity(297.04, 0.00924, 101325.0), 3)
    0.5
    """
    return vapour_pressure(w, pressure) / saturation_pressure(T)


def moist_specific_heat(w: float) -> float:
    """Specific heat of moist air per mass of dry air: 1006 + 1860 w.

    Parameters
    ----------
    w : humidity ratio [kg/kg dry air].

    Returns
    -------
    Specific heat [J/(kg dry air K)]; within 1 % between 0 and 100 degC.

    References
    ----------
    [1] eq. 30, differentiated.

    >>> moist_specific_heat(0.01)
    1024.6
    """
    return CP_AIR + CP_VAPOUR * w


def enthalpy(T: float, w: float) -> float:
    """Enthalpy of moist air: h = 1006 t + w (2501000 + 1860 t), t in degC.

    Parameters
    ----------
    T : temperature [K].
    w : humidity ratio [kg/kg dry air].

    Returns
    -------
    Enthalpy [J/kg dry air], zero for dry air and for liquid water at 0 degC.

    References
    ----------
    [1] eq. 30.

    >>> round(enthalpy(298.15, 0.01))
    50625
    """
    return CP_AIR * (T - ZERO_C) + w * vapour_enthalpy(T)


def temperature_from_enthalpy(h: float, w: float) -> float:
    """Temperature of moist air of a known enthalpy, the inverse of `enthalpy` at fixed w.

    Parameters
    ----------
    h : enthalpy [J/kg dry air].
    w : humidity ratio [kg/kg dry air], at least 0.

    Returns
    -------
    Temperature [K].

    References
    ----------
    [1] eq. 30 solved for t.

    >>> round(temperature_from_enthalpy(50625.0, 0.01), 2)
    298.15
    """
    return ZERO_C + (h - w * H_VAPOUR_0C) / moist_specific_heat(w)


def vapour_enthalpy(T: float) -> float:
    """Enthalpy of water vapour: 2501000 + 1860 t, t in degC.

    Parameters
    ----------
    T : temperature [K].

    Returns
    -------
    Enthalpy [J/kg], zero for liquid water at 0 degC; within 0.2 % from 0 to 100 degC.

    References
    ----------
    [1] eq. 30.

    >>> round(vapour_enthalpy(293.15))
    2538200
    """
    return H_VAPOUR_0C + CP_VAPOUR * (T - ZERO_C)


def water_enthalpy(T: float) -> float:
    """Enthalpy of liquid water: 4186 t, t in degC.

    Parameters
    ----------
    T : temperature [K], 273.15 to 373.15; below it the water is taken as supercooled, not frozen.

    Returns
    -------
    Enthalpy [J/kg], zero at 0 degC.

    References
    ----------
    [1] eq. 33, its liquid term.

    >>> round(water_enthalpy(293.15))
    83720
    """
    return CP_WATER * (T - ZERO_C)


def latent_heat(T: float) -> float:
    """Latent heat of evaporation: vapour less liquid enthalpy, 2501000 - 2326 t, t in degC.

    It is the difference of the two functions above and not a separate fit, so that a balance of
    enthalpies closes exactly. The price is accuracy: against [3] it is 0.04 % high at 20 degC, 0.16 % at
    60 and 0.53 % at 100, where a slope of 2380 J/(kg K) would be 0.00, 0.02 and 0.29 % off.

    Parameters
    ----------
    T : temperature [K], 273.15 to 373.15.

    Returns
    -------
    Latent heat [J/kg].

    References
    ----------
    [1] eq. 33, [3].

    >>> round(latent_heat(293.15))
    2454480
    """
    return vapour_enthalpy(T) - water_enthalpy(T)


def moist_density(T: float, w: float, pressure: float) -> float:
    """Density of moist air: dry density times 1 + w.

    Parameters
    ----------
    T : temperature [K].
    w : humidity ratio [kg/kg dry air].
    pressure : total pressure [Pa].

    Returns
    -------
    Density [kg moist air/m3].

    References
    ----------
    [1] eqs. 11 and 26.

    >>> round(moist_density(294.26, 0.0, 101325.0), 4)
    1.1996
    """
    return (1.0 + w) * dry_density(T, w, pressure)


def dry_density(T: float, w: float, pressure: float) -> float:
    """Mass of dry air in a volume of moist air: P / (R_a T (1 + w/0.621945)).

    Parameters
    ----------
    T : temperature [K].
    w : humidity ratio [kg/kg dry air].
    pressure : total pressure [Pa].

    Returns
    -------
    Density [kg dry air/m3 moist air], the inverse of the specific volume of the tables.

    References
    ----------
    [1] eq. 26.

    >>> round(dry_density(298.15, 0.02, 101325.0), 4)
    1.1471
    """
    return pressure / (R_AIR * T * (1.0 + w / EPSILON))


def humidity_ratio_from_wet_bulb(T: float, T_wb: float, pressure: float) -> float:
    """Humidity ratio from the dry-bulb and the thermodynamic wet-bulb temperature.

    w = (L(t*) w_sat(t*) - 1006 (t - t*)) / (2501000 + 1860 t - c t*), t in degC, the bulb at t*.
    Bulb above 0 degC: L = 2501000 - 2326 t*, c = 4186. Ice on it: L = 2830000 - 240 t*, c = 2100, and
    2830000 for 2501000. A negative result says that no air reads so low a wet bulb; it is not clipped.

    Parameters
    ----------
    T : dry-bulb temperature [K].
    T_wb : wet-bulb temperature [K], 173.15 to T.
    pressure : total pressure [Pa].

    Returns
    -------
    Humidity ratio [kg/kg dry air].

    References
    ----------
    [1] eqs. 33 and 35.

    >>> round(humidity_ratio_from_wet_bulb(313.15, 293.15, 101325.0), 5)
    0.0064
    """
    if T_wb < ZERO_C:
        return _adiabatic_humidity(T, T_wb, pressure, H_SUBLIMATION_0C, CP_ICE)
    return _adiabatic_humidity(T, T_wb, pressure, H_VAPOUR_0C, CP_WATER)


def _adiabatic_humidity(T: float, T_wb: float, pressure: float, heat_0c: float, c_bulb: float) -> float:
    """Eqs. 33 and 35 of [1] in one: `heat_0c` [J/kg] and `c_bulb` [J/(kg K)] say what wets the bulb."""
    w_bulb = humidity_ratio(saturation_pressure(T_wb), pressure)
    t, t_wb = T - ZERO_C, T_wb - ZERO_C
    latent = heat_0c + (CP_VAPOUR - c_bulb) * t_wb
    return (latent * w_bulb - CP_AIR * (t - t_wb)) / (heat_0c + CP_VAPOUR * t - c_bulb * t_wb)


def wet_bulb(T: float, w: float, pressure: float) -> float:
    """Thermodynamic wet-bulb temperature: the root of `humidity_ratio_from_wet_bulb` by bisection.

    Near 0 degC an iced and a wet bulb can both satisfy the definition (their curves differ by about
    0.0002 kg/kg there); the wet one is taken whenever it exists.

    Parameters
    ----------
    T : dry-bulb temperature [K], 173.15 to 473.15.
    w : humidity ratio [kg/kg dry air], at least 0; supersaturated air returns T.
    pressure : total pressure [Pa].

    Returns
    -------
    Wet-bulb temperature [K].

    References
    ----------
    [1] eqs. 33 and 35.

    >>> round(wet_bulb(313.15, 0.0064, 101325.0) - ZERO_C, 1)
    20.0
    """
    low, high, heat_0c, c_bulb = ZERO_C, T, H_VAPOUR_0C, CP_WATER
    if T < ZERO_C or _adiabatic_humidity(T, ZERO_C, pressure, H_VAPOUR_0C, CP_WATER) > w:
        low, high, heat_0c, c_bulb = COLDEST, min(T, ZERO_C), H_SUBLIMATION_0C, CP_ICE
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if _adiabatic_humidity(T, middle, pressure, heat_0c, c_bulb) > w:
            high = middle
        else:
            low = middle
    return 0.5 * (low + high)


def dew_point(w: float, pressure: float) -> float:
    """Temperature at which the vapour in the air would saturate; below 273.15 K the frost point.

    Bisection of p_sat(T) = p_w, held within 173.15 to 473.15 K: bone-dry air returns 173.15 K.

    Parameters
    ----------
    w : humidity ratio [kg/kg dry air], at least 0.
    pressure : total pressure [Pa].

    Returns
    -------
    Dew-point temperature [K].

    References
    ----------
    [1] eq. 36: p_sat(t_d) = p_w.

    >>> round(dew_point(0.0064, 101325.0) - ZERO_C, 1)
    7.4
    """
    target = vapour_pressure(w, pressure)
    low, high = COLDEST, HOTTEST
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        if saturation_pressure(middle) > target:
            high = middle
        else:
            low = middle
    return 0.5 * (low + high)


def standard_pressure(altitude: float) -> float:
    """Pressure of the standard atmosphere: 101325 (1 - 2.25577e-5 z)^5.2559.

    Parameters
    ----------
    altitude : height above sea level [m], -5000 to 11000.

    Returns
    -------
    Pressure [Pa].

    References
    ----------
    [1] eq. 3.

    >>> round(standard_pressure(1524.0))
    84307
    """
    return float(STANDARD_PRESSURE * (1.0 - 2.25577e-5 * altitude) ** 5.2559)
