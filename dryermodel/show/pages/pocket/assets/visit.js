"use strict";
// The visit: readings, answers and work, the same in every part that asks for them; saved, loaded, kept.
const visits = (() => {
  const { data, state, make, fill, unitOf } = pocket;
  const box = (id) => document.getElementById(id);
  const asked = data.questions;
  const { plain, byName, measured, observed, quantity } = reading;
  const visit = () => state.visit;

  function changed() {
    pocket.save();
    dispatchEvent(new Event("visit"));
  }
  // Readings. One that has a state, a note or a dial of its own is kept as it is and shown below the others.
  const simple = (entry) => entry.dial === undefined && !entry.state && entry.from === undefined;
  const CONDITIONS = { "room temperature": "room_temperature", "room humidity": "room_humidity" };
  const entryOf = (section, name) => (section === "measurement" && conditionOf(name) ? { value: conditionOf(name) } : listed(section, name));
  const conditionOf = (name) => visit().conditions?.[CONDITIONS[name]];
  const listed = (section, name) => (visit()[section] ?? []).find((entry) => simple(entry) && measured.get(plain(entry.name ?? ""))?.name === name);
  function setReading(section, name, text) {
    if (section === "measurement" && CONDITIONS[name] && !listed(section, name)) {
      const conditions = (visit().conditions ??= {});
      if (text.trim()) conditions[CONDITIONS[name]] = text.trim();
      else delete conditions[CONDITIONS[name]];
      changed();
      return;
    }
    const list = (visit()[section] ??= []);
    const entry = listed(section, name);
    if (!text.trim()) visit()[section] = list.filter((one) => one !== entry);
    else if (entry) entry.value = text.trim();
    else list.push({ name, value: text.trim() });
    changed();
  }
  const meant = (m, text) => m.words[text.trim().toLowerCase()] ?? text;
  const idOf = (...parts) => parts.join("-").replace(/[^A-Za-z0-9-]+/g, "-");
  function readingField(place, section, name) {
    const m = measured.get(plain(name));
    const id = idOf(place, section, name);
    const unit = unitOf(m);
    const problem = make("span", { class: "problem", role: "status", id: `${id}-problem` });
    const field = make("input", { type: "text", id, value: String(entryOf(section, name)?.value ?? ""), inputmode: "text", autocomplete: "off", maxlength: 60, placeholder: unit.label, "aria-describedby": `${id}-problem` });
    const check = () => {
      const found = field.value.trim() ? quantity(meant(m, field.value), m.kind, unit.label, m.within) : {};
      problem.textContent = found.problem ?? "";
    };
    const words = section === "after" ? `${name}, after` : name;
    const row = make("p", { class: "reading" }, make("label", { for: id }, words), field, problem);
    field.addEventListener("change", () => { field.value = reading.withUnit(field.value, m.kind, unit.label); check(); blank(row, field); setReading(section, name, field.value); });
    check();
    return blank(row, field);
  }
  // The timer's advance, between two minutes of the clock.
  function advanceField(place) {
    const { advance: m, marks } = asked;
    const own = () => (visit().measurement ?? []).find((one) => m.spelled.includes(plain(one.name ?? "")) && one.from !== undefined);
    const id = idOf(place, m.name);
    const unit = unitOf(m);
    const problem = make("span", { class: "problem", role: "status", id: `${id}-problem` });
    const minute = (end, usual) => make("select", { id: `${id}-${end}`, "aria-label": `${m.name}, ${end} minute` },
      ...[0, ...marks].map((at) => make("option", { value: `${at} min`, selected: `${at} min` === (own()?.[end] ?? usual) }, `${end} ${at} min`)));
    const [from, to] = [minute("from", "20 min"), minute("to", "40 min")];
    const field = make("input", { type: "text", id, value: String(own()?.value ?? ""), autocomplete: "off", maxlength: 60, placeholder: unit.label, "aria-describedby": `${id}-problem` });
    const row = make("p", { class: "reading" }, make("label", { for: id }, m.name), field, from, to, problem);
    const set = () => {
      field.value = reading.withUnit(field.value, m.kind, unit.label);
      const entry = { name: m.name, from: from.value, to: to.value, value: field.value.trim() };
      const found = field.value.trim() ? quantity(field.value, m.kind, unit.label, m.within) : {};
      problem.textContent = found.problem ?? (field.value.trim() ? reading.advance(entry).problem ?? "" : "");
      const kept = (visit().measurement ?? []).filter((one) => one !== own());
      visit().measurement = entry.value ? [...kept, entry] : kept;
      blank(row, field);
      changed();
    };
    for (const one of [field, from, to]) one.addEventListener("change", () => { if (field.value.trim() || own()) set(); });
    return blank(row, field);
  }
  function answerField(place, section, name, question) {
    const id = idOf(place, section, name);
    const now = visit()[section]?.[name];
    const options = [["", "not looked at"], ["yes", "yes"], ["no", "no"]];
    const field = make("select", { id }, ...options.map(([value, words]) => make("option", { value, selected: value === (now === undefined ? "" : now ? "yes" : "no") }, words)));
    const row = make("p", { class: "reading" }, make("label", { for: id }, question), field);
    field.addEventListener("change", () => {
      blank(row, field);
      const answers = (visit()[section] ??= {});
      if (field.value) answers[name] = field.value === "yes";
      else delete answers[name];
      changed();
    });
    return blank(row, field);
  }
  // On paper a record leaves out what was not answered.
  function blank(row, field) {
    row.classList.toggle("blank", !field.value.trim());
    return row;
  }
  // Names of a loaded file as the tables spell them, so that fields find them.
  function canonical(read) {
    const words = (list, names) => Object.fromEntries(Object.entries(list ?? {}).map(([name, yes]) => [names.get(plain(name))?.name ?? name, yes === "yes" ? true : yes === "no" ? false : yes]));
    return { ...read, seen: words(read.seen, observed), safety: words(read.safety, byName(asked.dangers.map((one) => ({ ...one, spelled: [plain(one.name)] })))) };
  }
  // A machine by its name or by the name of its file.
  const machineOf = (name) => (machines.byName[name] ? name : String(name).replace(/^.*[\\/]/, "").replace(/\.toml$/, ""));
  function load(source) {
    const read = canonical(toml.read(source));
    const named = machineOf(read.scenario ?? data.usual);
    if (machines.byName[named]) { state.machine = named; state.values = {}; }
    state.visit = read;
    pocket.saveNow();
    pocket.redraw();
    changed();
  }
  const written = () => toml.write({ ...visit(), scenario: visit().scenario ?? state.machine });

  // Tune-up ----------------------------------------------------------------------------------------
  const done = (step) => (visit().work ?? []).some((job) => job.did === step.do);
  function tick(step, on) {
    const work = (visit().work ?? []).filter((job) => job.did !== step.do);
    const today = visit().date ? { date: visit().date } : {};
    visit().work = on ? [...work, { ...today, did: step.do }] : work;
    changed();
  }
  function stepOf(step) {
    const id = idOf("step", step.name);
    const check = make("input", { type: "checkbox", id, onchange: (event) => tick(step, event.target.checked) });
    check.checked = done(step);
    return make("li", {}, make("p", {}, check, " ", make("label", { for: id }, step.do)),
      make("p", { class: "small" }, `Why: ${step.why}`),
      step.caution ? make("p", { class: "caution" }, `Caution: ${step.caution}`) : null,
      step.licensed ? make("p", { class: "caution" }, asked.licensedWords) : null,
      ...step.before.map((name) => readingField(id, "measurement", name)), ...step.after.map((name) => readingField(id, "after", name)),
      ...step.look.map((name) => answerField(id, "seen", name, observed.get(plain(name)).question)));
  }
  function tuneUp() {
    box("tuneup-standing").textContent = asked.standing;
    const stages = Object.entries(asked.stages).map(([stage, heading]) => make("section", { "aria-label": heading }, make("h3", {}, heading),
      make("ol", { class: "steps" }, ...asked.tuneUp.filter((step) => step.stage === stage).map(stepOf))));
    fill("tuneup-list", ...stages);
    const set = (key) => (event) => { visit()[key] = event.target.value.replace(/\s+/g, " "); changed(); };
    const field = (key, words, entry) => make("p", { class: "reading long" }, make("label", { for: `visit-${key}` }, words), entry);
    const date = make("input", { type: "date", id: "visit-date", value: visit().date ?? "", onchange: set("date") });
    const complaint = make("textarea", { class: "words", id: "visit-complaint", rows: 2, maxlength: 400, onchange: set("complaint") }, visit().complaint ?? "");
    fill("visit-head", field("date", "Date", date), field("complaint", "What the customer says", complaint));
    showText();
  }
  function showText() {
    box("visit-text").value = written();
  }
  box("visit-save").addEventListener("click", () => {
    const link = make("a", { href: URL.createObjectURL(new Blob([written()], { type: "application/toml" })), download: `visit-${visit().date || "undated"}.toml` });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  });
  const told = (text) => { box("visit-told").textContent = text; };
  box("visit-load").addEventListener("change", (event) => {
    const [file] = event.target.files;
    if (!file) return;
    if (file.size > 200000) { told("That file is too large for a visit."); return; }
    file.text().then((source) => { load(source); told(`Loaded ${file.name}.`); }).catch((error) => told(`Not loaded, ${error.message}.`));
    event.target.value = "";
  });
  box("visit-clear").addEventListener("click", () => {
    if (!confirm("Begin a new visit? What was entered is gone unless it was saved.")) return;
    state.visit = {};
    pocket.saveNow();
    pocket.redraw();
    changed();
    told("A new visit.");
  });
  addEventListener("visit", showText);
  addEventListener("hashchange", tuneUp);
  pocket.redraws.push(tuneUp);
  return { quantity, readingField, advanceField, answerField, load, machineOf, written, measured, observed, plain, simple, changed };
})();
