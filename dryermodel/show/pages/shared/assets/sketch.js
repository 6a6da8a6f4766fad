"use strict";
// Shapes of a drawing over one time axis: frames, lines, names at their ends, bars of what was on.
const sketch = (() => {
  const NS = "http://www.w3.org/2000/svg";
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
      svg.append(shape("text", { x: box.left - 4, y: y(at) + 4, "text-anchor": "end" }, page.digits(at, 4)));
    }
    return { x, y };
  }
  function line(svg, at, times, values, kind) {
    const points = times.map((t, i) => `${at.x(t).toFixed(1)},${at.y(values[i]).toFixed(1)}`).join(" ");
    svg.append(shape("polyline", { points, class: `line ${kind}` }));
  }
  // Names at the right ends of lines, moved apart where they would touch.
  function names(svg, wanted, box, wide, gap = 12) {
    const sorted = [...wanted].sort((one, other) => one.y - other.y);
    let floor = box.top + 8;
    for (const name of sorted) {
      name.at = Math.max(name.y + 4, floor);
      floor = name.at + gap;
    }
    const over = floor - gap - (box.top + box.height + 4);
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
  // From what was closed, what was open until the end.
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
  return { shape, ticks, frame, line, names, bars, opened };
})();
