"use strict";
// The lesson at work: its data, what was set, its worker, and numbers as they are said.
const lesson = (() => {
  const opened = page.open({
    key: "dryer-lesson-1",
    fresh: (data) => ({ si: false, values: {}, mix: null, wiring: data.machine.wiring, at: 0, tempo: 1, own: false }),
    scripts: ["engine", "library", "worker", "circuits"],
    refused: "This browser keeps nothing for this file: the sliders start afresh each time.",
  });
  const { data, state, unitOf } = opened;
  // What was kept may be of another machine's page, or of an older one.
  const known = (object, names) => Object.fromEntries(Object.entries(object ?? {}).filter(([name, x]) => names.has(name) && Number.isFinite(x)));
  state.values = known(state.values, new Set(data.controls.map(({ key }) => key)));
  if (state.mix) state.mix = known(state.mix, new Set(data.cloth.kinds.map(({ name }) => name)));
  if (!data.order.includes(state.wiring)) state.wiring = data.machine.wiring;
  if (!Number.isFinite(state.at)) state.at = 0;
  if (!(state.tempo > 0)) state.tempo = 1;
  const shown = (kind, si) => {
    const unit = unitOf(data.kinds[kind]);
    return `${page.number(si, unit)} ${unit.label}`;
  };
  const say = {
    time: (s) => shown("time", s),
    temperature: (kelvin) => shown("temperature", kelvin),
    moisture: (share) => shown("moisture", share),
    volts: (v) => `${page.fixed(v, v !== 0 && v < 9.95 ? 1 : 0)} V`,
    amps: (a) => `${page.digits(a, 2)} A`,
  };
  const on = (stretch, name) => stretch.state[data.places.switch[name]] === 1;
  const dial = (stretch) => stretch.state[data.places.switch.STRETCH];
  const stretchAt = (cycle, t) => cycle.stretches.findLast(({ from }) => from <= t) ?? cycle.stretches[0];
  const quietly = matchMedia("(prefers-reduced-motion: reduce)");
  return { ...page, ...opened, say, on, dial, stretchAt, quietly };
})();
