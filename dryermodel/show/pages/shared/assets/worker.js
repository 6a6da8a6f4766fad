"use strict";
// Work of the page, in a worker where the browser allows one.
globalThis.dryerWork = (() => {
  // State between two rows of a recording: the cubic through both, as the engine means it.
  function within(one, other, t) {
    const h = other.time - one.time;
    if (h <= 0) return one.state;
    const theta = Math.min(Math.max((t - one.time) / h, 0), 1);
    const u = 1 - theta;
    return one.state.map((a, i) => u * u * ((1 + 2 * theta) * a + theta * h * one.rate[i]) +
      theta * theta * ((3 - 2 * theta) * other.state[i] - u * h * other.rate[i]));
  }
  // What is drawn of a recording at ascending times.
  function sampled(p, recording, places, times) {
    const { time, state, rate } = recording;
    const pieces = dryerLibrary.pieces_of(p);
    const row = (i) => ({ time: time[i], state: Array.from(state[i]), rate: rate[i] });
    const kinds = p.piece_share.map((share, i) => [share, i]).filter(([share]) => share > 0);
    const found = { time: times, exhaust: [], load: [], dial: [], moisture: kinds.map(() => []) };
    let i = 0;
    for (const t of times) {
      while (i + 2 < time.length && time[i + 1] <= t) i += 1;
      const y = within(row(i), row(Math.min(i + 1, time.length - 1)), t);
      found.exhaust.push(y[places.exhaust]);
      found.load.push(dryerLibrary.hottest(y, pieces));
      found.dial.push(y[places.dial]);
      kinds.forEach(([, kind], n) => found.moisture[n].push(y[places.moisture + places.perPiece * kind]));
    }
    return found;
  }
  const evenly = (end, points) => Array.from({ length: points + 1 }, (_, k) => (end * k) / points);
  function intervals(recording, column, end) {
    const found = [];
    let began = null;
    recording.time.forEach((t, i) => {
      const on = recording.discrete[i][column] !== 0;
      if (on && began === null) began = t;
      if (!on && began !== null) {
        if (t > began) found.push([began, t]);
        began = null;
      }
    });
    if (began !== null && end > began) found.push([began, end]);
    return found;
  }
  function cycle({ parameters, places, points }) {
    const { outcome, recording } = dryerEngine.recordCycle(parameters);
    const end = outcome.cycle_time_s;
    const on = Object.fromEntries(Object.entries(places.switches).map(([name, column]) => [name, intervals(recording, column, end)]));
    return { outcome, end, series: sampled(parameters, recording, places, evenly(end, points)), on };
  }
  const work = { cycles: (questions) => questions.map(cycle) };
  return Object.assign((kind, question) => work[kind](question), { work, sampled, evenly });
})();
if (typeof document === "undefined") {
  onmessage = (event) => postMessage({ id: event.data.id, answer: dryerWork(event.data.kind, event.data.question) });
}
