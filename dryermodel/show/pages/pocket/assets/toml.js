"use strict";
// Visit files: the part of TOML that they are written in, read and written as the command line does.
const toml = (() => {
  const LISTS = ["measurement", "work", "after"];
  const TABLES = ["safety", "conditions", "seen"];
  const text = (value) => JSON.stringify(value).replace(/\x7f/g, "\\u007f");
  const key = (name) => (/^[A-Za-z0-9_-]+$/.test(name) ? name : text(name));
  const value = (v) => (Array.isArray(v) ? `[${v.map(text).join(", ")}]` : typeof v === "string" ? text(v) : String(v));
  function block(head, values) {
    const lines = Object.entries(values).filter(([, v]) => v !== undefined && v !== "" && !(Array.isArray(v) && v.length === 0));
    return lines.length ? `${head}${lines.map(([name, v]) => `${key(name)} = ${value(v)}\n`).join("")}` : "";
  }
  function write(visit) {
    const { scenario = "standard", set = [], logs = [], date = "", complaint = "" } = visit;
    const blocks = [block("", { scenario, set, logs, date, complaint })];
    for (const table of TABLES) blocks.push(block(`[${table}]\n`, visit[table] ?? {}));
    for (const list of LISTS) for (const entry of visit[list] ?? []) blocks.push(block(`[[${list}]]\n`, entry));
    return blocks.filter((one) => one).join("\n");
  }

  // One line after another; whatever visit files have no use for is refused with its line.
  function read(source) {
    const visit = {};
    let home = visit;
    const lines = source.replace(/^\ufeff/, "").split(/\r?\n/);
    for (let n = 0; n < lines.length; n += 1) {
      const fail = (what) => { throw new Error(`line ${n + 1}: ${what}`); };
      const at = { line: lines[n], i: 0 };
      blank(at);
      if (at.i >= at.line.length) continue;
      if (at.line[at.i] === "[") {
        const many = at.line.startsWith("[[", at.i);
        at.i += many ? 2 : 1;
        const name = part(at, fail);
        blank(at);
        if (!at.line.startsWith(many ? "]]" : "]", at.i)) fail("a heading without its end");
        at.i += many ? 2 : 1;
        ended(at, fail);
        if (many !== LISTS.includes(name) || !(many || TABLES.includes(name))) fail(`'${name}' is no part of a visit`);
        home = {};
        if (many) (visit[name] ??= []).push(home);
        else visit[name] = home;
        continue;
      }
      const name = part(at, fail);
      blank(at);
      if (at.line[at.i] !== "=") fail("a line without =");
      at.i += 1;
      blank(at);
      while (at.line[at.i] === "[" && !balanced(at.line.slice(at.i)) && n + 1 < lines.length) at.line += `\n${lines[n += 1]}`;
      if (Object.hasOwn(home, name)) fail(`'${name}' is there twice`);
      Object.defineProperty(home, name, { value: one(at, fail), enumerable: true, writable: true, configurable: true });
      ended(at, fail);
    }
    return visit;
  }
  const balanced = (line) => /^\[(#[^\n]*|"(?:[^"\\]|\\.)*"|'[^']*'|[^\]"'#])*\]/.test(line);
  function blank(at) {
    at.i += /^(?:[ \t\n]|#[^\n]*)*/.exec(at.line.slice(at.i))[0].length;
  }
  function ended(at, fail) {
    blank(at);
    if (at.i < at.line.length) fail(`'${at.line.slice(at.i, at.i + 20)}' is not understood`);
  }
  function part(at, fail) {
    blank(at);
    const plain = /^[A-Za-z0-9_-]+/.exec(at.line.slice(at.i));
    if (!plain) return quoted(at, fail);
    at.i += plain[0].length;
    return plain[0];
  }
  function quoted(at, fail) {
    const rest = at.line.slice(at.i);
    if (/^("""|''')/.test(rest)) fail("text over several lines is not read here: write it on one");
    const found = /^"((?:[^"\\]|\\.)*)"/.exec(rest) ?? /^'([^']*)'/.exec(rest);
    if (!found) fail(`'${rest.slice(0, 20)}' is not understood`);
    at.i += found[0].length;
    if (rest[0] === "'") return found[1];
    const plain = found[1].replace(/\\U([0-9a-fA-F]{8})/g, (all, code) => String.fromCodePoint(Number.parseInt(code, 16))).replace(/\\e/g, "\\u001b").replace(/\t/g, "\\t");
    try {
      return JSON.parse(`"${plain}"`);
    } catch (error) {
      return fail(`${found[0].slice(0, 20)} is not understood`);
    }
  }
  function one(at, fail) {
    const rest = at.line.slice(at.i);
    if (rest[0] === "[") {
      const found = [];
      at.i += 1;
      for (;;) {
        blank(at);
        if (at.line[at.i] === "]") break;
        found.push(quoted(at, fail));
        blank(at);
        if (at.line[at.i] === ",") at.i += 1;
        else if (at.line[at.i] !== "]") fail("a list without its end");
      }
      at.i += 1;
      return found;
    }
    if (rest[0] === '"' || rest[0] === "'") return quoted(at, fail);
    const bare = /^[^\s#,\]]+/.exec(rest)?.[0] ?? "";
    at.i += bare.length;
    if (bare === "true" || bare === "false") return bare === "true";
    if (/^\d{4}-\d{2}-\d{2}$/.test(bare)) return bare;
    const number = bare.replace(/(\d)_(?=\d)/g, "$1");
    if (!/^[+-]?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?$/.test(number)) fail(`'${bare.slice(0, 20)}' is not understood`);
    return Number(number);
  }
  return { read, write };
})();
