"use strict";
// What happens at the cursor in words: which contact stands how, where the voltage lies, what works.
const telling = (() => {
  const { data, say, on, dial } = lesson;
  const { stretch: STRETCH } = data.places;
  function burner(stretch) {
    if (on(stretch, "FLAME")) return "the flame burns";
    if (on(stretch, "IGNITER")) return "the igniter is heating up";
    return "the flame sensor is still hot and open: no igniter until it has cooled";
  }
  function opened(contacts) {
    if (!contacts.exhaust_thermostat) return "exhaust thermostat";
    return contacts.high_limit ? "thermal cut-off" : "high limit";
  }
  // What the timer motor does, and why.
  function timer(cycle, stretch) {
    const { contacts, volts, amps } = stretch;
    const runs = on(stretch, "TIMER_MOTOR") ? "it runs" : "it stands still";
    if (dial(stretch) === STRETCH.off) return "The dial has come to off: every contact of the timer is open.";
    if (!contacts.centrifugal) return "The motor stands: nothing else has a way back to neutral.";
    if (amps.timer_direct > 0) return `The timer motor has the line to itself (${say.volts(volts.timer)}): ${runs}, whatever the thermostats do.`;
    if (amps.timer_across > 0) {
      return `The ${opened(contacts)} is open. The only way left leads through the timer motor: it takes ${say.volts(volts.timer)} of the line, and ${runs}.`;
    }
    if (amps.section > 0) {
      const which = wholeChain(cycle) ? "The contacts around the timer motor are closed" : "The exhaust thermostat is closed";
      return `${which}, like a bare wire across the timer motor: ${say.volts(volts.timer)} there, so it stands still.`;
    }
    return `The ${opened({ ...contacts, exhaust_thermostat: true })} is open: no current in the heat circuit, so the timer motor stands still too.`;
  }
  const wholeChain = (cycle) => cycle.parameters.timer_wiring !== 0;
  function heat(stretch) {
    const { volts, loads, contacts } = stretch;
    if (dial(stretch) === STRETCH.off || !contacts.centrifugal) return "";
    if (dial(stretch) === STRETCH.coolDown) return "Cool-down: the timer's heat contact is open and no heat is called.";
    if (loads.burner_feed) return `The burner circuit has ${say.volts(volts.burner)}: ${burner(stretch)}.`;
    return volts.burner > 0 ? `Only ${say.volts(volts.burner)} are left for the burner: too little, it is off.` : "The burner has no voltage: it is off.";
  }
  // What set this stretch off, in the words of the program's own list of switchings.
  function since(cycle, stretch) {
    const i = cycle.stretches.indexOf(stretch);
    const before = cycle.stretches[i - 1];
    const changed = data.changes.filter(([column]) => (before ? before.state[column] : 0) !== stretch.state[column])
      .filter(([column]) => before || [data.places.switch.RUNNING, data.places.switch.IGNITER].includes(column))
      .map(([column, starts, stops]) => (stretch.state[column] ? starts : stops));
    if (before && dial(before) !== dial(stretch)) changed.unshift(dial(stretch) === STRETCH.off ? "timer reaches the end of the dial" : "timer opens its heat contact");
    const what = before ? "" : "start pressed: ";
    return `${say.time(stretch.from)}: ${what}${changed.join(", ")}`;
  }
  const sentences = (cycle, stretch) => [timer(cycle, stretch), heat(stretch)].filter((text) => text);
  // Values at a moment, between two drawn points on a straight line.
  function values(cycle, t) {
    const { time, ...series } = cycle.series;
    const step = time[1] - time[0];
    const i = step > 0 ? Math.min(Math.floor(t / step), time.length - 2) : 0;
    const part = step > 0 ? Math.min((t - time[i]) / step, 1) : 0;
    const at = (list) => list[i] + (list[i + 1] - list[i]) * part;
    return { exhaust: at(series.exhaust), load: at(series.load), dial: at(series.dial), moisture: series.moisture.map(at) };
  }
  const short = (stretch) => {
    const heating = on(stretch, "FLAME") ? "flame lit" : on(stretch, "IGNITER") ? "igniter on" : "no heat";
    return `${heating}, timer ${on(stretch, "TIMER_MOTOR") ? "runs" : "stands still"}`;
  };
  return { sentences, since, values, short };
})();
