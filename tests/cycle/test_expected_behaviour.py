"""What must come out of the standard machine with nothing tuned per case, each with its source.

Status of the sources: "published" read in the source; "from memory" not checked against it;
"mechanism" follows from how the machine works; "common practice" no source.
"""

from __future__ import annotations

import numpy as np
import pytest

from dryermodel.cycle.reasons import EndReason
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.physics.moist_air import latent_heat, wet_bulb
from dryermodel.readings.collar import at_collar
from dryermodel.scenario.model import load_scenario
from tests.cycle.cases import INH2O, KWH, POUND, TEST_VENT, WHOLE_CHAIN, degF, energy, run, to_four_percent

NO_CUTOFF = "machine.thermal_cutoff=never"
EIGHT = "vent.resistance_factor=8"
TWENTY = "vent.resistance_factor=20"
LEAK = "air.gasket_leak=24 cm2"
HALF_BURNER = "burner.firing_rate=11000 Btu/h"


def bulk(r: CycleResult) -> dict[str, float]:
    found = r.bulk
    assert found is not None
    return found


def hottest_load(r: CycleResult) -> float:
    return float(np.max(r.series["load_temp_K"]))


# the regulation's energy ----------------------------------------------------------------------------


def test_energy_of_the_2015_test_load() -> None:
    """8.45 lb, 57.5 to 4 %, 75 degF and 50 % RH, 22,000 Btu/h: 2.46 kWh gas and electricity +-5 %.

    Derived from the US minimum combined energy factor of 3.30 lb/kWh for vented gas dryers of 2015
    (10 CFR 430.32(h)) with its field-use factor of 1.04 removed; load and moisture from memory
    (10 CFR 430 subpart B app. D1/D2). The transfer conductance is fitted to this, on 20 ft of vent with two
    elbows: here 1.1 % low.
    """
    r = to_four_percent(*TEST_VENT)
    assert energy(r) / KWH == pytest.approx(8.45 / 3.30 / 1.04, rel=0.05)
    assert r.final_moisture == pytest.approx(0.04, abs=1e-9)


def test_burner_time_of_the_2015_test_load() -> None:
    """21 to 24 minutes: the same energy over 22,000 Btu/h."""
    assert 21.0 < to_four_percent(*TEST_VENT).burner_time / 60.0 < 24.0


def test_energy_of_the_1994_test_load() -> None:
    """All from memory: 7 lb, 70 to 4 %, minimum energy factor 2.67 lb/kWh, field-use factor 1.04.

    2.52 kWh +-5 %, here 1.3 % high. The transfer conductance is fitted to this limit and that of 2015
    together, so neither is an independent check; that one constant meets both is.
    """
    r = to_four_percent(*TEST_VENT, "load.dry_mass=7 lb", "load.initial_moisture=70 %")
    assert energy(r) / KWH == pytest.approx(7.0 / 2.67 / 1.04, rel=0.05)


def test_specific_energy_and_efficiency() -> None:
    """Stopped at dryness: 1.15 to 1.30 kWh per kg of water, efficiency 0.52 to 0.59 (same family)."""
    r = to_four_percent(*TEST_VENT)
    per_water = energy(r) / r.water_removed
    assert 1.15 < per_water / KWH < 1.30
    assert 0.52 < latent_heat(297.0) / per_water < 0.59


def test_electric_share(standard_result: CycleResult) -> None:
    """About 7 % of the energy, a convention for gas dryers (ANSI/RESNET 301, published): 4 to 7 % is asked.

    Short of the convention: 5.4 % over the automatic cycle with its cool-down, and 4.0 % when stopped at
    dryness, because 250 W of motor against 6.4 kW of gas cannot make more while the burner is lit.
    """
    assert 0.04 < standard_result.electric_energy / energy(standard_result) < 0.07
    assert 0.03 < to_four_percent().electric_energy / energy(to_four_percent()) < 0.06


def test_over_drying_share(standard_result: CycleResult) -> None:
    """Published tests put 20 % of cycle energy on average, up to 62 %, into over-drying (PNNL-23616, 2014).

    Here what the automatic cycle takes beyond 4 % moisture: 36 %.
    """
    share = 1.0 - energy(to_four_percent()) / energy(standard_result)
    assert 0.10 < share < 0.62


# the healthy cycle ----------------------------------------------------------------------------------


def test_exhaust_temperature_in_bulk_drying(standard_result: CycleResult) -> None:
    """100 to 135 degF, well below the cut-out of 155: common practice. Here 116."""
    assert 100.0 < degF(bulk(standard_result)["exhaust_temp_K"]) < 135.0


def test_vent_static() -> None:
    """20 ft and two elbows: 0.5 to 0.7 in w.c.; a published service manual allows 0.6. Here 0.57."""
    assert 0.5 < bulk(run(*TEST_VENT))["vent_static_Pa"] / INH2O < 0.7


@pytest.mark.parametrize("scenario", ["standard", "family_load"])
def test_a_healthy_machine_does_not_stand_at_the_limit(scenario: str) -> None:
    """The vent of a usual house leaves a tenth of a service manual's 0.6 in w.c., with heat and without."""
    p = load_scenario(scenario).to_parameters()
    found = bulk(run_cycle(p))["vent_static_Pa"]
    assert max(found, at_collar(p).static) / INH2O < 0.9 * 0.6


def test_timer_stands_still_in_bulk_drying_then_runs_more_and_more(standard_result: CycleResult) -> None:
    """Burner duty 1, then falling; timer duty 0, then rising: the shape of a measured 1 Hz power trace
    of an electric tumble dryer (see the test of the measured shape)."""
    s, cut_out_at = standard_result.series, standard_result.outcome.first_cut_out_s
    before = s["time_s"] < cut_out_at
    assert cut_out_at > 600.0
    assert not s["timer_motor"][before].any()
    first_light = s["time_s"][np.argmax(s["heat"] > 0.5)]
    assert s["heat"][before & (s["time_s"] > first_light)].all()
    gaps = [b[0] - a[1] for a, b in zip(flames(standard_result), flames(standard_result)[1:], strict=False)]
    burns = [b - a for a, b in flames(standard_result)]
    assert burns[0] > 3.0 * max(burns[1:]), "one long burn, then short ones"
    assert len(gaps) >= 3
    duty = standard_result.duty(150.0)
    late = duty["start_s"] > cut_out_at + 300.0
    assert duty["burner_duty"][late].mean() < 0.8
    assert duty["timer_duty"][late].mean() > duty["timer_duty"][~late].mean()


def flames(r: CycleResult) -> list[tuple[float, float]]:
    """Times from and to which heat was released."""
    s = r.series
    hot = np.concatenate([[0.0], s["heat"], [0.0]])
    edges = np.flatnonzero(np.diff(hot))
    at = np.append(s["time_s"], r.cycle_time)
    return [(float(at[i]), float(at[j])) for i, j in zip(edges[::2], edges[1::2], strict=True)]


def test_the_cycle_ends_with_its_cool_down(standard_result: CycleResult) -> None:
    """The dial's last five minutes: no heat, drum turning, load cooler at the end."""
    assert standard_result.end is EndReason.DIAL_RAN_OUT
    s = standard_result.series
    last = s["time_s"] > standard_result.cycle_time - 299.0
    assert not s["heat"][last].any()
    assert s["motor"][last][:-1].all()
    assert standard_result.timer_time == pytest.approx(780.0, abs=1e-6), (
        "8 min heat-off time, 5 min cool-down"
    )
    assert s["load_temp_K"][-1] < hottest_load(standard_result) - 30.0


def test_load_stays_near_the_wet_bulb_in_bulk_drying(standard_result: CycleResult) -> None:
    """A wet load is far cooler than the air around it: within 8 K of the inlet air's wet bulb."""
    t = 900.0
    a = standard_result.air(t)
    bulb = wet_bulb(a.inlet.temp, a.inlet.humidity_ratio, standard_result.parameters.pressure)
    assert a.inlet.temp > a.load.temp + 50.0
    assert abs(a.load.temp - bulb) < 8.0


# a blocked vent: shares and times of the 20 ft with two elbows ---------------------------------------


def test_half_and_three_quarters_blocked_vent_area() -> None:
    """Flow -15 to -20 % and about -50 %: fluid mechanics, computed. In bulk drying -16.7 and -52 %."""
    healthy = bulk(run(*TEST_VENT))["exhaust_flow_m3_per_s"]
    half = bulk(run(*TEST_VENT, "vent.open_area=50 %"))["exhaust_flow_m3_per_s"]
    quarter = bulk(run(*TEST_VENT, "vent.open_area=25 %"))["exhaust_flow_m3_per_s"]
    assert -0.20 < half / healthy - 1.0 < -0.15
    assert quarter / healthy - 1.0 == pytest.approx(-0.50, abs=0.05)


def test_eight_times_the_vent_resistance() -> None:
    """About half the airflow: the burner cycles on the high limit with the load still wet, and drying
    takes 1.4 to 2.2 times as long. Mechanism; the high limit's lag and coupling are assumed."""
    healthy, blocked = to_four_percent(*TEST_VENT), to_four_percent(*TEST_VENT, NO_CUTOFF, EIGHT)
    assert bulk(blocked)["exhaust_flow_m3_per_s"] / bulk(healthy)["exhaust_flow_m3_per_s"] == pytest.approx(
        0.5, abs=0.05
    )
    assert blocked.high_limit_trips > 10
    assert healthy.high_limit_trips == 0
    assert 1.4 < blocked.cycle_time / healthy.cycle_time < 2.2
    assert bulk(blocked)["moisture"] > 0.25


def test_less_air_does_not_waste_energy() -> None:
    """Energy per kg of water does not rise: mechanism, and published that less air need not waste energy.

    Like with like: both stopped at 4 %, and both in auto.
    """
    for healthy, blocked in ((to_four_percent(), to_four_percent(EIGHT)), (run(), run(EIGHT))):
        assert energy(blocked) / blocked.water_removed <= energy(healthy) / healthy.water_removed


def test_twenty_times_with_the_high_limit_inside_the_shunted_chain() -> None:
    """The tripped limit lets the timer run: the dial runs out early on a load above 15 %. Mechanism."""
    r = run(*TEST_VENT, NO_CUTOFF, TWENTY, *WHOLE_CHAIN)
    assert r.end is EndReason.DIAL_RAN_OUT
    assert r.final_moisture > 0.15
    assert r.cycle_time < run(*TEST_VENT, NO_CUTOFF, TWENTY).cycle_time / 1.5


def test_twenty_times_with_the_exhaust_thermostat_alone() -> None:
    """The same blockage on the other wiring: a long cycle, and the load is dry in the end. Mechanism."""
    r = run(*TEST_VENT, NO_CUTOFF, TWENTY)
    assert r.end is EndReason.DIAL_RAN_OUT
    assert r.final_moisture < 0.04
    assert r.cycle_time > 1.8 * run(*TEST_VENT).cycle_time


def test_the_timer_and_the_tripped_limit_in_both_wirings() -> None:
    """With the limit open the timer runs in the one wiring and stands in the other, load still wet."""
    for overrides, expected in (((NO_CUTOFF, TWENTY), 0.0), ((NO_CUTOFF, TWENTY, *WHOLE_CHAIN), 1.0)):
        s = run(*overrides).series
        tripped = (s["high_limit"] < 0.5) & (s["moisture"] > 0.25) & (s["timer_heat_contact"] > 0.5)
        assert tripped.any()
        assert (s["timer_motor"][tripped] == expected).all()


def test_twenty_times_blows_the_default_cut_off() -> None:
    """With the cut-off in the way the default's blows, on either wiring; eight times leaves it just whole.

    Its coupling and lag are unknown: at eight times the resistance it is a matter of chance.
    """
    for vent in ((), TEST_VENT):
        for wiring in ((), WHOLE_CHAIN):
            blown = [c for e in run(*vent, TWENTY, *wiring).events for c in e.changes]
            assert "thermal cut-off opens for good" in blown
        assert run(*vent, EIGHT).end is EndReason.DIAL_RAN_OUT


# other faults ---------------------------------------------------------------------------------------


def test_half_the_burner_never_reaches_the_cut_out() -> None:
    """Auto, 75 degF room: the exhaust thermostat never opens, so the timer never runs. Mechanism."""
    r = run(HALF_BURNER)
    assert r.end is EndReason.NEVER_CUTS_OUT
    assert "never reaches the cut-out" in r.end.value
    assert r.timer_time == 0.0
    assert r.final_moisture < 0.04
    assert degF(float(np.max(r.series["exhaust_element_temp_K"]))) < 155.0


def test_sixty_percent_of_the_burner_is_a_near_thing() -> None:
    """It does reach the cut-out here, ten minutes after the load is dry."""
    r = run("burner.firing_rate=13200 Btu/h")
    assert r.end is EndReason.DIAL_RAN_OUT
    assert r.time_to_marked is not None
    assert r.outcome.first_cut_out_s > r.time_to_marked + 300.0


def test_outlet_gasket_leak() -> None:
    """20 cm2 more gasket leak (4 to 24): about the same time to 4 % (within 10 %; here 2 % less), hotter
    and drier load, cooler exhaust in bulk drying, more gas in auto. Mechanism: the thermostat feels
    the mixture with room air."""
    healthy, leaking = run(), run(LEAK)
    assert to_four_percent(LEAK).cycle_time == pytest.approx(to_four_percent().cycle_time, rel=0.10)
    assert degF(hottest_load(leaking)) > degF(hottest_load(healthy)) + 10.0
    assert bulk(leaking)["load_temp_K"] > bulk(healthy)["load_temp_K"]
    assert leaking.final_moisture < healthy.final_moisture
    assert bulk(leaking)["exhaust_temp_K"] < bulk(healthy)["exhaust_temp_K"] - 1.0
    assert leaking.gas_energy > healthy.gas_energy


def test_a_smaller_load_and_a_poor_spin_move_the_time_as_they_should() -> None:
    """The dryer is fine: more water takes longer in proportion, per kg of water about the same energy."""
    wet = to_four_percent("load.initial_moisture=100 %")
    assert wet.cycle_time / to_four_percent().cycle_time == pytest.approx(
        (1.0 - 0.04) / (0.575 - 0.04), rel=0.10
    )
    small = to_four_percent(f"load.dry_mass={8.45 / 2.0} lb")
    assert 0.4 < small.cycle_time / to_four_percent().cycle_time < 0.75
    assert small.water_removed == pytest.approx(0.535 * 8.45 / 2.0 * POUND, rel=1e-6)
