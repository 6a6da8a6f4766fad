"use strict";
// A machine with its settings and its fault as the numbers that the engine takes.
const machines = (() => {
  const { data } = pocket;
  const byName = pocket.bare(Object.fromEntries(data.machines.map((machine) => [machine.name, machine])));
  const faults = pocket.bare(Object.fromEntries(data.faults.map((fault) => [fault.key, fault])));

  const settled = (machine, values) => moving.settled(machine, values, data.damp);
  function amount(fault, severity) {
    if (!fault.graded) return severity;
    const [low, high] = fault.ends;
    if (fault.law === "reciprocal") return severity > 0 ? high / severity : data.never;
    return low + severity * (high - low);
  }
  function broken(p, key, severity) {
    const fault = faults[key];
    if (!fault || !severity) return p;
    return moving.moved(p, fault.move, amount(fault, severity));
  }
  // What a severity means, as it is printed.
  function said(fault, severity, significant = 4) {
    if (!fault.graded) return severity ? fault.at_1 : fault.at_0;
    const text = severity === 0 ? fault.at_0 : `${pocket.digits(pocket.inUnit(amount(fault, severity), fault.unit), significant)} ${fault.unit.label}`;
    return text.replace("delta_deg", "deg").replace("inH2O", "in w.c.").trim();
  }
  const meets = (fault, machine) => !(fault.gas_only && machine.parameters.heat_source === data.electric);
  return { byName, faults, settled, broken, said, meets };
})();

// Words of a text in one form, and faults by what is said; as `dryermodel faults --says`.
const finding = (() => {
  const { same, common, index, rarity, clear } = pocket.data.words;
  const ways = same.map(([word, text]) => [word, new RegExp(`\\b(?:${text})\\b`, "g")]);
  const usual = new Set(common);
  function stem(word) {
    if (word.endsWith("ss")) return word;
    for (const ending of ["ing", "ed", "es", "s"]) {
      if (word.endsWith(ending) && word.length - ending.length >= 3) return word.slice(0, -ending.length);
    }
    return word;
  }
  function wordsOf(text) {
    let plain = (text.replace(/[\u2019']/g, "").toLowerCase().match(/[a-z0-9]+/g) ?? []).join(" ");
    for (const [word, pattern] of ways) plain = plain.replace(pattern, word);
    return [...new Set(plain.split(" ").filter((word) => word && !usual.has(word)).map(stem))];
  }
  function search(text) {
    const asked = wordsOf(text);
    const scored = Object.entries(index).map(([key, own]) => [key, asked.reduce((sum, word) => sum + (own[word] ?? 0) * (rarity[word] ?? 0), 0)]);
    const found = scored.filter(([, score]) => score > 0).sort((one, other) => other[1] - one[1]);
    return found.filter(([, score]) => score >= clear * found[0][1]).map(([key]) => key);
  }
  return { wordsOf, search };
})();
