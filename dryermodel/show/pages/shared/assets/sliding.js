"use strict";
// A number with its slider, in the units that are shown; what is set is told in SI.
const sliding = (() => {
  const { make, digits, inUnit, toSi } = page;
  // `value`: now, in SI; `set`: told each new one.
  function control(entry, { si, value: first, set }) {
    const unit = si ? entry.metric : entry.trade;
    let now = first;
    const ends = [entry.low, entry.high].map((end) => inUnit(toSi(end, entry.trade), unit));
    const span = Math.abs(ends[1] - ends[0]);
    const step = si && entry.trade.label !== entry.metric.label ? (span > 20 ? 0.5 : 0.1) : entry.step;
    const id = `set-${entry.key.replace(".", "-")}`;
    const value = Number(digits(inUnit(now, unit), 4));
    const number = make("input", { type: "number", id, value, step: "any", min: digits(ends[0], 5), max: digits(ends[1], 5), inputmode: "decimal" });
    const slider = make("input", { type: "range", min: ends[0], max: ends[1], step, "aria-label": `${entry.words}, slider` });
    slider.value = value;
    const spoken = () => slider.setAttribute("aria-valuetext", `${number.value} ${unit.label}`.trim());
    spoken();
    const enter = (text) => {
      const entered = Number(text);
      if (text === "" || !Number.isFinite(entered)) return;
      now = toSi(Math.min(Math.max(entered, ends[0]), ends[1]), unit);
      spoken();
      set(now);
    };
    slider.addEventListener("input", () => { number.value = digits(Number(slider.value), 5); enter(slider.value); });
    number.addEventListener("input", () => { slider.value = number.value; enter(number.value); });
    number.addEventListener("change", () => { number.value = digits(inUnit(now, unit), 4); });
    return make("div", { class: "control" }, make("label", { for: id }, entry.words), number, make("span", { class: "unit" }, unit.label), slider);
  }
  return { control };
})();
