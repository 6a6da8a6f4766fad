"use strict";
// The cycle drawn over one time axis: water by kind of cloth, heat, contacts, dial; and the cursor over it.
const chart = (() => {
  const { shape, ticks, frame, line, names } = sketch;
  const { data, say } = lesson;
  const MINUTE = 60;
  const ROW = 25;
  const GAP = 14; // between two names at the ends of lines
  let now = null;

  function rowsOf(cycle) {
    const where = (words, test) => ({ words, on: joined(cycle.stretches.filter(test).map(({ from, to }) => [from, to])) });
    const on = (name, value = 1) => (stretch) => stretch.state[data.places.switch[name]] === value;
    const ran = on("RUNNING");
    return [
      where("exhaust thermostat open", on("EXHAUST_THERMOSTAT", 0)),
      where("high limit open", on("HIGH_LIMIT", 0)),
      where("igniter on", on("IGNITER")),
      where("flame lit", on("FLAME")),
      where("timer motor runs", on("TIMER_MOTOR")),
      where("drum turns", ran),
    ];
  }
  function joined(spans) {
    const found = [];
    for (const [from, to] of spans) {
      const last = found[found.length - 1];
      if (last && last[1] === from) last[1] = to;
      else if (to > from) found.push([from, to]);
    }
    return found;
  }
  function draw(target, cycle, pieces) {
    const room = target.clientWidth || 340;
    const wide = Math.max(Math.min(room, 900), 300); // what is wider is drawn larger, for a projector
    const right = wide > 600 ? 124 : 88;
    const plot = { left: 42, width: wide - 42 - right };
    const temperature = lesson.unitOf(data.kinds.temperature);
    const rows = rowsOf(cycle);
    const water = { ...plot, top: 34, height: 104 };
    const heat = { ...plot, top: 170, height: 124 };
    const strip = { ...plot, top: 306, height: rows.length * ROW };
    const turned = { ...plot, top: strip.top + strip.height + 26, height: 74 };
    const foot = turned.top + turned.height;
    const high = foot + 38;
    const longest = Math.max(cycle.end, MINUTE);
    const svg = shape("svg", { viewBox: `0 0 ${wide} ${high}`, width: Math.max(room, wide), role: "img", "aria-label": told(cycle, pieces) });
    const { time, moisture, exhaust, load, dial } = cycle.series;

    const most = Math.max(...moisture.flat()) * 100;
    const wet = frame(svg, water, 0, Math.max(most * 1.05, 5), longest, "water in the cloth, % of its dry weight");
    const ends = moisture.map((values, i) => {
      line(svg, wet, time, values.map((x) => x * 100), `faulty dash${moisture.length > 1 ? i : 0}`);
      return { x: wet.x(cycle.end), y: wet.y(values[values.length - 1] * 100), kind: "faulty", text: moisture.length > 1 ? pieces[i] : "water" };
    });
    names(svg, ends, water, wide, GAP);

    const inUnit = (values) => values.map((x) => lesson.inUnit(x, temperature));
    const { cut_out: opens, cut_in: closes } = cycle.parameters;
    const points = [["opens", opens], ["closes", closes]].filter(([, at]) => at > 200 && at < 500).map(([words, at]) => [words, lesson.inUnit(at, temperature)]);
    const warm = [inUnit(exhaust), inUnit(load)];
    const all = [...warm.flat(), ...points.map(([, at]) => at)];
    const hot = frame(svg, heat, Math.min(...all) - 2, Math.max(...all) + 4, longest, `temperature, ${temperature.label}`);
    for (const [, at] of points) svg.append(shape("line", { x1: plot.left, x2: plot.left + plot.width, y1: hot.y(at), y2: hot.y(at), class: "setpoint" }));
    line(svg, hot, time, warm[1], "faulty second");
    line(svg, hot, time, warm[0], "faulty");
    const side = { x: hot.x(cycle.end), kind: "sound" };
    names(svg, [
      ...points.map(([words, at]) => ({ ...side, y: hot.y(at), text: words })),
      { ...side, kind: "faulty", y: hot.y(warm[0][time.length - 1]), text: "exhaust" },
      { ...side, kind: "faulty", y: hot.y(warm[1][time.length - 1]), text: "load" },
    ], heat, wide, GAP);

    strips(svg, strip, hot.x, cycle.end, rows);

    const all2 = (cycle.parameters.dial_heat + cycle.parameters.dial_cool_down) / MINUTE;
    const turn = frame(svg, turned, 0, Math.max(all2 * 1.04, 1), longest, "dial, minutes of timer running");
    const heatEnd = cycle.parameters.dial_heat / MINUTE;
    svg.append(shape("line", { x1: plot.left, x2: plot.left + plot.width, y1: turn.y(heatEnd), y2: turn.y(heatEnd), class: "setpoint" }));
    line(svg, turn, time, dial.map((s) => s / MINUTE), "faulty");
    names(svg, [{ x: turn.x(cycle.end), y: turn.y(heatEnd), kind: "sound", text: "heat contact opens" }, { x: turn.x(cycle.end), y: turn.y(all2), kind: "sound", text: "off" }], turned, wide, GAP);

    for (const at of ticks(0, longest / MINUTE, wide > 600 ? 10 : 5)) {
      svg.append(shape("text", { x: hot.x(at * MINUTE), y: foot + 15, "text-anchor": "middle" }, lesson.digits(at, 4)));
    }
    svg.append(shape("text", { x: plot.left + plot.width / 2, y: high - 5, "text-anchor": "middle", class: "words" }, "minutes from the start"));
    const veil = shape("rect", { y: 20, height: foot - 20, class: "veil" });
    const hair = shape("line", { y1: 14, y2: foot, class: "hair" });
    const handle = shape("path", { class: "handle" });
    svg.append(veil, ...svg.querySelectorAll("text"), hair, handle); // words stay clear of the veil
    target.replaceChildren(svg);
    now = { x: hot.x, longest, plot, wide, veil, hair, handle, svg };
  }
  function strips(svg, box, x, end, rows) {
    rows.forEach((row, i) => {
      const y = box.top + i * ROW;
      svg.append(shape("text", { x: box.left, y: y + 10 }, row.words));
      svg.append(shape("line", { x1: box.left, x2: x(end), y1: y + 16, y2: y + 16, class: "grid" }));
      for (const [from, to] of row.on) svg.append(shape("rect", { x: x(from), y: y + 13, width: Math.max(x(to) - x(from), 1), height: 6, class: "bar faulty" }));
    });
  }
  function cursor(t) {
    if (!now) return;
    const x = now.x(t);
    const edge = now.plot.left + now.plot.width + 1;
    now.veil.setAttribute("x", x);
    now.veil.setAttribute("width", Math.max(edge - x, 0));
    now.hair.setAttribute("x1", x);
    now.hair.setAttribute("x2", x);
    now.handle.setAttribute("d", `M${x - 7},2 h14 v7 l-7,8 l-7,-8 z`);
  }
  // The time under a pointer [s].
  function timeAt(clientX) {
    if (!now) return 0;
    const box = now.svg.getBoundingClientRect();
    const x = ((clientX - box.left) / box.width) * now.wide;
    return Math.min(Math.max((x - now.plot.left) / now.plot.width, 0), 1) * now.longest;
  }
  function told(cycle, pieces) {
    const left = cycle.series.moisture.map((values, i) => `${pieces[i]} ${say.moisture(values[values.length - 1])}`);
    return `The cycle over ${say.time(cycle.end)}: water, temperatures, what was on, and the dial. Water at the end: ${left.join(", ")}. The cursor's words stand beside it.`;
  }
  return { draw, cursor, timeAt };
})();
