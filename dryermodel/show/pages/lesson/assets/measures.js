"use strict";
// How a question's answer is read off the cycles that were run for it: which outcome it is, and the numbers of it.
const measures = (() => {
  const { say, on } = lesson;
  const MINUTE = 60;
  const found = (cycle, test) => cycle.stretches.findIndex(test);
  const from = (cycle, test) => cycle.stretches.find(test)?.from ?? NaN;
  const moved = (cycle) => from(cycle, (stretch) => on(stretch, "TIMER_MOTOR"));
  const cutOut = (cycle) => from(cycle, (stretch) => !stretch.contacts.exhaust_thermostat);
  const burning = (stretch) => on(stretch, "FLAME");
  const when = (t) => (Number.isNaN(t) ? "never" : say.time(t));
  const wettest = (cycle) => say.moisture(cycle.outcome.wettest_final_moisture);
  const hottest = (cycle) => say.temperature(cycle.outcome.exhaust_element_max_K);
  const opens = (cycle) => say.temperature(cycle.parameters.cut_out);
  // What both cycles of a comparison are told by.
  function both([one, two]) {
    const told = (n, cycle) => ({
      [`first${n}`]: when(moved(cycle)),
      [`timer${n}`]: say.time(cycle.outcome.timer_time_s),
      [`end${n}`]: say.time(cycle.end),
      [`final${n}`]: say.moisture(cycle.outcome.final_moisture),
      [`wettest${n}`]: wettest(cycle),
      [`burner${n}`]: say.time(cycle.outcome.burner_time_s),
      [`hot${n}`]: say.temperature(cycle.outcome.load_temp_max_K),
    });
    return { ...told(1, one), ...told(2, two), hottest: hottest(two), cutOutSet: opens(two) };
  }
  const sooner = (difference, least, below, same, above) => (difference < -least ? below : difference > least ? above : same);

  const rules = {
    firstMove([cycle]) {
      const first = moved(cycle);
      const lit = from(cycle, burning);
      const numbers = { first: when(first), lit: when(lit), end: say.time(cycle.end), hottest: hottest(cycle), cutOutSet: opens(cycle) };
      if (Number.isNaN(first)) return ["never", numbers];
      const near = [["start", 0], ["lit", lit], ["cutOut", cutOut(cycle)]].find(([, t]) => Math.abs(t - first) < 1);
      return [near ? near[0] : "other", numbers];
    },
    volts([cycle]) {
      const lit = cycle.stretches.find(burning);
      if (!lit) return ["other", {}];
      const off = cycle.stretches.find(({ amps }) => amps.timer_across > 0);
      const line = cycle.parameters.line_voltage;
      const share = lit.volts.timer / line;
      const numbers = {
        line: say.volts(line), timerLit: say.volts(lit.volts.timer), burnerLit: say.volts(lit.volts.burner),
        timerOff: off ? say.volts(off.volts.timer) : "-", burnerOff: off ? say.volts(off.volts.burner) : "-", amps: off ? say.amps(off.amps.timer_across) : "-",
      };
      return [share < 0.1 ? "none" : share > 0.9 ? "all" : "half", numbers];
    },
    wetter(cycles) {
      const [one, two] = cycles;
      const longer = two.outcome.timer_time_s - one.outcome.timer_time_s;
      const later = moved(two) - moved(one);
      return [longer > MINUTE ? "longer" : later > MINUTE ? "later" : Math.abs(later) <= MINUTE ? "same" : "other", both(cycles)];
    },
    limited(cycles) {
      const [, two] = cycles;
      const open = two.stretches.filter(({ contacts }) => !contacts.high_limit);
      const turning = open.filter((stretch) => on(stretch, "TIMER_MOTOR") && stretch.contacts.exhaust_thermostat).reduce((sum, { from: a, to: b }) => sum + b - a, 0);
      const trips = two.outcome.high_limit_trips;
      return [trips === 0 ? "none" : turning > 1 ? "runs" : "still", { ...both(cycles), trips: String(trips), timerWhile: say.time(turning) }];
    },
    dryness(cycles) {
      const [one, two] = cycles;
      return [sooner(two.outcome.final_moisture - one.outcome.final_moisture, 0.02, "drier", "same", "wetter"), both(cycles)];
    },
    overdried(cycles) {
      const [one, two] = cycles;
      const damp = two.outcome.final_moisture - one.outcome.final_moisture > 0.02;
      return [damp ? "under" : two.outcome.load_temp_max_K - one.outcome.load_temp_max_K > 5 ? "over" : "same", both(cycles)];
    },
    pieces([cycle]) {
      const i = found(cycle, ({ contacts }) => !contacts.exhaust_thermostat);
      if (i < 0) return ["other", {}];
      const held = cycle.starts.moisture.map((values) => values[i]);
      const most = Math.max(...held);
      const numbers = { wettest: say.moisture(most), driest: say.moisture(Math.min(...held)), atEnd: wettest(cycle) };
      return [most < 0.05 ? "dry" : most > 0.2 ? "wet" : "damp", numbers];
    },
    wettest(cycles) {
      const [one, two] = cycles;
      const difference = two.outcome.wettest_final_moisture - one.outcome.wettest_final_moisture;
      return [sooner(difference, 0.01, "drier", "same", "damper"), { ...both(cycles), shorter: say.time(one.end - two.end) }];
    },
    ends(cycles) {
      const [one, two] = cycles;
      if (Number.isNaN(moved(two))) return ["never", both(cycles)];
      return [two.end > one.end ? "slower" : "sooner", both(cycles)];
    },
    left([cycle]) {
      const final = cycle.outcome.final_moisture;
      return [final > 0.1 ? "wet" : final < 0.02 ? "dry" : "good", { final: say.moisture(final), end: say.time(cycle.end) }];
    },
  };
  // The outcome and its explanation with the numbers of these very cycles.
  function judged(question, cycles) {
    const [outcome, numbers] = rules[question.measure](cycles);
    const text = question.why[outcome] ?? question.why.other;
    return { outcome, text: text.replace(/\{(\w+)\}/g, (whole, name) => numbers[name] ?? whole) };
  }
  // A cycle in one line, for whoever moves a slider.
  function brief(cycle) {
    const first = moved(cycle);
    const timer = Number.isNaN(first) ? "the timer never moves" : `the timer first moves at ${say.time(first)}`;
    const { final_moisture: left, wettest_final_moisture: most } = cycle.outcome;
    const pieces = most - left > 0.005 ? `, ${say.moisture(most)} in the wettest pieces` : "";
    return `As set: ${timer}; ${say.time(cycle.end)} in all; ${say.moisture(left)} water left${pieces}.`;
  }
  // The moment of a cycle that shows it [s].
  function moment(cycle, what) {
    const limit = from(cycle, ({ contacts }) => !contacts.high_limit);
    const lit = cycle.stretches.find(burning);
    const at = { move: moved(cycle) + 1, lit: lit ? (lit.from + lit.to) / 2 : NaN, limit: limit + 1, late: 0.6 * cycle.end, end: cycle.end }[what];
    return Number.isNaN(at) ? 0.6 * cycle.end : at;
  }
  return { judged, brief, moment };
})();
