"use strict";
// Parts one and two: what a healthy machine does with this load, and how a fault shows beside it.
(() => {
  const { data, state, make, fill, table, unitOf } = pocket;
  const POINTS = 150;
  const box = (id) => document.getElementById(id);
  const machine = () => machines.byName[state.machine] ?? data.machines[0];

  function sliders() {
    fill("controls", ...data.controls.map((control) => sliding.control(control, {
      si: state.si,
      value: state.values[control.key] ?? machine().values[control.key],
      set: (si) => { state.values[control.key] = si; pocket.save(); compute(); },
    })));
  }
  function chooseMachine() {
    fill("machine-choice", ...data.machines.map((one) => make("option", { value: one.name, selected: one.name === machine().name }, one.title)));
  }
  function chooseFault() {
    const able = data.faults.filter((fault) => machines.meets(fault, machine()));
    const places = [...new Set(able.map((fault) => fault.place))];
    const option = (fault) => make("option", { value: fault.key, selected: fault.key === state.fault }, fault.title);
    fill("fault-choice", make("option", { value: "" }, "choose a fault"),
      ...places.map((place) => make("optgroup", { label: place }, ...able.filter((fault) => fault.place === place).map(option))));
    if (!able.some((fault) => fault.key === state.fault)) state.fault = "";
  }
  function severity() {
    const fault = machines.faults[state.fault];
    box("severity-part").hidden = !fault || !fault.graded;
    if (!fault) return;
    box("severity").value = Math.round(state.severity * 100);
    const said = machines.said(fault, fault.graded ? state.severity : 1);
    box("severity-said").textContent = said;
    box("severity").setAttribute("aria-valuetext", `${said}, ${fault.quantity}`);
    box("severity-words").textContent = fault.quantity;
  }
  function about() {
    const fault = machines.faults[state.fault];
    fill("fault-caution", ...(!fault ? [] : [
      fault.danger ? make("p", { class: "danger" }, `Danger: ${fault.danger}.`) : null,
      make("p", { class: "caution" }, `Caution: ${fault.caution}`)].filter((line) => line)));
    if (!fault) return fill("fault-about");
    const line = (term, text) => [make("dt", {}, term), make("dd", {}, text)];
    return fill("fault-about",
      make("dl", {}, ...line("What it does", fault.effect), ...line("What the customer says", fault.customer_says),
        ...line("What to measure", fault.measure.join("; ")), ...line("What confirms it", fault.confirms),
        ...line("Remedy", fault.remedy), ...line("Whose work", fault.licensed ? "Gas train: a licensed person where local rules say so." : "No gas-train work."),
        ...line("In a command", `--fault "${fault.key}=${machines.said(fault, fault.graded ? state.severity : 1)}"`)));
  }
  const value = (entry, outcome) => {
    if (entry.name !== "energy_per_water") return outcome[entry.column];
    const water = outcome.water_removed_kg;
    return water > data.leastWater ? (outcome.gas_energy_J + outcome.electric_energy_J) / water : NaN;
  };
  function figures(cycles, caption) {
    const rows = data.figures.map((entry) => {
      const shown = unitOf(entry);
      return [`${entry.words}${shown.label ? `, ${shown.label}` : ""}`, ...cycles.map(({ cycle }) => pocket.number(value(entry, cycle.outcome), shown))];
    });
    const ended = ["ended by", ...cycles.map(({ cycle }) => data.endings[String(cycle.outcome.end_code)])];
    return table(caption, ["", ...cycles.map(({ name }) => name)], [ended, ...rows]);
  }
  // The cycle in a line that stays in sight while sliders move.
  function short(outcome, usual) {
    const minutes = (s) => pocket.fixed(s / 60, 1);
    const told = [[minutes(outcome.cycle_time_s), "min"], [minutes(outcome.burner_time_s), machine().parameters.heat_source === data.electric ? "min of heat" : "min of flame"],
      [pocket.fixed(outcome.burner_cycles, 0), "burns"], [pocket.fixed(outcome.high_limit_trips, 0), "high-limit trips"], [pocket.fixed(outcome.final_moisture * 100, 1), "% water left"]];
    const other = usual && [minutes(usual.cycle_time_s), minutes(usual.burner_time_s), pocket.fixed(usual.burner_cycles, 0), pocket.fixed(usual.high_limit_trips, 0), pocket.fixed(usual.final_moisture * 100, 1)];
    return told.map(([value, words], i) => `${value} ${words}${other && other[i] !== value ? ` (healthy ${other[i]})` : ""}`).join("; ");
  }
  function show(cycles, computed) {
    const electric = machine().parameters.heat_source === data.electric;
    const sound = { name: "healthy", kind: "sound", cycle: cycles[0] };
    drawing.draw(box("healthy-picture"), [{ ...sound, kind: "faulty" }], machine().pieces, electric);
    fill("healthy-figures", figures([sound], "A healthy machine with this load"));
    box("healthy-short").textContent = short(cycles[0].outcome);
    box("fault-short").hidden = !(machines.faults[state.fault] && cycles[1]);
    const fault = machines.faults[state.fault];
    if (fault && cycles[1]) {
      const both = [sound, { name: "with it", kind: "faulty", cycle: cycles[1] }];
      box("fault-short").textContent = short(cycles[1].outcome, cycles[0].outcome);
      drawing.draw(box("fault-picture"), both, machine().pieces, electric);
      fill("fault-figures", figures(both, `${fault.title}: ${machines.said(fault, fault.graded ? state.severity : 1)}`));
    } else {
      fill("fault-picture");
      fill("fault-figures");
    }
    document.body.dataset.answerMs = String(Math.round(performance.now() - computed));
    document.body.dataset.drawn = String(Number(document.body.dataset.drawn ?? 0) + 1);
  }
  function compute() {
    const began = performance.now();
    const p = machines.settled(machine(), state.values);
    const fault = machines.faults[state.fault];
    const question = [p, ...(fault ? [machines.broken(p, fault.key, fault.graded ? state.severity : 1)] : [])];
    severity();
    pocket.ask("cycles", question.map((parameters) => ({ parameters, places: data.places, points: POINTS })), (cycles) => show(cycles, began));
  }
  function everything() {
    chooseMachine();
    chooseFault();
    sliders();
    about();
    compute();
  }
  box("machine-choice").addEventListener("change", (event) => {
    Object.assign(state, { machine: event.target.value, values: {} });
    pocket.save();
    everything();
  });
  box("as-it-came").addEventListener("click", () => { state.values = {}; pocket.save(); everything(); });
  box("fault-choice").addEventListener("change", (event) => { state.fault = event.target.value; pocket.save(); about(); compute(); });
  box("severity").addEventListener("input", (event) => { state.severity = Number(event.target.value) / 100; pocket.save(); compute(); });
  box("severity").addEventListener("change", about);
  box("says").addEventListener("input", (event) => {
    const found = finding.search(event.target.value).map((key) => machines.faults[key]).filter((fault) => machines.meets(fault, machine())).slice(0, 8);
    const pick = (fault) => make("button", { type: "button", onclick: () => { state.fault = fault.key; pocket.save(); everything(); box("fault-choice").focus(); } }, fault.title);
    const words = event.target.value.trim() ? (found.length ? "By words alone, likest first; how often each is met is not in it:" : "Nothing in the catalogue says that.") : "";
    fill("says-found", make("p", {}, words), make("ul", { class: "picks" }, ...found.map((fault) => make("li", {}, pick(fault)))));
  });
  let width = innerWidth;
  addEventListener("resize", () => { if (innerWidth !== width) { width = innerWidth; compute(); } });
  addEventListener("hashchange", () => compute());
  pocket.redraws.push(everything);
})();
