"use strict";
// Play, pause and the cursor: one time for the chart, the circuit, the slider and the words.
const player = (() => {
  const { data, state, say, stretchAt, quietly, make, fill } = lesson;
  const box = (id) => document.getElementById(id);
  const STILL = 2500; // between two switchings, for who wants no motion [ms]
  const NEAR = 10; // one press of an arrow key [s]
  const AFTER = 0.5; // a switching is looked at just after it [s]
  const WHOLE = 45; // a cycle's stretches by their length would take [s]
  const FIRST = [4.5, 6]; // least and most for what is new [s]
  const AGAIN = [0.4, 2]; // and for what was seen before [s]
  const REPEATS = 22; // all that was seen before takes at most [s]
  const PAUSE = 4000; // between two things that are spoken while it plays [ms]
  const SETTLED = 300; // after which a cursor that is moved has come to rest [ms]
  let cycle = null;
  let pieces = [];
  let shown = null;
  let playing = false;
  let last = null;
  let lasts = [];
  let hop = 0;
  let speaking = 0;
  let spokenAt = 0;

  function show(found, names) {
    cycle = found;
    pieces = names;
    shown = null;
    lasts = schedule();
    chart.draw(box("chart"), cycle, pieces);
    const slider = box("time");
    slider.max = cycle.end;
    seek(Math.min(state.at, cycle.end));
  }
  function seek(t, tell = !playing) {
    if (!cycle) return;
    state.at = Math.min(Math.max(t, 0), cycle.end);
    const stretch = stretchAt(cycle, state.at);
    chart.cursor(state.at);
    const slider = box("time");
    slider.value = state.at;
    slider.setAttribute("aria-valuetext", `${say.time(state.at)}, ${telling.short(stretch)}`);
    now(stretch);
    if (stretch !== shown) {
      shown = stretch;
      wiring.draw(box("circuit"), cycle, stretch);
      words(stretch);
    }
    if (tell) lesson.save();
  }
  function words(stretch) {
    const lines = telling.sentences(cycle, stretch);
    const since = telling.since(cycle, stretch);
    fill("told", make("p", { class: "since" }, since), ...lines.map((line) => make("p", {}, line)));
    speak([`${since}.`, ...lines].join(" "));
  }
  // The same for who listens: the latest, and not more often than can be followed.
  function speak(text) {
    clearTimeout(speaking);
    const wait = Math.max(playing ? spokenAt + PAUSE - performance.now() : 0, SETTLED);
    speaking = setTimeout(() => { spokenAt = performance.now(); box("spoken").textContent = text; }, wait);
  }
  function now(stretch) {
    const at = telling.values(cycle, state.at);
    const { dial_heat: heat, dial_cool_down: cool } = cycle.parameters;
    const left = at.moisture.map((x, i) => `${at.moisture.length > 1 ? `${pieces[i]} ` : ""}${say.moisture(x)}`).join(", ");
    box("clock").textContent = say.time(state.at);
    box("state").textContent = telling.short(stretch);
    box("now-water").textContent = left;
    box("now-heat").textContent = `exhaust ${say.temperature(at.exhaust)}, load ${say.temperature(at.load)}`;
    box("now-dial").textContent = `${lesson.fixed(at.dial / 60, 1)} of ${lesson.digits((heat + cool) / 60, 3)} min`;
  }
  function button() {
    box("play").textContent = playing ? "Pause" : "Play";
    document.body.dataset.playing = playing ? "yes" : "";
  }
  function play() {
    if (!cycle) return;
    if (state.at >= cycle.end - 0.5) seek(0);
    playing = true;
    last = null;
    lasts = schedule();
    button();
    if (quietly.matches) hop = setTimeout(skip, STILL);
    else requestAnimationFrame(turn);
  }
  function pause() {
    playing = false;
    clearTimeout(hop);
    button();
    lesson.save();
  }
  function turn(when) {
    if (!playing) return;
    if (last !== null) seek(onward((when - last) / 1000), false);
    last = when;
    if (state.at >= cycle.end) pause();
    else requestAnimationFrame(turn);
  }
  // How long each stretch is shown [s]: what is met for the first time until it can be read, the long ones no
  // longer than that takes, and what comes again quickly.
  function schedule() {
    const known = new Set();
    const found = cycle.stretches.map((stretch) => {
      const part = (WHOLE * (stretch.to - stretch.from)) / cycle.end;
      const words = telling.sentences(cycle, stretch).join();
      const again = known.has(words);
      known.add(words);
      const [least, most] = again ? AGAIN : FIRST;
      return { again, lasts: Math.min(Math.max(part, least), most) };
    });
    const repeats = found.reduce((sum, one) => sum + (one.again ? one.lasts : 0), 0);
    const hurry = Math.min(1, REPEATS / repeats);
    return found.map(({ again, lasts: own }) => own * (again ? hurry : 1) * state.tempo);
  }
  // Where the cursor is so many seconds later; at most at the next switching, so that none is passed over.
  function onward(seconds) {
    const i = cycle.stretches.indexOf(stretchAt(cycle, state.at));
    const { from, to } = cycle.stretches[i];
    return Math.min(state.at + (seconds / lasts[i]) * (to - from), to);
  }
  function skip() {
    if (!playing) return;
    if (!step(1)) return pause();
    hop = setTimeout(skip, STILL);
  }
  // To the next switching, or the one before; false at the end.
  function step(way) {
    if (!cycle) return false;
    const starts = cycle.stretches.map(({ from }) => (from > 0 ? Math.min(from + AFTER, cycle.end) : 0));
    const found = way > 0 ? starts.find((t) => t > state.at + 1e-6) : starts.findLast((t) => t < state.at - 1e-6);
    if (found === undefined) return false;
    seek(found);
    return true;
  }
  function keys(event) {
    const moves = { ArrowRight: NEAR, ArrowUp: NEAR, ArrowLeft: -NEAR, ArrowDown: -NEAR };
    if (event.key in moves) seek(state.at + (event.shiftKey ? moves[event.key] / NEAR : moves[event.key]), true);
    else if (event.key === "PageUp") step(1);
    else if (event.key === "PageDown") step(-1);
    else return;
    event.preventDefault();
  }
  box("play").addEventListener("click", () => (playing ? pause() : play()));
  box("next").addEventListener("click", () => { pause(); step(1); });
  box("before").addEventListener("click", () => { pause(); step(-1); });
  box("time").addEventListener("input", (event) => { if (playing) pause(); seek(Number(event.target.value)); });
  box("time").addEventListener("keydown", keys);
  box("tempo").value = String(state.tempo);
  box("tempo").addEventListener("change", (event) => {
    state.tempo = Number(event.target.value);
    if (cycle) lasts = schedule();
    lesson.save();
  });
  let dragging = false;
  const drag = (event) => { if (playing) pause(); seek(chart.timeAt(event.clientX)); };
  box("chart").addEventListener("pointerdown", (event) => { dragging = true; drag(event); });
  addEventListener("pointermove", (event) => { if (dragging) drag(event); });
  addEventListener("pointerup", () => { dragging = false; });
  addEventListener("pointercancel", () => { dragging = false; });
  const redraw = () => { if (cycle) show(cycle, pieces); };
  const current = () => ({ cycle, stretch: shown });
  return { show, seek, play, pause, step, schedule, onward, redraw, current };
})();
