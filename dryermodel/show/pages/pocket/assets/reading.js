"use strict";
// What a person writes of a reading: its name, and a quantity with its unit.
const reading = (() => {
  const asked = pocket.data.questions;
  const plain = (name) => (name.toLowerCase().match(/[a-z0-9%]+/g) ?? []).join(" ");
  const byName = (list) => new Map(list.flatMap((one) => one.spelled.map((spelled) => [spelled, one])));
  const measured = byName(asked.measurements);
  const observed = byName(asked.observations);
  // A bare number as it was meant where it was typed: with the unit that is shown there.
  const withUnit = (text, kind, label) => (kind !== "number" && label && written.bare(text) ? `${text.trim()} ${label}` : text.trim());
  // What was written, in SI; a bare number is in the unit of that label, or in none where there is none.
  function quantity(text, kind, label, within) {
    const source = String(text);
    try {
      const value = written.parse(withUnit(source, kind, label), kind, within);
      return value >= within[0] && value <= within[1] ? { value } : { problem: `${source} cannot be` };
    } catch (error) {
      return { problem: error.message };
    }
  }
  // The timer's advance between two minutes of the clock; null for any other entry.
  function advance(entry) {
    const { advance: test, marks } = asked;
    const inName = /^(.*?)(?:from )?(\d+) ?(?:min)? ?(?:-|to) ?(\d+) ?min$/.exec((entry.name ?? "").trim().toLowerCase());
    if (!test.spelled.includes(plain(inName ? inName[1] : entry.name ?? ""))) return null;
    const ends = inName ? [inName[2], inName[3]].map((text) => 60 * Number(text)) : [entry.from, entry.to].map((text) => quantity(text ?? "", "time", "", [0, 86400]).value);
    const minutes = ends.map((at) => Math.round(at / 60));
    if (!minutes.every((minute) => minute === 0 || marks.includes(minute)) || !(minutes[0] < minutes[1])) {
      return { problem: `the dial is read at 0, 5, 10 ... ${marks.at(-1)} min of the clock, the first before the second` };
    }
    return { test, name: `${test.name} ${minutes[0]}-${minutes[1]} min`, number: `dial ${minutes[0]}-${minutes[1]}` };
  }
  return { advance, plain, byName, measured, observed, quantity, withUnit };
})();
