"use strict";
// The cycle drawn: water, temperatures and what was on, over one time axis. The healthy machine is drawn thin and
// dashed, the one with the fault thick and solid, each named at its line, so that no colour is needed.
const drawing = (() => {
  const NS = "http://www.w3.org/2000/svg";
  const MINUTE = 60;
  function shape(tag, attributes, text) {
    const element = document.createElementNS(NS, tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    if (text !== undefined) element.textContent = text;
    return element;
  }
  // Round steps for an axis: about so many of them.
  function ticks(low, high, about) {
    const raw = (high - low) / about;
    const size = 10 ** Math.floor(Math.log10(raw));
    const step = [1, 2, 5, 10].find((times) => times * size >= raw) * size;
    const found = [];
    for (let at = Math.ceil(low / step) * step; at <= high + step * 1e-9; at += step) found.push(at);
    return found;
  }
  function frame(svg, box, low, high, longest, words) {
    const x = (t) => box.left + (t / longest) * box.width;
    const y = (value) => box.top + box.height - ((value - low) / (high - low)) * box.height;
    svg.append(shape("rect", { x: box.left, y: box.top, width: box.width, height: box.height, class: "frame" }));
    svg.append(shape("text", { x: box.left, y: box.top - 5, class: "words" }, words));
    for (const at of ticks(low, high, 4)) {
      svg.append(shape("line", { x1: box.left, x2: box.left + box.width, y1: y(at), y2: y(at), class: "grid" }));
      svg.append(shape("text", { x: box.left - 4, y: y(at) + 4, "text-anchor": "end" }, pocket.digits(at, 4)));
    }
    return { x, y };
  }
  function line(svg, at, times, values, kind) {
    const points = times.map((t, i) => `${at.x(t).toFixed(1)},${at.y(values[i]).toFixed(1)}`).join(" ");
    svg.append(shape("polyline", { points, class: `line ${kind}` }));
  }
  // Names at the right ends of lines, moved apart where they would touch.
  function names(svg, wanted, box, wide) {
    const sorted = [...wanted].sort((one, other) => one.y - other.y);
    let floor = box.top + 8;
    for (const name of sorted) {
      name.at = Math.max(name.y + 4, floor);
      floor = name.at + 12;
    }
    const over = floor - 12 - (box.top + box.height + 4);
    for (const name of sorted) {
      const at = over > 0 ? name.at - over : name.at;
      const room = wide - name.x - 4 > 6.4 * name.text.length;
      const place = room ? { x: name.x + 4 } : { x: wide - 1, "text-anchor": "end" };
      svg.append(shape("text", { ...place, y: at, class: name.kind }, name.text));
    }
  }
  function bars(svg, box, longest, rows) {
    const x = (t) => box.left + (t / longest) * box.width;
    rows.forEach((row, i) => {
      const top = box.top + i * 21;
      svg.append(shape("text", { x: box.left, y: top + 9 }, row.words));
      svg.append(shape("line", { x1: box.left, x2: x(row.end), y1: top + 14.5, y2: top + 14.5, class: "grid" }));
      for (const [from, to] of row.on) {
        svg.append(shape("rect", { x: x(from), y: top + 12, width: Math.max(x(to) - x(from), 0.8), height: 5, class: `bar ${row.kind}` }));
      }
    });
  }
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
  function opened(closed, end) {
    const found = [];
    let from = 0;
    for (const [a, b] of closed) {
      if (a > from) found.push([from, a]);
      from = b;
    }
    if (from < end) found.push([from, end]);
    return found;
  }
  function told(cycles) {
    const each = cycles.map(({ name, cycle }) => `${name}: ${(cycle.end / MINUTE).toFixed(1)} minutes, burner lit ${cycle.on.flame.length} times, ` +
      `${(cycle.outcome.final_moisture * 100).toFixed(1)} % water at the end`);
    return `Water, temperatures and what was on over the cycle. ${each.join("; ")}. The figures stand in the table.`;
  }
  return { draw };
})();
