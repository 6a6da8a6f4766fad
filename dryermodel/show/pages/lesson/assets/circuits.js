"use strict";
// Work of the lesson, beside that of every page: a cycle with the state of its circuit from switching to switching.
(() => {
  const { work, sampled, evenly } = dryerWork;
  // Contacts, loads, voltages and currents of a discrete state, by the engine's own rules.
  function circuit(state, p) {
    const contacts = dryerLibrary.contacts(state, p);
    const k = dryerLibrary.circuit(p);
    return {
      contacts: { ...contacts },
      loads: { ...dryerLibrary.energise(contacts, k) },
      volts: { ...dryerLibrary.voltages(contacts, k) },
      amps: { ...dryerLibrary.currents(contacts, k) },
    };
  }
  // From one change of the discrete state to the next; `cause` set the first of them off.
  function stretches(recording, p, { marks }, end) {
    const kept = (row) => Array.from(row).map((x, i) => (marks.includes(i) ? 0 : x));
    const found = [];
    recording.time.forEach((t, i) => {
      const state = kept(recording.discrete[i]);
      const last = found[found.length - 1];
      if (last && last.state.every((x, k) => x === state[k])) return;
      const instant = last && last.from === t;
      if (instant) found.pop();
      found.push({ from: t, state, cause: instant ? last.cause : recording.cause[i] });
    });
    return found.map((one, i) => ({ ...one, to: found[i + 1]?.from ?? end, ...circuit(one.state, p) }));
  }
  function lesson({ parameters, places, points }) {
    const { outcome, recording } = dryerEngine.recordCycle(parameters);
    const end = outcome.cycle_time_s;
    const found = stretches(recording, parameters, places, end);
    const at = (times) => sampled(parameters, recording, places, times);
    return { outcome, end, parameters, stretches: found, series: at(evenly(end, points)), starts: at(found.map(({ from }) => from)) };
  }
  work.lessons = (questions) => questions.map(lesson);
})();
