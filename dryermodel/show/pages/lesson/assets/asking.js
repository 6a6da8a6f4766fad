"use strict";
// The questions: an answer is chosen, the cycles are run, and what came out is told with its numbers.
const asking = (() => {
  const { data, state, make, fill } = lesson;
  const box = (id) => document.getElementById(id);
  const done = new Map();

  // What a run of a question sets: on the machine as it came, or on what the sliders say.
  function settings(run) {
    const base = state.own ? { values: state.values, mix: state.mix, wiring: state.wiring } : setup.asItCame();
    const values = { ...base.values, ...run.values };
    return { values, mix: run.mix ?? base.mix, wiring: run.wiring ?? base.wiring };
  }
  const question = (own) => ({ parameters: setup.parameters(own), places: data.places, points: 2 });

  function check(entry) {
    const chosen = document.querySelector(`input[name="${entry.id}"]:checked`);
    const target = box(`answer-${entry.id}`);
    if (!chosen) return target.replaceChildren(make("p", {}, "Choose an answer first."));
    target.replaceChildren(make("p", {}, "Running the machine ..."));
    const own = entry.runs.map(settings);
    lesson.ask("lessons", own.map(question), (cycles) => {
      const { outcome, text } = measures.judged(entry, cycles);
      const right = outcome === chosen.value;
      const said = entry.choices.find(([key]) => key === outcome)?.[1];
      done.set(entry.id, right);
      const [which, what] = entry.look;
      const look = () => show(own[which], measures.moment(cycles[which], what));
      target.replaceChildren(
        make("p", { class: "verdict" }, right ? "Right." : said ? `Not so. The machine says: ${said}.` : "Not so."),
        make("p", {}, text),
        entry.caution ? make("p", { class: "caution" }, entry.caution) : "",
        make("p", {}, make("button", { type: "button", onclick: look }, "Show it above")));
      target.dataset.outcome = outcome;
      progress();
    }, `question ${entry.id}`);
    return undefined;
  }
  function show(own, at) {
    Object.assign(state, { values: { ...own.values }, mix: own.mix, wiring: own.wiring, at });
    lesson.save();
    player.pause();
    lesson.redraw();
    box("cycle-title").focus();
    box("cycle-title").scrollIntoView();
  }
  function progress() {
    const right = [...done.values()].filter((one) => one).length;
    box("progress").textContent = done.size ? `${done.size} of ${data.questions.length} answered, ${right} of them right.` : "";
  }
  function one(entry, i) {
    const choice = ([key, words]) => make("p", {}, make("label", {}, make("input", { type: "radio", name: entry.id, value: key }), ` ${words}`));
    return make("fieldset", { class: "question", id: `question-${entry.id}` },
      make("legend", {}, `${i + 1}. ${entry.ask}`),
      ...entry.choices.map(choice),
      make("button", { type: "button", onclick: () => check(entry) }, "Run it and see", make("span", { class: "spoken" }, `, question ${i + 1}`)),
      make("div", { id: `answer-${entry.id}`, class: "answer", role: "status" }));
  }
  fill("questions-list", ...data.questions.map(one));
  box("own").checked = state.own;
  box("own").addEventListener("change", (event) => { state.own = event.target.checked; lesson.save(); });
  return { settings };
})();
