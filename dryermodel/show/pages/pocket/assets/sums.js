"use strict";
// The form of each bench sum; an answer appears as soon as what it needs is there.
(() => {
  const { state, make, fill } = pocket;
  const RANGE = { volume: [1.4e-3, 3], time: [1, 3600], temperature: [200, 340], pressure: [0, 35000], power: [29, 293100],
    length: [-460, 4600], mass: [0.045, 46], fraction: [0, 1], "volume flow": [4e-4, 2.4], area: [6e-4, 6.5], "heating value": [7e6, 1.5e8], number: [0, 1000] };
  const field = (key, words, kind, unit, need = false, range = RANGE[kind]) => ({ key, words, kind, unit, need, range });
  const gas = { key: "gas", words: "gas", options: ["natural", "propane"] };
  const heat = field("heatingValue", "gross heating value, if known", "heating value", "Btu/ft3");
  const FITTINGS = [["mitred_90", "mitred 90 degree elbows"], ["mitred_45", "mitred 45 degree elbows"], ["radius_6in_90", "90 degree, 6 in radius"], ["radius_6in_45", "45 degree, 6 in radius"], ["radius_8in_90", "90 degree, 8 in radius"], ["radius_8in_45", "45 degree, 8 in radius"]];
  const machine = () => machines.byName[state.machine] ?? pocket.data.machines[0];
  const FORMS = [
    { id: "gas-clock", title: "Clocking the gas meter", run: reckon.gasClock, note: "All other gas off.",
      fields: [field("dial", "gas a turn of the dial, e.g. 1/2 ft3", "volume", "ft3", true), field("seconds", "time of all turns", "time", "s", true), field("turns", "turns", "number", "", false, [1, 1000]), gas, field("plate", "input on the rating plate", "power", "Btu/h"), field("elevation", "elevation, where the meter does not correct", "length", "ft"), heat],
      ready: (given) => ({ ...given, turns: given.turns ?? 1 }) },
    { id: "orifice", title: "Orifice", run: reckon.orifice, note: "One of drill, diameter or firing rate.",
      fields: [field("drill", "number drill", "number", "", false, [1, 80]), field("diameter", "diameter", "length", "in", false, [1.2e-4, 0.013]), field("rate", "or the orifice for this firing rate", "power", "Btu/h"), gas, field("pressure", "manifold pressure", "pressure", "in w.c.", false, [24, 15000]), heat],
      ready: (given) => (["drill", "diameter", "rate"].filter((key) => given[key] !== undefined).length === 1 ? given : null) },
    { id: "altitude", title: "Altitude", run: reckon.altitude,
      fields: [field("elevation", "elevation", "length", "ft", true), field("rated", "input on the rating plate", "power", "Btu/h", true), gas, field("pressure", "manifold pressure", "pressure", "in w.c.", false, [24, 15000]), heat] },
    { id: "moisture", title: "Moisture by weighing", run: reckon.moisture, note: "One of the two dry weights.",
      fields: [field("wet", "wet load", "mass", "lb", true), field("dry", "bone-dry weight", "mass", "lb"), field("conditioned", "or at rest in room air for a day", "mass", "lb"), field("cotton", "cotton, the rest polyester", "fraction", "%")],
      ready: (given) => ((given.dry === undefined) !== (given.conditioned === undefined) ? given : null) },
    { id: "vent", title: "Vent: code length, and static by physics", run: (given) => reckon.vent({ ...given, machine: machine() }), note: "On the blower of the machine chosen in the first part, its duct's diameter.",
      fields: [field("straight", "straight duct", "length", "ft", true, [0, 61]), ...FITTINGS.map(([key, words]) => field(key, words, "number", "", false, [0, 20]))],
      ready: (given) => ({ straight: given.straight, fittings: given }) },
    { id: "makeup-air", title: "Make-up air", run: (given) => reckon.makeupAir({ ...given, closet: given.closet === "yes", machine: machine() }),
      fields: [field("exhaust", "all the room loses", "volume flow", "cfm", true), field("opening", "free opening", "area", "in2", true), { key: "closet", words: "in a closet", options: ["no", "yes"] }] },
  ];
  const kept = (form) => ((state.sums ??= {})[form.id] ??= {});
  function read(form) {
    const given = {};
    for (const one of form.fields) {
      const text = String(kept(form)[one.key] ?? "").trim();
      if (one.options) given[one.key] = one.options.includes(text) ? text : one.options[0];
      else if (text) {
        const found = visits.quantity(text, one.kind, one.unit, one.range);
        if (found.problem) return { problem: `${one.words}: ${found.problem}` };
        given[one.key] = found.value;
      } else if (one.need) return {};
    }
    return { given: form.ready ? form.ready(given) : given };
  }
  function answer(form) {
    const place = document.getElementById(`sum-${form.id}`);
    const { problem, given } = read(form);
    if (problem) return place.replaceChildren(make("p", { class: "problem" }, problem));
    if (!given) return place.replaceChildren();
    let found;
    try {
      found = form.run(given);
    } catch (error) {
      return place.replaceChildren(make("p", { class: "problem" }, error.message));
    }
    const rows = found.rows.map((row) => [row.label, reckon.shown(row, state.si)]);
    const list = (items) => make("ul", {}, ...items.map((text) => make("li", {}, text)));
    return place.replaceChildren(pocket.table(found.title, ["", ""], rows), ...found.verdicts.map((text) => make("p", {}, make("strong", {}, text))),
      ...found.cautions.map((text) => make("p", { class: "caution" }, text)), make("p", { class: "small" }, "Rules:"), list(found.rules.map((rule) => `${rule.text} [${rule.status}]`)));
  }
  function input(form, one) {
    const id = `sum-${form.id}-${one.key}`;
    const value = String(kept(form)[one.key] ?? "");
    const set = (event) => { kept(form)[one.key] = event.target.value; pocket.save(); answer(form); };
    const entry = one.options ? make("select", { id, onchange: set }, ...one.options.map((word) => make("option", { value: word, selected: word === value }, word)))
      : make("input", { type: "text", id, value, oninput: set, placeholder: one.unit, maxlength: 40, autocomplete: "off" });
    return make("p", { class: "reading" }, make("label", { for: id }, one.words, make("span", { class: "spoken" }, `, ${form.title}`)), entry);
  }
  function everything() {
    const used = (form) => Object.values(kept(form)).some((text) => text !== "");
    fill("sums-list", ...FORMS.map((form, i) => make("details", { class: "sum", open: i === 0 || used(form) }, make("summary", {}, make("h3", {}, form.title)), form.note ? make("p", { class: "small" }, form.note) : null,
      ...form.fields.map((one) => input(form, one)), make("div", { id: `sum-${form.id}`, role: "status" }))));
    FORMS.forEach(answer);
  }
  pocket.redraws.push(everything);
})();
