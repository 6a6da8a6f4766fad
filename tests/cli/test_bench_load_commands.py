"""``dryermodel bench``: moisture, thermostat and cost."""

from __future__ import annotations

import pytest

from dryermodel.bench import load as load_sums
from tests.cli.bench_runner import data, error, values


def test_remaining_moisture_of_the_energy_test() -> None:
    """10 CFR 430 subpart B app. D2, from memory: 8.45 lb bone dry at 57.5 % weighs 13.31 lb."""
    found = values("moisture", "13.30875 lb", "--dry", "8.45 lb")
    assert found["remaining_moisture"] == pytest.approx(57.5, rel=1e-9)


@pytest.mark.parametrize(
    ("wet", "said"),
    [
        ("8.7 lb", "dry"),
        ("9 lb", "nearly dry: cotton at rest in room air holds as much"),
        ("11 lb", "part dried"),
        ("12 lb", "a fast-spinning washer, or part dried"),
        ("13.3 lb", "the washer is fine"),
        ("17 lb", "look at the washer"),
    ],
)
def test_what_remaining_moisture_means(wet: str, said: str) -> None:
    assert said in data("moisture", wet, "--dry", "8.45 lb")["results"][0]


def test_conditioned_weight_takes_its_regain_off() -> None:
    given_ = values("moisture", "13 lb", "--conditioned", "8.48 lb", "--regain", "6 %")
    assert given_["bone_dry"] == pytest.approx(8.0)
    found = data("moisture", "13 lb", "--conditioned", "8.5 lb", "--cotton", "100 %")
    regain = {row["key"]: row["value"] for row in found["rows"]}["regain"]
    # ASHRAE Applications, hygroscopic materials (from memory): cotton at 24 degC, 50 % RH holds 6.6 %.
    assert regain == pytest.approx(6.6, abs=0.4)
    assert {"text": "regain by the cotton isotherm for this blend and room", "status": "assumed"} in found[
        "rules"
    ]


@pytest.mark.parametrize(
    ("wet", "said"),
    [
        ("8.3 lb", "dry: drier than the room air will keep it"),
        ("8.8 lb", "dry: as dry as the room air keeps it"),
        ("9.2 lb", "part dried"),
    ],
)
def test_cloth_at_rest_in_room_air_is_dry(wet: str, said: str) -> None:
    """Cotton holds 6 to 7 % at rest in room air, and no cycle takes it lower for long."""
    found = data("moisture", wet, "--conditioned", "8.8 lb", "--cotton", "100 %")
    assert said in found["results"][0]


def test_thermostat_says_whose_numbers_it_stands_on() -> None:
    usual = data("thermostat", "155 degF", "--low-heat")["rules"]
    assert [rule["status"] for rule in usual] == ["common practice", "published"]
    own = data("thermostat", "155 degF", "--low-heat", "--bias-rise", "9 degF", "--tolerance", "8 degF")
    assert [rule["status"] for rule in own["rules"]] == ["given", "given"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["155 degF", "--measured", "160 degF"], "within tolerance"),
        (["155 degF", "--measured", "150 degF"], "within tolerance"),
        (["155 degF", "--measured", "161 degF"], "opens too hot"),
        (["155 degF", "--measured", "140 degF"], "opens too cool"),
        (["155 degF", "--measured", "140 degF", "--low-heat"], "within tolerance"),
        (["155 degF", "--measured", "155 degF", "--low-heat"], "opens too hot"),
        (["155 degF", "--measured", "146 degF", "--low-heat", "--bias-rise", "9 degF"], "within tolerance"),
    ],
)
def test_thermostat_verdicts(arguments: list[str], said: str) -> None:
    assert said in data("thermostat", *arguments)["results"][0]


def test_bias_heater_at_half_power_rises_half() -> None:
    power = ["--low-heat", "--bias-power", "2 W", "--bias-rated-power", "4 W"]
    assert values("thermostat", "155 degF", *power)["apparent_set_point"] == pytest.approx(147.5)


def test_cost_by_hand() -> None:
    """0.08 therm at 1.50 and 0.2 kWh at 0.17; EPA factor 53.06 kg/MMBtu from memory, 0.4 kg/kWh."""
    found = values(
        "cost", "--gas-used", "8 kBtu", "--electricity-used", "0.2 kWh", "--gas-price", "$1.50/therm",
        "--electricity-price", "$0.17/kWh", "--si",
    )  # fmt: skip
    assert found["cost_load"] == pytest.approx(0.08 * 1.5 + 0.2 * 0.17)
    assert found["cost_year"] == pytest.approx(283 * (0.08 * 1.5 + 0.2 * 0.17))
    assert found["co2_load"] == pytest.approx(0.008 * 53.06 + 0.2 * 0.4, rel=1e-8)


def test_cost_takes_gas_by_volume_and_says_what_is_missing() -> None:
    by_volume = values("cost", "--gas-used", "8 ft3", "--gas-price", "1.5 EUR per therm")
    assert by_volume["gas"] == pytest.approx(8.2)
    assert by_volume["cost_load"] == pytest.approx(0.082 * 1.5)
    missing = values(
        "cost", "--gas-used", "8 ft3", "--electricity-used", "0.2 kWh", "--gas-price", "$1/therm"
    )
    assert missing["cost_load"] == "not known: a price is missing"


@pytest.mark.parametrize(
    ("gas", "power", "currency"),
    [
        ("$1.50/therm", "0.17 USD/kWh", "USD"),
        ("1.50 usd per therm", "US$0.17/kWh", "USD"),
        ("$1.50/therm", "$.17/kWh", "$"),
        ("CAD 1.50/therm", "0.17 CAD/kWh", "CAD"),
    ],
)
def test_a_dollar_sign_is_the_us_dollar(gas: str, power: str, currency: str) -> None:
    used = ["--gas-used", "8 kBtu", "--electricity-used", "0.2 kWh"]
    rows = data("cost", *used, "--gas-price", gas, "--electricity-price", power)["rows"]
    found = next(row for row in rows if row["key"] == "cost_load")
    assert found["value"] == pytest.approx(0.08 * 1.5 + 0.2 * 0.17)
    assert found["unit"] == currency


@pytest.mark.parametrize("eaten", [".50/therm", "5/therm", "bash.17/kWh", "zsh.17/kWh", "sh.17/kWh"])
def test_a_price_whose_dollar_sign_the_shell_took_is_refused(eaten: str) -> None:
    message = error("cost", "--gas-used", "8 kBtu", "--gas-price", eaten)
    assert eaten in message and "in single quotes" in message


def test_cost_labels_what_it_assumes() -> None:
    rules = data("cost", "--gas-used", "8 kBtu")["rules"]
    assert [rule["status"] for rule in rules] == ["from memory", "assumed", "from memory"]
    told = data("cost", "--gas-used", "8 kBtu", "--loads", "200", "--grid-co2", "0.1 kg/kWh")["rules"]
    assert [rule["status"] for rule in told] == ["from memory", "given"]
    assert load_sums.LOADS_A_YEAR == 283


def test_propane_burns_with_more_co2() -> None:
    natural = values("cost", "--gas-used", "8 kBtu")["co2_load"]
    assert values("cost", "--gas-used", "8 kBtu", "--gas", "propane")["co2_load"] == pytest.approx(
        natural * 62.9 / 53.06
    )
