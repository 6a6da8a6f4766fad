"use strict";
// What every page that computes uses: numbers as text, elements, what was entered, and the worker.
const page = (() => {
  // Numbers ------------------------------------------------------------------------------------
  // As Python rounds: to the nearest, an exact tie to the even digit.
  function fixed(value, decimals) {
    const text = value.toFixed(decimals);
    if (decimals > 15 || Math.abs(value) > 1e15) return text;
    const scaled = value * 10 ** decimals;
    const tie = Math.abs(scaled - Math.trunc(scaled)) === 0.5 && scaled / 10 ** decimals === value && exactTie(value, decimals);
    if (!tie) return plainZero(text);
    const low = Math.floor(scaled);
    return plainZero(((low % 2 === 0 ? low : low + 1) / 10 ** decimals).toFixed(decimals));
  }
  const exactTie = (value, decimals) => Number(value.toFixed(decimals + 1)) === value && value.toFixed(Math.min(decimals + 25, 100)).slice(-24).replace(/0/g, "") === "";
  const plainZero = (text) => (/^-0(\.0*)?$/.test(text) ? text.slice(1) : text);
  // A number in a unit with its own decimals; decimals below nought round to tens and hundreds.
  function number(si, shown) {
    if (si === null || si === undefined || Number.isNaN(si)) return "-";
    const value = shown.scale * si + shown.offset;
    if (shown.decimals >= 0) return fixed(value, shown.decimals);
    const size = 10 ** -shown.decimals;
    return plainZero((Number(fixed(value / size, 0)) * size).toFixed(0));
  }
  // To so many significant digits without padding; whole digits are never rounded away.
  function digits(value, significant) {
    if (value === 0) return "0";
    const text = value.toPrecision(significant);
    const exponent = Number(value.toExponential(significant - 1).split("e")[1]);
    if (exponent >= significant) return fixed(value, 0);
    if (exponent < -4) {
      const [head, tail] = value.toExponential(significant - 1).split("e");
      return `${trimmed(head)}e-${String(Math.abs(Number(tail))).padStart(2, "0")}`;
    }
    return trimmed(Number(text).toFixed(Math.max(significant - 1 - exponent, 0)));
  }
  const trimmed = (text) => (text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text);
  const inUnit = (si, unit) => (unit.per ? si / unit.per : unit.scale * si + unit.offset);
  const toSi = (shown, unit) => (shown - unit.offset) / unit.scale;

  // Tables that hold nothing but what is in them: a name that every object has finds nothing there.
  const bare = (object) => Object.assign(Object.create(null), object);
  const parsed = (id) => JSON.parse(document.getElementById(id).textContent, (key, value) => (value && typeof value === "object" && !Array.isArray(value) ? bare(value) : value));

  // Elements -----------------------------------------------------------------------------------
  function make(tag, attributes = {}, ...children) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (value === false || value === null || value === undefined) continue;
      if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
      else element.setAttribute(name, value === true ? "" : value);
    }
    element.append(...children.filter((child) => child !== null && child !== undefined));
    return element;
  }
  function fill(id, ...children) {
    document.getElementById(id).replaceChildren(...children.filter((child) => child !== null));
  }
  function table(caption, head, rows) {
    const cell = (text, i) => (i ? make("td", {}, text) : make("th", { scope: "row" }, text));
    return make("table", {}, make("caption", {}, caption),
      make("thead", {}, make("tr", {}, ...head.map((text) => make("th", { scope: "col" }, text)))),
      make("tbody", {}, ...rows.map((row) => make("tr", {}, ...row.map(cell)))));
  }

  // One page at work. `key`: under which the browser keeps what was entered; `fresh`: what that is at first, from
  // the page's data; `scripts`: elements whose text is the worker's program; `refused`: said when nothing is kept.
  function open({ key, fresh, scripts, refused }) {
    const data = parsed("data");
    const state = fresh(data);
    try {
      const kept = JSON.parse(localStorage.getItem(key));
      if (kept && typeof kept === "object") Object.assign(state, kept);
    } catch (error) {
      // A browser may refuse to keep anything for a file; the page then starts afresh each time.
    }
    let saving = 0;
    function save() {
      clearTimeout(saving);
      saving = setTimeout(saveNow, 150);
    }
    function saveNow() {
      try {
        localStorage.setItem(key, JSON.stringify(state));
      } catch (error) {
        document.getElementById("kept").textContent = refused;
      }
    }
    addEventListener("pagehide", saveNow);
    const unitOf = (both) => (state.si ? both.metric : both.trade);

    // The worker --------------------------------------------------------------------------------------
    const source = scripts.map((id) => document.getElementById(id).textContent).join("\n");
    let worker = null;
    const waiting = new Map();
    const running = new Map();
    let busy = false;
    let last = 0;
    try {
      worker = new Worker(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
      worker.onmessage = (event) => answered(event.data);
      worker.onerror = (event) => { event.preventDefault(); worker = null; busy = false; next(); };
    } catch (error) {
      worker = null; // the page then computes by itself, and stands still while it does
    }
    // Of one slot, the newest question replaces one that still waits.
    function ask(kind, question, answer, slot = kind) {
      waiting.set(slot, { kind, question, answer });
      if (!busy) next();
    }
    function next() {
      const entry = waiting.entries().next();
      if (entry.done) return;
      const [slot, { kind, question, answer }] = entry.value;
      waiting.delete(slot);
      busy = true;
      last += 1;
      running.set(last, answer);
      if (worker) worker.postMessage({ id: last, kind, question });
      else setTimeout((id) => answered({ id, answer: dryerWork(kind, question) }), 0, last);
    }
    function answered({ id, answer }) {
      const told = running.get(id);
      running.delete(id);
      busy = false;
      if (told) told(answer);
      next();
    }

    const redraws = [];
    function redraw() {
      for (const draw of redraws) draw();
    }
    return { data, state, save, saveNow, unitOf, ask, redraws, redraw };
  }
  return { bare, parsed, fixed, number, digits, inUnit, toSi, make, fill, table, open };
})();
