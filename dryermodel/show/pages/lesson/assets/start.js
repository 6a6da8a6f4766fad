"use strict";
// Sliders, cloth, wiring and units; the cycle computed anew after each move.
(() => {
  const { data, state, make, fill, table, unitOf } = lesson;
  const POINTS = 400;
  const box = (id) => document.getElementById(id);
  let asItCame = null;

  function compute() {
    const own = { values: state.values, mix: state.mix, wiring: state.wiring };
    const began = performance.now();
    const ask = (parameters) => ({ parameters, places: data.places, points: POINTS });
    const first = asItCame ? [] : [ask(setup.parameters(setup.asItCame()))];
    box("scenario").textContent = setup.scenario(own);
    lesson.ask("lessons", [ask(setup.parameters(own)), ...first], ([cycle, came]) => {
      asItCame = came?.outcome ?? asItCame;
      player.show(cycle, setup.mixed(own.mix).pieces);
      figures(cycle.outcome);
      box("result").textContent = measures.brief(cycle);
      document.body.dataset.answerMs = String(Math.round(performance.now() - began));
      document.body.dataset.drawn = String(Number(document.body.dataset.drawn ?? 0) + 1);
    });
  }
  function figures(outcome) {
    const rows = data.figures.map((entry) => {
      const unit = unitOf(entry);
      const cells = [asItCame, outcome].map((one) => lesson.number(one[entry.column], unit));
      return [`${entry.words}${unit.label ? `, ${unit.label}` : ""}`, ...cells];
    });
    const ended = ["ended by", ...[asItCame, outcome].map((one) => data.endings[String(one.end_code)])];
    fill("figures", table("What came of it", ["", "as it came", "as set"], [ended, ...rows]));
  }
  function changed() {
    lesson.save();
    compute();
  }
  function sliders() {
    const groups = [...new Set(data.controls.map(({ group }) => group))];
    const one = (control) => sliding.control(control, {
      si: state.si,
      value: setup.value(state, control.key),
      set: (si) => {
        const before = state.values;
        state.values = setup.ordered({ ...before, [control.key]: si }, control.key);
        const pushed = Object.keys(state.values).find((key) => key !== control.key && state.values[key] !== before[key]);
        if (pushed) follow(pushed);
        changed();
      },
    });
    fill("controls", ...groups.map((group) => make("fieldset", {}, make("legend", {}, group), ...data.controls.filter((control) => control.group === group).map(one))));
  }
  // A set point that was pushed by the other shows it.
  function follow(key) {
    const entry = data.controls.find((control) => control.key === key);
    const value = lesson.digits(lesson.inUnit(state.values[key], unitOf(entry)), 4);
    const number = box(`set-${key.replace(".", "-")}`);
    number.value = value;
    number.parentElement.querySelector("input[type=range]").value = value;
  }
  function cloth() {
    const { kinds, mixes } = data.cloth;
    const same = ({ parts }) => state.mix && kinds.every(({ name }) => (parts[name] ?? 0) === (state.mix[name] ?? 0));
    const chosen = state.mix ? mixes.findIndex(same) : "came";
    const options = [["came", `as it came: ${data.machine.pieces.join(", ")}`], ...mixes.map(({ words }, i) => [String(i), words]), ["-1", "own mix"]];
    fill("mix", ...options.map(([value, words]) => make("option", { value, selected: value === String(chosen) }, words)));
    parts();
  }
  function parts() {
    const { kinds } = data.cloth;
    const mix = state.mix ?? {};
    const whole = kinds.reduce((sum, { name }) => sum + (mix[name] ?? 0), 0);
    const full = setup.used(mix).length >= data.mostCloths;
    fill("parts", ...kinds.map(({ name }) => {
      const part = mix[name] ?? 0;
      const id = `part-${name.replaceAll(" ", "-")}`;
      const said = make("output", { class: "unit", for: id }, whole ? `${lesson.digits((part / whole) * 100, 2)} %` : "");
      const slider = make("input", { type: "range", id, min: 0, max: 100, step: 5, disabled: full && !part });
      slider.value = part;
      slider.addEventListener("input", () => {
        state.mix = { ...mix, ...state.mix, [name]: Number(slider.value) };
        if (!setup.used(state.mix).length) state.mix = null;
        delete state.values["load.initial_moisture"];
        shares();
        changed();
      });
      slider.addEventListener("change", () => { cloth(); sliders(); box(id)?.focus(); });
      return make("div", { class: "part" }, make("label", { for: id }, name), slider, said);
    }));
    box("parts-note").textContent = full ? "Four kinds of cloth at most tumble together: take one out to put another in." : "";
  }
  // Shares beside the sliders while one of them moves.
  function shares() {
    const mix = state.mix ?? {};
    const whole = Object.values(mix).reduce((sum, part) => sum + part, 0);
    for (const { name } of data.cloth.kinds) {
      const said = document.querySelector(`output[for="part-${name.replaceAll(" ", "-")}"]`);
      said.textContent = whole ? `${lesson.digits(((mix[name] ?? 0) / whole) * 100, 2)} %` : "";
    }
  }
  function switches() {
    const one = ([key, { words }]) => make("p", {}, make("label", {}, make("input", {
      type: "radio", name: "wiring", value: key, checked: key === state.wiring,
      onchange: () => { state.wiring = key; changed(); },
    }), ` ${words}`));
    fill("wirings", ...data.order.map((key) => one([key, data.wirings[key]])));
  }
  function everything() {
    switches();
    cloth();
    sliders();
    compute();
  }
  box("mix").addEventListener("change", (event) => {
    const { value } = event.target;
    delete state.values["load.initial_moisture"];
    if (value === "came") state.mix = null;
    else if (value === "-1") state.mix = state.mix ?? { ...data.cloth.mixes[0].parts };
    else state.mix = { ...data.cloth.mixes[Number(value)].parts };
    cloth();
    sliders();
    changed();
  });
  box("as-it-came").addEventListener("click", () => { Object.assign(state, setup.asItCame()); lesson.save(); everything(); });
  for (const choice of document.querySelectorAll("input[name=units]")) {
    choice.checked = (choice.value === "si") === state.si;
    choice.addEventListener("change", () => { state.si = choice.value === "si" && choice.checked; lesson.save(); lesson.redraw(); });
  }
  let folded = false;
  addEventListener("beforeprint", () => { folded = !box("command").open; box("command").open = true; });
  addEventListener("afterprint", () => { box("command").open = !folded; });
  let width = innerWidth;
  addEventListener("resize", () => { if (innerWidth !== width) { width = innerWidth; player.redraw(); } });
  lesson.redraws.push(everything);
  lesson.redraw();
})();
