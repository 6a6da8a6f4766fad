"use strict";
// What a person writes of a reading: its name, and a quantity with its unit.
const reading = (() => {
  const asked = pocket.data.questions;
  const plain = (name) => (name.toLowerCase().match(/[a-z0-9%]+/g) ?? []).join(" ");
  const byName = (list) => new Map(list.flatMap((one) => one.spelled.map((spelled) => [spelled, one])));
  const measured = byName(asked.measurements);
  const observed = byName(asked.observations);
  // What was written, in SI: a number and a unit; a bare number is in the unit that is shown.
  function quantity(text, kind, shown, within) {
    const found = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:\s*\/\s*\d+)?)\s*(.*?)\s*$/.exec(String(text).replace(",", "."));
    if (!found) return { problem: "write a number with its unit" };
    const [over, under] = found[1].split("/").map(Number);
    const number = under === undefined ? over : over / under;
    const unit = found[2].toLowerCase();
    const rule = asked.spellings[kind][unit];
    if (unit && !rule && unit !== shown.label.toLowerCase()) return { problem: `'${found[2]}' is no unit known here: ${shown.label || "a plain number"}` };
    const value = rule ? number * rule[0] + rule[1] : pocket.toSi(number, shown);
    if (!(value >= within[0] && value <= within[1])) return { problem: `${text} cannot be` };
    return { value };
  }
  return { plain, byName, measured, observed, quantity };
})();
