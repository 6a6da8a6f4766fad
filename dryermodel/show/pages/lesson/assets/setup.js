"use strict";
// What is set, as the numbers that the engine takes and as a scenario file that the command line reads.
const setup = (() => {
  const { data } = lesson;
  const WATER = "load.initial_moisture";
  const SET_POINTS = ["machine.exhaust_cut_out", "machine.exhaust_cut_in"];
  const { absent, kinds } = data.cloth;
  const fields = Object.keys(absent);
  const settings = Object.fromEntries(data.controls.map((control) => [control.key, control]));
  const used = (mix) => kinds.filter(({ name }) => mix[name] > 0);

  // The machine with another mix of cloth, each kind as wet as the washer leaves it.
  function mixed(mix) {
    const machine = data.machine;
    if (!mix || !used(mix).length) return machine;
    const there = used(mix);
    const whole = there.reduce((sum, { name }) => sum + mix[name], 0);
    const share = ({ name }) => mix[name] / whole;
    const own = (field) => [...Array(data.mostCloths).keys()].map((i) => {
      if (i >= there.length) return absent[field];
      return field === "piece_share" ? share(there[i]) : there[i][field];
    });
    const wet = there.reduce((sum, kind) => sum + share(kind) * kind.piece_moisture, 0);
    return {
      ...machine,
      parameters: { ...machine.parameters, ...Object.fromEntries(fields.map((field) => [field, own(field)])) },
      values: { ...machine.values, "load.initial_moisture": wet },
      pieces: there.map(({ name }) => name),
    };
  }
  const value = (own, key) => own.values[key] ?? mixed(own.mix).values[key];
  function parameters(own) {
    const machine = mixed(own.mix);
    let p = moving.settled(machine, own.values, data.damp);
    for (const { key, field, move } of data.controls) {
      const set = own.values[key];
      if (set === undefined || set === machine.values[key]) continue;
      if (field) p[field] = set;
      else if (move) p = moving.moved(p, move, set);
    }
    return { ...p, ...data.wirings[own.wiring].set };
  }
  // Moving one set point pushes the other, so that the thermostat still closes below where it opens.
  function ordered(values, key) {
    const [high, low] = SET_POINTS;
    const now = (one) => values[one] ?? data.machine.values[one];
    if (now(high) - now(low) >= data.differential - 1e-9) return values;
    return key === high ? { ...values, [low]: now(high) - data.differential } : { ...values, [high]: now(low) + data.differential };
  }
  // As the command line reads it; in the units shown.
  function scenario(own) {
    const lines = ["[scenario]", `extends = "${data.machine.name}"`];
    const sections = {};
    const add = (key, text) => {
      const [section, name] = key.split(".");
      (sections[section] ??= []).push(`${name} = "${text}"`);
    };
    // A cut-out that is written alone takes the cut-in along there; here each is set by itself.
    const [high, low] = SET_POINTS;
    const told = own.values[high] === undefined ? own.values : { [low]: value(own, low), ...own.values };
    for (const [key, set] of Object.entries(told)) {
      const entry = settings[key];
      const unit = lesson.unitOf(entry);
      if (set === mixed(own.mix).values[key] && key !== low) continue;
      if (own.mix && key === WATER) continue; // there, each piece says its own
      add(entry.fault ? `faults.${key}` : key, `${page.digits(page.inUnit(set, unit), 9)} ${unit.label}`);
    }
    if (own.wiring !== data.machine.wiring) {
      for (const [key, text] of Object.entries(data.wirings[own.wiring].said)) add(key, text);
      // Each program has a dial of its own there; here the switch leaves the dial where it is.
      const came = data.machine.parameters.dial_heat;
      if ((own.values["controls.dial_heat"] ?? came) === came) add("controls.dial_heat", `${page.digits(came / 60, 9)} min`);
    }
    for (const [section, found] of Object.entries(sections)) lines.push("", `[${section}]`, ...found);
    if (own.mix) {
      const p = parameters(own);
      const percent = (share) => `"${page.digits(share * 100, 9)} %"`;
      used(own.mix).forEach(({ name }, i) => {
        lines.push("", "[[load.pieces]]", `kind = "${name}"`, `share = ${percent(p.piece_share[i])}`);
        if (own.values[WATER] !== undefined) lines.push(`initial_moisture = ${percent(p.piece_moisture[i])}`);
      });
    }
    return `${lines.join("\n")}\n`;
  }
  const asItCame = () => ({ values: {}, mix: null, wiring: data.machine.wiring });
  return { mixed, value, parameters, ordered, scenario, asItCame, used };
})();
