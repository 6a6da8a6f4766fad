"""The page's bench sums say what the command's do, line by line."""

from __future__ import annotations

import shlex
from typing import Any

from typer.testing import CliRunner

from dryermodel.cli import app
from dryermodel.units import parse
from tests.cycle.node import needs_node
from tests.show.pages.pocket_node import in_page

KINDS = {
    "dial": "volume", "seconds": "time", "plate": "power", "elevation": "length", "diameter": "length",
    "rate": "power", "pressure": "pressure", "heatingValue": "heating value", "rated": "power", "wet": "mass",
    "dry": "mass", "conditioned": "mass", "cotton": "fraction", "regain": "fraction", "straight": "length",
    "exhaust": "volume flow", "opening": "area", "temperature": "temperature", "humidity": "fraction",
}  # fmt: skip
"""Kind of what is given as text."""

CASES: list[tuple[str, str, dict[str, Any]]] = [
    ("gas-clock '0.5 ft3' '82 s'", "gasClock", {"dial": "0.5 ft3", "seconds": "82 s", "turns": 1}),
    ("gas-clock '1/2 ft3' '80 s' --turns 2 --plate '22000 Btu/h' --altitude '5000 ft'", "gasClock",
     {"dial": "0.5 ft3", "seconds": "80 s", "turns": 2, "plate": "22000 Btu/h", "elevation": "5000 ft"}),
    ("gas-clock '0.5 ft3' '100 s' --plate '22000 Btu/h'", "gasClock",
     {"dial": "0.5 ft3", "seconds": "100 s", "turns": 1, "plate": "22000 Btu/h"}),
    ("gas-clock '0.5 ft3' '84 s' --plate '22000 Btu/h'", "gasClock",
     {"dial": "0.5 ft3", "seconds": "84 s", "turns": 1, "plate": "22000 Btu/h"}),
    ("gas-clock '0.25 ft3' '15 s' --gas propane --plate '22000 Btu/h' --gas-temperature '40 degF'",
     "gasClock",
     {"dial": "0.25 ft3", "seconds": "15 s", "turns": 1, "plate": "22000 Btu/h", "gas": "propane",
      "temperature": "40 degF"}),
    ("orifice --drill 42", "orifice", {"drill": 42}),
    ("orifice --diameter '0.09 in' --pressure '3 inH2O' --heating-value '1040 Btu/ft3'", "orifice",
     {"diameter": "0.09 in", "pressure": "3 inH2O", "heatingValue": "1040 Btu/ft3"}),
    ("orifice --rate '22000 Btu/h'", "orifice", {"rate": "22000 Btu/h"}),
    ("orifice --rate '20000 Btu/h' --gas propane", "orifice", {"rate": "20000 Btu/h", "gas": "propane"}),
    ("orifice --rate '600 Btu/h'", "orifice", {"rate": "600 Btu/h"}),
    ("altitude '5000 ft' '22000 Btu/h'", "altitude", {"elevation": "5000 ft", "rated": "22000 Btu/h"}),
    ("altitude '1500 ft' '20000 Btu/h' --gas propane", "altitude",
     {"elevation": "1500 ft", "rated": "20000 Btu/h", "gas": "propane"}),
    ("altitude '8000 ft' '200 Btu/h'", "altitude", {"elevation": "8000 ft", "rated": "200 Btu/h"}),
    *((f"moisture '{wet}' --dry '8 lb'", "moisture", {"wet": wet, "dry": "8 lb"})
      for wet in ("8.2 lb", "8.5 lb", "9.5 lb", "11.2 lb", "12.6 lb", "15 lb")),
    *((f"moisture '{wet}' --conditioned '8.4 lb' --cotton '80 %'", "moisture",
       {"wet": wet, "conditioned": "8.4 lb", "cotton": "80 %"}) for wet in ("8.1 lb", "8.4 lb", "13 lb")),
    ("moisture '13 lb' --conditioned '8.4 lb' --regain '6 %'", "moisture",
     {"wet": "13 lb", "conditioned": "8.4 lb", "regain": "6 %"}),
    ("vent --straight '20 ft' --elbow-90 2", "vent", {"straight": "20 ft", "fittings": {"mitred_90": 2}}),
    ("vent --straight '30 ft' --elbow-90 3 --radius-6in-90 1 --elbow-45 2", "vent",
     {"straight": "30 ft", "fittings": {"mitred_90": 3, "radius_6in_90": 1, "mitred_45": 2}}),
    ("vent --straight '0 ft'", "vent", {"straight": "0 ft", "fittings": {}}),
    ("makeup-air '150 cfm' '100 in2'", "makeupAir", {"exhaust": "150 cfm", "opening": "100 in2"}),
    ("makeup-air '450 cfm' '30 in2' --closet", "makeupAir",
     {"exhaust": "450 cfm", "opening": "30 in2", "closet": True}),
]  # fmt: skip

_SUMS = """
const machine = machines.byName.standard;
const answer = given.question.map(([call, entries]) => {
  const found = reckon[call]({ gas: "natural", ...entries, machine });
  return [false, true].map((si) => [
    found.title, ...found.rows.map((row) => `${row.label}  ${reckon.shown(row, si)}`.trim()),
    ...found.verdicts.map((text) => `result: ${text}`),
    ...found.rules.map((rule) => `rule: ${rule.text} [${rule.status}]`),
    ...found.cautions.map((text) => `caution: ${text}`)]);
});
"""


def in_si(entries: dict[str, Any]) -> dict[str, Any]:
    """Quantities given as text, in SI."""
    return {k: parse(v, KINDS[k]) if isinstance(v, str) and k in KINDS else v for k, v in entries.items()}


def lines(text: str) -> list[str]:
    """Lines with the room between label and value brought to two blanks."""
    return ["  ".join(part for part in line.split("  ") if part).strip() for line in text.splitlines()]


@needs_node
def test_every_line_is_the_command_s() -> None:
    """In the trade's units and in SI."""
    told = in_page(_SUMS, [[call, in_si(own)] for _, call, own in CASES], ("core", "moves", "reckon"))
    for (command, _, _), both in zip(CASES, told, strict=True):
        for option, page in zip(([], ["--si"]), both, strict=True):
            done = CliRunner().invoke(app, ["bench", *shlex.split(command), *option])
            assert done.exit_code == 0, done.output
            usual = [" ".join(line.split()) for line in lines(done.stdout)]
            assert [" ".join(line.split()) for line in page] == usual, command


@needs_node
def test_a_load_lighter_than_dry_is_told() -> None:
    script = """
    let answer = "";
    try { reckon.moisture({ wet: 3, dry: 4 }); } catch (error) { answer = error.message; }
    """
    assert in_page(script, None, ("core", "moves", "reckon")) == "the wet load weighs less than the dry one"
