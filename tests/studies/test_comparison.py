"""What-ifs are read as written, cases are plain runs, and the figures add up."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from dryermodel.cycle.engine import parameters as P
from dryermodel.errors import InputError
from dryermodel.scenario.run import simulate
from dryermodel.show.data.comparison import as_data
from dryermodel.show.text.comparison import case_lines, note_lines, tables
from dryermodel.studies.comparison.cases import UNCHANGED, plan_comparison, read_what_if, run_cases
from dryermodel.studies.comparison.figures import NAMES, Comparison, comparison, figures
from dryermodel.studies.comparison.notes import notes
from tests.cycle.cases import KWH, degF
from tests.plain import plain_run, plain_scenario, plain_settings


@cache
def compared(*what_ifs: str, scenario: str = "standard") -> Comparison:
    settings = plain_settings() if scenario == "standard" else []
    return comparison(run_cases(plan_comparison([scenario], what_ifs, settings)))


FOUR = ("vent_blockage=75 %", "outlet_gasket_leak=20 cm2", "weak_burner=80 %")


def told(found: Comparison) -> str:
    return " ".join(notes(found.cases, found.numbers))


# What-ifs -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "faults", "settings"),
    [
        ("vent_blockage", ("vent_blockage",), ()),
        ("vent_blockage=75 %, vent.length=40 ft", ("vent_blockage=75 %",), ("vent.length=40 ft",)),
        ("vent.length=1,200 ft,igniter_open", ("igniter_open",), ("vent.length=1,200 ft",)),
        ("burner.firing_rate=17,600 Btu/h", (), ("burner.firing_rate=17,600 Btu/h",)),
        ("faults.weak_burner=0.5", (), ("faults.weak_burner=0.5",)),
        (
            "controls.interruptions=10 min door opened; 12 min door closed",
            (),
            ("controls.interruptions=10 min door opened; 12 min door closed",),
        ),
    ],
)
def test_what_if_in_pieces(text: str, faults: tuple[str, ...], settings: tuple[str, ...]) -> None:
    found = read_what_if(text)
    assert (found.faults, found.settings) == (faults, settings)


@pytest.mark.parametrize(
    ("scenarios", "what_ifs", "said"),
    [
        (["standard"], ["vent_blokage=1"], "--with: vent_blokage: unknown fault (did you mean vent_block"),
        (["standard"], ["vent_blockage=severity 2"], "--with: vent_blockage: severity is 2.0, outside the"),
        (["standard"], ["vent.length=5 psi"], "--with: vent.length: is a length, e.g. '20 ft'"),
        (["standard"], ["vent.lenght=5 ft"], "--with: vent.lenght: unknown key (did you mean vent.length"),
        (["standard"], [""], "--with: '' is not faults or settings with commas between"),
        (["standard"], ["vent.length"], "--with: 'vent.length' is not section.key=value"),
        (["standard"], ["igniter_open,igniter_open"], "--with: igniter_open: is given twice"),
        (["standard"], [], "compare: give two scenarios or more, or one and what to change in it"),
        (["standard", "electric"], ["vent_blockage"], "--with: goes with one scenario"),
        (["standard", "standrad"], [], "no scenario file 'standrad' (did you mean standard"),
        (["electric"], ["igniter_open"], "has no meaning when machine.heat = 'electric'"),
        (["standard"] * 27, [], "27 cases are too many"),
    ],
)  # fmt: skip
def test_bad_cases_are_one_clear_line(scenarios: list[str], what_ifs: list[str], said: str) -> None:
    with pytest.raises(InputError) as problem:
        plan_comparison(scenarios, what_ifs)
    assert said in str(problem.value)


def test_cases_are_the_scenario_unchanged_and_changed() -> None:
    names = [name for name, _ in plan_comparison(["standard"], FOUR)]
    assert names == [UNCHANGED, *FOUR]
    cases = compared(*FOUR).cases
    direct = simulate(plain_scenario(faults=["outlet_gasket_leak=20 cm2"]))
    assert cases[0].result.final.tobytes() == simulate(plain_scenario()).final.tobytes()
    assert cases[2].result.final.tobytes() == direct.final.tobytes()


def test_settings_and_faults_of_every_case() -> None:
    planned = plan_comparison(["standard"], ["weak_burner=80 %"], ["load.dry_mass=3 lb"], ["humid_room=20 %"])
    assert [s.value("load.dry_mass") for _, s in planned] == pytest.approx([1.36078, 1.36078], rel=1e-5)
    assert [sorted(s.faults) for _, s in planned] == [["humid_room"], ["humid_room", "weak_burner"]]
    again = plan_comparison(["standard"], ["weak_burner=none"], faults=["weak_burner=70 %"])
    assert [dict(s.faults) for _, s in again] == [{"weak_burner": pytest.approx(0.5)}, {}]


def test_a_fault_and_the_setting_that_says_it_give_the_same_figures() -> None:
    found = compared("weak_burner=80 %", "burner.firing_rate=17600 Btu/h")
    for key, value in found.numbers[1].values.items():
        assert found.numbers[2].values[key] == pytest.approx(value, rel=1e-6), key


# Figures --------------------------------------------------------------------------------------------


def test_figures_to_four_percent_are_those_of_a_run_that_stops_there() -> None:
    """Two roads: read off the automatic cycle, and a run of its own that ends at 4 %."""
    values, stopped = compared(*FOUR).numbers[0].values, plain_run("controls.stop_at_moisture=4 %")
    assert values["time_to_4pct"] == pytest.approx(stopped.cycle_time, rel=1e-6)
    assert values["gas_energy_to_4pct"] == pytest.approx(stopped.gas_energy, rel=1e-6)
    assert values["electric_energy_to_4pct"] == pytest.approx(stopped.electric_energy, rel=1e-6)


def test_money_and_co2_by_hand() -> None:
    """The default prices and factors, which are assumed: 1.50 USD/therm, 0.17 USD/kWh, 0.4 kg/kWh."""
    found = compared(*FOUR)
    r, values = found.cases[0].result, found.numbers[0].values
    therms = r.gas_energy / 1.05505585262e8
    money = therms * 1.50 + r.electric_energy / KWH * 0.17
    co2 = therms * 0.1 * 53.06 + r.electric_energy / KWH * 0.4
    assert values["cost_load"] == pytest.approx(money)
    assert values["cost_year"] == pytest.approx(283 * money)
    assert values["co2_load"] == pytest.approx(co2)
    assert values["co2_year"] == pytest.approx(283 * co2)


def test_figures_of_the_cases_go_the_way_mechanism_says() -> None:
    healthy, vent, gasket, burner = (n.values for n in compared(*FOUR).numbers)

    def moves(case: dict[str, float | None], key: str) -> float:
        value, first = case[key], healthy[key]
        assert value is not None and first is not None
        return value / first - 1.0

    assert (
        moves(vent, "time_to_4pct") > 0.4
        and moves(vent, "exhaust_flow") < -0.4
        and moves(vent, "vent_static") > 0.5
    )
    assert moves(vent, "gas_energy_to_4pct") <= 0.0, "published: less air need not waste energy"
    assert abs(moves(gasket, "time_to_4pct")) < 0.1 and moves(gasket, "gas_energy") > 0.0
    assert degF(gasket["load_temp_max"] or 0.0) > degF(healthy["load_temp_max"] or 0.0) + 10.0
    assert moves(burner, "time_to_4pct") == pytest.approx(1.0 / 0.8 - 1.0, abs=0.05)
    assert abs(moves(burner, "gas_energy_to_4pct")) < 0.05, "the water takes the same heat, only later"


def test_every_row_has_a_value_or_says_none() -> None:
    for case, numbers in zip(compared(*FOUR).cases, compared(*FOUR).numbers, strict=True):
        assert set(numbers.values) == set(NAMES)
        assert figures(case) == numbers


@cache
def family() -> Comparison:
    return compared("thermostat_drift=15 degF", scenario="family_load")


def test_each_kind_of_cloth_has_a_row_with_its_difference() -> None:
    found = family()
    rows = {row[0].strip(): row for row in tables(found)[0][1]}
    assert found.pieces == ("shirts", "mixed cloth", "jeans")
    for kind, other in zip(found.cases[0].result.pieces, found.cases[1].result.pieces, strict=True):
        one, more = f"{100 * kind.final_moisture:.1f}", f"{100 * other.final_moisture:.1f}"
        assert rows[kind.name][1].strip() == "%" and rows[kind.name][2].strip() == one
        assert rows[kind.name][3].split() == [more, f"({float(more) - float(one):+.1f})"]
    assert found.numbers[1].values["wettest_final_moisture"] == found.cases[1].result.pieces[2].final_moisture
    assert f"jeans {100 * found.numbers[1].pieces['jeans']:.0f} %: wet): a second run" in told(found)


def test_loads_of_one_kind_have_no_rows_of_pieces_and_others_a_dash_there() -> None:
    even = compared("vent.elbow_loss=0.6")
    assert even.pieces == () and not any("wettest" in row[0] for row in tables(even)[0][1])
    mixed = comparison((*family().cases[:1], *even.cases[:1]))
    rows = {row[0].strip(): row for row in tables(mixed)[0][1]}
    assert rows["jeans"][3].strip() == "-"


def test_labels_are_the_weakest_of_the_cases() -> None:
    found = compared(*FOUR)
    assert found.status_of("time_to_4pct") == "assumed", "B rests on the high limit"
    assert comparison(found.cases[:1]).status_of("time_to_4pct") == "fitted", "A does not"
    assert comparison(found.cases[:1]).status_of("cost_load") == "assumed", "default prices"
    assert found.status_of("exhaust_flow") == "fitted"


# Notes ----------------------------------------------------------------------------------------------


def test_a_wet_end_is_marked_and_no_saving() -> None:
    found = compared("thermostat_stuck_open")
    assert found.numbers[1].wet and not found.numbers[0].wet
    assert "B ends wet, at 54.3 % moisture: a second run would be needed" in told(found)
    assert "no saving" in told(found)
    assert found.numbers[1].values["gas_energy_to_4pct"] is None


def test_unlike_dryness_is_said_and_like_is_not() -> None:
    assert "The loads do not end equally dry (A 1.0 %, B 0.5 %)" in told(compared("cold_makeup_air=30 degF"))
    assert "equally dry" not in told(compared("vent.elbow_loss=0.6"))


def test_a_hotter_load_is_no_gain() -> None:
    text = told(compared("outlet_gasket_leak=20 cm2"))
    assert "B heats the load to 205 degF against 173 degF in A: over-dried and hot is no gain" in text


def test_a_cycle_that_does_not_end_is_said() -> None:
    found = compared("weak_burner=50 %")
    assert "B does not end by itself" in told(found)
    rows = tables(found)[0][1]
    assert next(row for row in rows if row[0].strip() == "cycle time")[3].strip().startswith(">240.0")


def test_assumed_coupling_is_told_only_where_it_counts() -> None:
    assert "B rests on the assumed high-limit coupling (62 %) and lag (45 s)" in told(compared(*FOUR))
    assert "not validated" not in told(compared("weak_burner=80 %"))


def test_different_currencies_have_no_difference(tmp_path: Path) -> None:
    euro = tmp_path / "euro.toml"
    euro.write_text(
        "[costs]\ncurrency = 'EUR'\ngas_price = '0.11 EUR/kWh'\nelectricity_price = '0.35 EUR/kWh'\n",
        encoding="utf-8",
    )
    found = comparison(run_cases(plan_comparison(["standard", euro])))
    assert "different currencies; nothing is exchanged" in told(found)
    cells = {row[0].strip(): row for row in tables(found)[0][1]}
    assert "(" not in cells["cost a year"][3]
    assert as_data(found, "0")["cases"][1]["difference_to_first_SI"]["cost_load"] is None


# The table ------------------------------------------------------------------------------------------


def test_differences_are_those_of_the_printed_numbers() -> None:
    found = compared(*FOUR)
    checked = 0
    for row in tables(found)[0][1]:
        for cell in row[3:-1]:
            if "(" in cell and "same" not in cell:
                value, difference = cell.strip().rstrip(")").split("(")
                first = float(row[2])
                assert float(value) - first == pytest.approx(float(difference), abs=1e-9)
                checked += 1
    assert checked > 40


@pytest.mark.parametrize("si", [False, True])
def test_tables_fit_and_are_ascii(si: bool) -> None:
    from dryermodel.show.text.tables import plain_table

    found = compared(*FOUR, "cold_makeup_air=30 degF", "load.dry_mass=3 lb")
    parts = tables(found, si)
    assert [len(headers) for headers, _ in parts] == [2 + 4 + 1, 2 + 3 + 1]
    lines = [line for headers, rows in parts for line in plain_table(headers, rows).splitlines()]
    lines += [*case_lines(found, si), *note_lines(found, si)]
    assert max(map(len, lines)) <= 120 and all(line.isascii() for line in lines)
    assert "75 %" in "\n".join(case_lines(found, si))


def test_no_case_changed_is_the_same_everywhere() -> None:
    rows = tables(compared("vent_blockage=0 %"))[0][1]
    cells = [row[3].strip() for row in rows if row[3].strip()]
    assert cells and all(cell.endswith("(same)") for cell in cells)


def test_electric_machine_compares() -> None:
    found = compared("humid_room=40 %", scenario="electric")
    assert found.numbers[0].values["gas_energy"] == 0.0
    assert found.cases[0].result.parameters.heat_source == P.ELECTRIC_HEAT
    assert "Gas work" not in told(found)
