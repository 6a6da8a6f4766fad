"use strict";
// Part five: safety first, then readings and answers in, suspects out, and what to look at next.
(() => {
  const { data, state, make, fill } = pocket;
  const asked = data.questions;
  const USUAL = ["cycle time", "exhaust temperature", "cut-out temperature", "vent static", "exhaust flow", "gas input", "burner cycles", "high-limit trips", "start weight", "dry weight", "room temperature", "room humidity"];
  const name = (keys) => (keys.length ? keys.map((key) => machines.faults[key].title).join(", with ") : "nothing of the catalogue: healthy");
  function howBad(found, h, key, place) {
    const fault = machines.faults[key];
    const [low, , high] = suspects.severity(found, h, place).map((s) => machines.said(fault, s, 2));
    return `${fault.quantity}: ${low} to ${high}`;
  }
  function forms() {
    fill("danger-questions", ...asked.dangers.map((danger) => visits.answerField("danger", "safety", danger.name, danger.question)));
    const rest = asked.measurements.filter((m) => !USUAL.includes(m.name)).map((m) => m.name);
    const field = (one) => visits.readingField("read", "measurement", one);
    fill("readings-usual", ...USUAL.map(field));
    fill("readings-rest", ...rest.map(field), visits.advanceField("read"));
    fill("looks", ...Object.entries(asked.when).map(([when, words]) => make("details", {}, make("summary", {}, words[0].toUpperCase() + words.slice(1)),
      ...asked.observations.filter((o) => o.when === when).map((o) => make("div", {}, o.caution ? make("p", { class: "small" }, `Caution: ${o.caution}`) : null, visits.answerField("look", "seen", o.name, o.question))))));
    document.getElementById("says-complaint").value = state.visit.complaint ?? "";
  }
  // Where the visit is of another machine than the simulated ones: what differs, value by value.
  function otherMachine() {
    const { scenario, title, differs } = suspects.bank;
    const own = visits.machineOf(state.visit.scenario ?? state.machine);
    const settings = state.visit.set ?? [];
    if (own === scenario && !settings.length) return null;
    const listed = differs[own] ?? (own === scenario ? [] : [`its machine '${state.visit.scenario ?? own}' is not known to this page`]);
    const lines = [...listed, ...settings.map((text) => `set by the visit: ${text}`)];
    const more = lines.length > 8 ? [`and ${lines.length - 8} more`] : [];
    return make("div", { class: "caution" }, make("p", {}, `This visit is of another machine or load${machines.byName[own] ? ` ("${machines.byName[own].title}")` : ""}; the suspects below are those of "${title}". What differs:`),
      make("ul", {}, ...[...lines.slice(0, 8), ...more].map((text) => make("li", {}, text))),
      make("p", {}, "For this machine use the command line, or a page made with --scenario."));
  }
  function testLine({ test, minutes }) {
    const where = test.when ? asked.when[test.when] : `measure, ${Object.keys(test.states)[0]}`;
    const words = [where, `about ${minutes} min`, ...(test.tools.length ? [test.tools.join(", ")] : [])].join("; ");
    return make("li", {}, `${test.question} (${words})${test.caution ? ` Caution: ${test.caution}` : ""}`);
  }
  function answer() {
    const safety = state.visit.safety ?? {};
    const dangers = asked.dangers.filter((danger) => safety[danger.name] === true);
    const seen = Object.entries(suspects.bank.seenDangers).filter(([look]) => state.visit.seen?.[look] === true).map(([, text]) => text);
    fill("dangers-told", ...[...dangers.map((danger) => danger.advice), ...seen].map((text) => make("p", { class: "danger" }, text)));
    if (dangers.some((danger) => danger.leave)) short("See to the danger first.");
    if (dangers.some((danger) => danger.leave)) return fill("suspects-told", make("p", {}, "See to this first; no reading is worth staying for."));
    const other = otherMachine();
    const evidence = suspects.evidenceOf(state.visit, reading);
    const wrong = [...conflicts.found(evidence.taken, evidence.seen), ...conflicts.found(evidence.after, []).map((text) => `after the work, ${text}`)];
    if (wrong.length) {
      short("What was entered cannot all be so: see below.");
      return fill("suspects-told", other, make("p", { class: "caution" }, "These cannot all be so; look at them again, and suspects come:"),
        make("ul", {}, ...wrong.map((text) => make("li", {}, `${text}.`))));
    }
    const found = suspects.weigh(evidence);
    document.body.dataset.effective = String(Math.round(found.effective));
    const ranked = suspects.ranking(evidence, found).filter((set) => set.probability >= suspects.bank.constants.shown).slice(0, 8);
    const percent = (share) => `${Math.round(share * 100)} %`;
    // Of ten machines that read like this one, so many.
    const bar = (share) => make("span", {}, `${percent(share)} `, make("span", { class: "tenths", "aria-hidden": "true" }, "\u25cf".repeat(Math.round(share * 10)) + "\u25cb".repeat(10 - Math.round(share * 10))));
    const least = suspects.bank.constants.shown;
    const p = found.probabilities;
    // Of faults that look alike only those are named that are themselves worth it.
    const worth = (members) => members.filter((h, i) => i === 0 || p[h] >= least);
    const rows = ranked.map(({ members, probability }) => {
      const named = worth(members);
      const bad = named.slice(0, 3).flatMap((h) => suspects.hypotheses[h].keys.map((key, place) => [h, key, place])).filter(([, key]) => machines.faults[key].graded);
      return [make("span", {}, named.map((h) => name(suspects.hypotheses[h].keys)).join("; or "), ...bad.map(([h, key, place]) => make("small", { class: "bad" }, howBad(found, h, key, place)))), bar(probability)];
    });
    rows.push(["something outside the catalogue", bar(found.outside)]);
    const known = evidence.measured.length || evidence.answers.length;
    const [first] = ranked;
    short(known && first ? `Likeliest by now: ${worth(first.members).slice(0, 2).map((h) => name(suspects.hypotheses[h].keys)).join(", or ")}; ${percent(first.probability)}.` : "Nothing entered yet.");
    const weak = found.effective < suspects.bank.constants.trusted ? make("p", { class: "caution" }, `Only about ${Math.round(found.effective)} of the simulated machines fit what was entered: take the percentages as an order, and use the command for more.`) : null;
    const next = make("ol", { id: "next-tests" }, make("li", {}, "working it out ..."));
    nextTests.later(found, evidence, (tests) => next.replaceChildren(...(tests.length ? tests.slice(0, 6).map(testLine) : [make("li", {}, "nothing that would tell more")])));
    const involved = {};
    p.forEach((share, h) => { for (const key of suspects.hypotheses[h].keys) involved[key] = (involved[key] ?? 0) + share; });
    const likely = Object.entries(involved).filter(([, share]) => share >= 0.1).map(([key]) => machines.faults[key]).filter((fault) => fault.danger);
    fill("suspects-told", other, ...likely.map((fault) => make("p", { class: "danger" }, `If it is "${fault.title}": ${fault.danger}.`)),
      pocket.table("Likely, by what was entered", ["what, and how bad if it is that (80 %)", "how likely"], rows), weak,
      evidence.left.length ? make("p", { class: "small" }, `Not weighed: ${evidence.left.join("; ")}.`) : null,
      make("h3", {}, "What to do next, most told for a minute of work"),
      next);
    return undefined;
  }
  function short(text) {
    document.getElementById("suspects-short").textContent = text;
  }
  document.getElementById("to-suspects").addEventListener("click", () => {
    const title = document.getElementById("suspects-title");
    title.scrollIntoView();
    title.focus();
  });
  function everything() {
    forms();
    answer();
  }
  document.getElementById("says-complaint").addEventListener("change", (event) => { state.visit.complaint = event.target.value.replace(/\s+/g, " "); visits.changed(); });
  document.getElementById("suspects-machine").textContent = suspects.bank.title;
  document.getElementById("suspects-count").textContent = String(suspects.bank.machines);
  addEventListener("visit", answer);
  addEventListener("hashchange", everything);
  pocket.redraws.push(everything);
})();
