"use strict";
// The cycle drawn: water, temperatures and what was on, over one time axis. The healthy machine is drawn thin and
// dashed, the one with the fault thick and solid, each named at its line, so that no colour is needed.
const drawing = (() => {
  const { shape, ticks, frame, line, names, bars, opened } = sketch;
  const MINUTE = 60;
  // One picture of one or two cycles. `cycles`: [{name, kind, cycle}], kind "sound" or "faulty".
  function draw(target, cycles, pieces, electric) {
    const wide = Math.max(Math.min(target.clientWidth || 340, 900), 300);
    const { data } = pocket;
    const temperature = pocket.unitOf(data.kinds.temperature);
    const longest = Math.max(...cycles.map(({ cycle }) => cycle.end), 60);
    const right = wide > 600 ? 120 : 84;
    const plot = { left: 40, width: wide - 40 - right };
    const water = { ...plot, top: 20, height: 110 };
    const heat = { ...plot, top: 160, height: 130 };
    const shown = [["flame", electric ? "heater on" : "flame"], ["timer", "timer runs"], ["limit", "high limit open"]];
    const rows = shown.flatMap(([key, words]) => cycles.map(({ name, kind, cycle }) => {
      const on = key === "limit" ? opened(cycle.on.limit, cycle.end) : cycle.on[key === "flame" && electric ? "heater" : key];
      return { words: cycles.length > 1 ? `${words}, ${name}` : words, on, end: cycle.end, kind };
    }));
    const strip = { ...plot, top: 304, height: rows.length * 21 };
    const high = strip.top + strip.height + 34;
    const svg = shape("svg", { viewBox: `0 0 ${wide} ${high}`, width: wide, height: high, role: "img" });
    svg.append(shape("title", {}, told(cycles)));
    const most = Math.max(...cycles.flatMap(({ cycle }) => cycle.series.moisture.flat())) * 100;
    const wet = frame(svg, water, 0, Math.max(most * 1.05, 5), longest, "water in the cloth, % of its dry weight");
    const inUnit = (values) => values.map((value) => pocket.inUnit(value, temperature));
    const warm = cycles.map(({ cycle }) => ({ exhaust: inUnit(cycle.series.exhaust), load: inUnit(cycle.series.load) }));
    const all = warm.flatMap(({ exhaust, load }) => [...exhaust, ...load]);
    const hot = frame(svg, heat, Math.min(...all) - 2, Math.max(...all) + 4, longest, `temperature, ${temperature.label}`);
    const ends = [[], []];
    cycles.forEach(({ name, kind, cycle }, n) => {
      const { time, moisture } = cycle.series;
      const short = cycles.length > 1 ? ` ${name}` : "";
      moisture.forEach((values, i) => {
        line(svg, wet, time, values.map((x) => x * 100), kind);
        const cloth = moisture.length > 1 ? pieces[i] : "water";
        ends[0].push({ x: wet.x(cycle.end), y: wet.y(values[values.length - 1] * 100), kind, text: `${cloth}${short}` });
      });
      line(svg, hot, time, warm[n].exhaust, kind);
      line(svg, hot, time, warm[n].load, `${kind} second`);
      ends[1].push({ x: hot.x(cycle.end), y: hot.y(warm[n].exhaust[time.length - 1]), kind, text: `exhaust${short}` });
      ends[1].push({ x: hot.x(cycle.end), y: hot.y(warm[n].load[time.length - 1]), kind, text: `load${short}` });
    });
    names(svg, ends[0], water, wide);
    names(svg, ends[1], heat, wide);
    bars(svg, strip, longest, rows);
    for (const at of ticks(0, longest / MINUTE, wide > 600 ? 10 : 5)) {
      svg.append(shape("text", { x: hot.x(at * MINUTE), y: high - 18, "text-anchor": "middle" }, pocket.digits(at, 4)));
    }
    svg.append(shape("text", { x: plot.left + plot.width / 2, y: high - 4, "text-anchor": "middle", class: "words" }, "minutes from the start"));
    target.replaceChildren(svg);
  }
  function told(cycles) {
    const each = cycles.map(({ name, cycle }) => `${name}: ${(cycle.end / MINUTE).toFixed(1)} minutes, burner lit ${cycle.on.flame.length} times, ` +
      `${(cycle.outcome.final_moisture * 100).toFixed(1)} % water at the end`);
    return `Water, temperatures and what was on over the cycle. ${each.join("; ")}. The figures stand in the table.`;
  }
  return { draw };
})();
