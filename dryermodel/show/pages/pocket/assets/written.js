"use strict";
// Quantities as people write them, read as the command line reads them: its patterns and its words are the data.
const written = (() => {
  const told = pocket.data.questions.quantities;
  const pattern = (name, around = (text) => `^(?:${text})`, more = "") => new RegExp(around(told.patterns[name][0]), told.patterns[name][1] + more);
  const every = (name) => pattern(name, (text) => text, "g");
  const [FRACTION, PLAIN, THOUSAND, PIECE, BETWEEN] = ["fraction", "plain", "thousand", "piece", "between"].map((name) => pattern(name));
  const CLOCK = pattern("clock", (text) => `^(?:${text})$`);
  const [WATER, POWER, SQUARED, DEGREE, WORD] = ["water", "power", "squared", "degree", "word"].map(every);

  // Numbers ------------------------------------------------------------------------------------------
  function typedPlainly(text) {
    const letters = [...text].map((c) => (c.normalize("NFKC").includes("\u2044") && c !== "\u2044" ? ` ${c.normalize("NFKC")}` : c)).join("");
    return [...letters].map((c) => told.marks[c] ?? c).join("").replaceAll("''", '"').trim();
  }
  function piece(text) {
    const broken = FRACTION.exec(text);
    const match = broken ?? PLAIN.exec(text);
    if (!match) return null;
    let number = broken ? fraction(broken.groups, match[0]) : Number(match.groups.decimal.replaceAll(",", ""));
    let unit = text.slice(match[0].length).trim();
    const thousand = THOUSAND.exec(unit);
    if (thousand) [number, unit] = [number * 1000, unit.slice(thousand[0].length)];
    if (!Number.isFinite(number)) throw new Error(`'${text}' is too large a number`);
    return { number: match.groups.sign === "-" ? -number : number, unit };
  }
  function fraction({ whole, top, bottom }, text) {
    const [w, t, b] = [whole, top, bottom].map((part) => Number(part ?? 0));
    if (b === 0 || (whole && t >= b)) throw new Error(`'${text.trim()}' is no fraction, written e.g. '1 1/2'`);
    return w + t / b;
  }
  function pieces(text) {
    const sign = text.startsWith("-") ? -1 : 1;
    let rest = text.replace(/^-/, "").replace(/^\+/, "").trim();
    const parts = [];
    while (rest) {
      const match = PIECE.exec(rest);
      const number = match && piece(match.groups.number);
      if (!number) return null;
      parts.push({ number: number.number, unit: match.groups.unit.replace(/\.$/, "") });
      rest = rest.slice(match[0].length);
      rest = rest.slice(BETWEEN.exec(rest)[0].length);
    }
    return parts.length > 1 ? { sign, parts } : null;
  }
  const twoDigits = (text) => /^[0-5][0-9](?:\.[0-9]*)?$/.test(text);
  // A time with colons as its readings in seconds, the likeliest first; null if it is none.
  function clock(text) {
    const match = CLOCK.exec(text);
    if (!match) return null;
    const [, hours, first, last, unit] = match;
    if (!twoDigits(last) || (hours !== undefined && !twoDigits(first))) throw new Error(`'${text}' is no time: after a colon stand two digits, 00 to 59, as in '1:05'`);
    const inHours = (unit ?? "").toLowerCase().startsWith("h");
    const seconds = Number(first) * 60 + Number(last);
    if (hours !== undefined) {
      if (unit && !inHours) throw new Error(`'${text}' is no time in minutes; write hours, minutes and seconds alone`);
      return [{ si: Number(hours) * 3600 + seconds, plainly: text }];
    }
    const [head, tail] = text.split(":");
    const readings = [{ si: inHours ? seconds * 60 : seconds, plainly: `${head} min ${tail} s` }];
    return unit ? readings : [...readings, { si: seconds * 60, plainly: `${head} h ${tail} min` }];
  }

  // Units --------------------------------------------------------------------------------------------
  function named(word) {
    if (word === "M" || ["mbtu", "mbtuh"].includes(word.toLowerCase())) throw new Error(`'${word}' is a thousand to some and a million to others; write e.g. 22000 Btu/h or 22 kBtu/h`);
    const names = told.words[word.toLowerCase()] ?? [word];
    if (names.includes(word)) return word;
    if (names.length > 1) throw new Error(`capitals matter in '${word}'`);
    return names[0];
  }
  function spelling(unit) {
    let text = unit.replaceAll("\u00b2", "2").replaceAll("\u00b3", "3").split(/\s+/).filter(Boolean).join(" ");
    text = text.replace(WATER, "inH2O").replace(DEGREE, "deg_");
    text = told.whole[text.toLowerCase()] ?? text;
    text = text.replace(POWER, (all, how, name) => name + (how[0].toLowerCase() === "s" ? "**2" : "**3"));
    text = text.replace(/(?<=[A-Za-z])\.(?= |\/|$)/g, "").replace(/\bper\b/gi, "/").replace(SQUARED, "$1**$2");
    return text.replace(WORD, named);
  }
  const ruleOf = (unit, kind) => told.spellings[kind][spelling(unit).replaceAll(" ", "")];
  const known = (unit) => { try { return Object.keys(told.spellings).some((kind) => ruleOf(unit, kind)); } catch (error) { return false; } };
  const what = (kind) => `${told.kinds[kind].label}, written e.g. '${told.kinds[kind].example}'`;
  function single(text, number, unit, kind) {
    const rule = ruleOf(unit, kind);
    if (rule) return number * rule[0] + rule[1];
    if (!unit) throw new Error(`'${text}' has no unit; it is ${what(kind)}`);
    throw new Error(known(unit) ? `'${text}' is not ${what(kind)}` : `'${unit}' is no unit known here: ${what(kind)}`);
  }
  function several(text, { sign, parts }, kind) {
    if (!told.several.includes(kind)) throw new Error(`'${text}' is not ${what(kind)}`);
    const values = parts.map(({ number, unit }) => single(text, number, unit, kind));
    const ones = parts.map(({ unit }) => single(text, 1, unit, kind));
    if (values.slice(1).some((value, i) => value >= ones[i] * (1 - 1e-12))) throw new Error(`'${text}' is not clear: the larger unit comes first, then less than one of it`);
    if (!parts.slice(0, -1).every(({ number }) => Number.isInteger(number))) throw new Error(`'${text}' is not clear: only the last number may have a fraction`);
    return sign * values.reduce((sum, value) => sum + value, 0);
  }
  function readings(text, kind) {
    const typed = typedPlainly(text);
    const times = kind === "time" ? clock(typed) : null;
    if (times) return times;
    const parts = pieces(typed);
    if (parts && parts.parts.every(({ unit }) => known(unit))) return [{ si: several(text, parts, kind), plainly: text }];
    const found = piece(typed);
    if (!found || /^[.,]/.test(found.unit)) throw new Error(`'${text}' is not ${what(kind)}${/^\s*\d+,\d/.test(text) ? "; decimals take a point, not a comma" : ""}`);
    if (told.degrees.includes(found.unit.toLowerCase()) && kind.startsWith("temperature")) {
      return ["degF", "degC"].map((scale) => ({ si: single(text, found.number, scale, kind), plainly: `${found.number} ${scale}` }));
    }
    return [{ si: single(text, found.number, found.unit, kind), plainly: text }];
  }
  // A written quantity in SI, or an error that says what is wrong; `within` decides where a text has two readings.
  function parse(source, kind, within = [-Infinity, Infinity]) {
    const text = source.trim();
    if (text.length > told.longest) throw new Error(`'${text.slice(0, 60)}...' is not ${what(kind)}`);
    const [first, ...others] = readings(text, kind);
    const may = ({ si }) => within[0] <= si && si <= within[1];
    if (others.length && (others.some(may) || !may(first))) throw new Error(`'${text}' could be ${[first, ...others].map(({ plainly }) => plainly).join(" or ")}; write which`);
    return first.si;
  }
  // Whether a text is a number with nothing after it.
  function bare(text) {
    try {
      return piece(typedPlainly(text))?.unit === "";
    } catch (error) {
      return false;
    }
  }
  return { parse, bare };
})();
