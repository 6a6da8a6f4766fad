"use strict";
// From what was measured and seen to what is likely: the bank weighed by the likelihood, as `dryermodel diagnose` does
// without fresh cycles.
const suspects = (() => {
  const bank = pocket.parsed("bank");
  const C = bank.constants;
  const n = bank.machines;
  const { faults } = machines;
  const asked = pocket.data.questions;
  function unpacked(text) {
    const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    const view = new DataView(bytes.buffer);
    return Uint16Array.from({ length: bytes.length / 2 }, (_, i) => view.getUint16(2 * i, true));
  }
  const which = unpacked(bank.which);
  const severities = bank.severities.map((text) => Float64Array.from(unpacked(text), (code) => code / 65534));
  const decoded = new Map();
  function numbers(name) {
    if (!decoded.has(name) && name.startsWith("dial ")) {
      const marks = dialMarks(name).map(numbers);
      decoded.set(name, marks.length > 1 ? marks[1].map((x, i) => x - marks[0][i]) : marks[0]);
    } else if (!decoded.has(name)) {
      const { low, span, far, codes } = bank.numbers[name];
      const value = (code) => (code === 65535 ? NaN : far ? Math.exp(low + (code / 65534) * span) : low + (code / 65534) * span);
      decoded.set(name, Float64Array.from(unpacked(codes), value));
    }
    return decoded.get(name);
  }
  const hypotheses = bank.hypotheses.map(([keys, weight]) => ({ keys, weight }));
  const counts = hypotheses.map(() => 0);
  for (const h of which) counts[h] += 1;
  const healthy = hypotheses.findIndex((h) => h.keys.length === 0);

  const has = (name) => (name.startsWith("dial ") ? dialMarks(name).every((mark) => bank.numbers[mark]) : bank.numbers[name] !== undefined);
  const dialMarks = (name) => name.slice(5).split("-").filter((minute) => Number(minute)).map((minute) => `dial_at_${minute}min`);
  const reached = new Map();
  // Where nearly all machines of the bank are by a number.
  function endsOf(name) {
    if (!name.startsWith("dial ")) return bank.numbers[name].ends;
    if (!reached.has(name)) {
      const known = numbers(name).filter((x) => !Number.isNaN(x)).sort();
      const at = (q) => { const place = q * (known.length - 1); const i = Math.floor(place); return known[i] + (place - i) * ((known[i + 1] ?? known[i]) - known[i]); };
      reached.set(name, known.length ? [at(0.01), at(0.99)] : []);
    }
    return reached.get(name);
  }
  function widthOf(m) {
    const reach = [...endsOf(m.number), m.value];
    return Math.max(Math.max(...reach) - Math.min(...reach), 8 * m.accuracy, 1e-9);
  }
  function density(m, predicted, width) {
    const slip = m.times > 1 ? C.slip * C.stands : C.slip;
    if (Number.isNaN(predicted)) return slip / width;
    const scale = Math.max(Math.sqrt(m.accuracy ** 2 + m.test.model ** 2 + (m.test.modelRelative * predicted) ** 2), 1e-12);
    const z = (m.value - predicted) / scale;
    return ((1 - slip) * Math.exp(C.logTop - 0.5 * (C.freedom + 1) * Math.log1p((z * z) / C.freedom))) / scale + slip / width;
  }
  const expit = (x) => 1 / (1 + Math.exp(-x));
  function eyes(key, severity, half) {
    return faults[key].graded ? severity ** 2 / (severity ** 2 + half ** 2) : 1;
  }
  function shareYes(o) {
    const column = o.finds.length ? null : numbers(o.number);
    return Float64Array.from({ length: n }, (_, i) => {
      let so = 0;
      if (column) {
        const x = (column[i] - o.threshold) / o.width;
        so = Number.isNaN(x) ? 0 : expit(o.rising ? x : -x);
      } else {
        hypotheses[which[i]].keys.forEach((key, place) => { if (o.finds.includes(key)) so = Math.max(so, eyes(key, severities[place][i], o.halfSeen)); });
      }
      return o.yesIfNot + (o.yesIfSo - o.yesIfNot) * so;
    });
  }
  // evidence: measured [{test, number, value, accuracy}], answers [{test, yes}], complaints among the answers.
  function weigh(evidence) {
    const log = Float64Array.from(which, (h) => Math.log(hypotheses[h].weight) - Math.log(counts[h]));
    const outside = Float64Array.from(which, () => -Math.log(counts[healthy]));
    for (const m of evidence.measured) {
      const width = widthOf(m);
      const column = numbers(m.number);
      for (let i = 0; i < n; i += 1) {
        const d = density(m, column[i], width);
        log[i] += Math.log(d);
        outside[i] += Math.log((1 - C.disturbed) * d + C.disturbed / (C.anywhere * width));
      }
    }
    for (const { test, yes } of evidence.answers) {
      const share = shareYes(test);
      for (let i = 0; i < n; i += 1) {
        const p = yes ? share[i] : 1 - share[i];
        log[i] += Math.log(p);
        outside[i] += Math.log((1 - C.doubted) * p + 0.5 * C.doubted);
      }
    }
    const own = Array.from(outside).filter((_, i) => which[i] === healthy);
    const most = Math.max(...own);
    const beyond = Math.log(Math.max(bank.outside, 1e-300)) + most + Math.log(own.reduce((sum, x) => sum + Math.exp(x - most), 0));
    const top = log.reduce((best, x) => Math.max(best, x), beyond);
    const weights = log.map((x) => Math.exp(x - top));
    const rest = Math.exp(beyond - top);
    const total = weights.reduce((sum, w) => sum + w, rest);
    for (let i = 0; i < n; i += 1) weights[i] /= total;
    const probabilities = hypotheses.map(() => 0);
    weights.forEach((w, i) => { probabilities[which[i]] += w; });
    const inside = weights.reduce((sum, w) => sum + w, 0);
    return { weights, probabilities, outside: rest / total, effective: inside ** 2 / weights.reduce((sum, w) => sum + w * w, 0) };
  }

  // Faults that this evidence cannot tell apart ---------------------------------------------------
  function features(evidence) {
    const columns = [];
    for (const m of evidence.measured) {
      const column = numbers(m.number);
      const known = Array.from(column).filter((x) => !Number.isNaN(x)).sort((a, b) => a - b);
      const middle = known.length ? (known[(known.length - 1) >> 1] + known[known.length >> 1]) / 2 : 0;
      const same = Math.max(Math.hypot(m.accuracy, m.test.model), 1e-9);
      const grows = m.test.modelRelative;
      columns.push(column.map((x) => { const v = Number.isNaN(x) ? middle : x; return grows > 0 ? Math.asinh((grows * v) / same) / grows : v / same; }));
      columns.push(column.map((x) => (Number.isNaN(x) ? 0 : 1 / C.answers)));
    }
    for (const { test } of evidence.answers) columns.push(shareYes(test).map((p) => p / C.answers));
    return columns;
  }
  const mean = (values) => values.reduce((sum, x) => sum + x, 0) / values.length;
  function curve(columns, h) {
    const mine = [];
    for (let i = 0; i < n; i += 1) if (which[i] === h) mine.push(i);
    const graded = hypotheses[h].keys.some((key) => faults[key].graded);
    const steps = graded ? C.steps : 1;
    mine.sort((a, b) => severities[0][a] - severities[0][b]);
    const parts = [];
    let from = 0;
    for (let s = 0; s < steps; s += 1) {
      const size = Math.floor(mine.length / steps) + (s < mine.length % steps ? 1 : 0);
      parts.push(mine.slice(from, from += size));
    }
    const means = parts.map((part) => columns.map((column) => mean(part.map((i) => column[i]))));
    const inside = columns.map((column, k) => mean(parts.map((part, s) => mean(part.map((i) => (column[i] - means[s][k]) ** 2)))));
    return { means, inside, machines: mine.length / steps };
  }
  function apart(one, other) {
    const scatter = one.inside.map((x, k) => Math.sqrt(1 + 0.5 * (x + other.inside[k])));
    const chance = one.inside.reduce((sum, x, k) => sum + (x / one.machines + other.inside[k] / other.machines) / scatter[k] ** 2, 0);
    const over = (means) => means.map((row) => row.map((x, k) => x / scatter[k]));
    const [a, b] = [over(one.means), over(other.means)];
    const away = (points, line) => mean(points.map((point) => Math.sqrt(Math.max(square(point, line) - chance, 0))));
    return Math.min(away(a, b), away(b, a));
  }
  function square(point, line) {
    const starts = line.length > 1 ? line.slice(0, -1) : line;
    return Math.min(...starts.map((start, s) => {
      const way = start.map((x, k) => (line.length > 1 ? line[s + 1][k] - x : 0));
      const off = point.map((x, k) => x - start[k]);
      const long = Math.max(way.reduce((sum, x) => sum + x * x, 0), 1e-300);
      const along = Math.min(Math.max(off.reduce((sum, x, k) => sum + x * way[k], 0) / long, 0), 1);
      return off.reduce((sum, x, k) => sum + (x - along * way[k]) ** 2, 0);
    }));
  }
  function ranking(evidence, found) {
    const p = found.probabilities;
    const order = hypotheses.map((_, h) => h).sort((a, b) => p[b] - p[a]);
    const singles = order.filter((h) => hypotheses[h].keys.length === 1);
    let sets = singles.map((h) => [h]);
    if (evidence.measured.length || evidence.answers.some(({ test }) => test.when)) {
      const columns = features(evidence);
      const curves = new Map(singles.map((h) => [h, curve(columns, h)]));
      sets = [];
      for (const h of singles) {
        const home = sets.find((set) => apart(curves.get(set[0]), curves.get(h)) < C.alike);
        if (home) home.push(h);
        else sets.push([h]);
      }
      // What was read has spoken too: one far less likely than the first of its group stands alone.
      const near = (h, set) => found.effective < C.trusted || p[h] >= C.farBehind * p[set[0]];
      sets = sets.flatMap((set) => [set.filter((h) => near(h, set)), ...set.filter((h) => !near(h, set)).map((h) => [h])]);
    }
    sets.push(...order.filter((h) => hypotheses[h].keys.length !== 1).map((h) => [h]));
    const told = sets.map((members) => ({ members, probability: members.reduce((sum, h) => sum + p[h], 0) }));
    return told.sort((a, b) => b.probability - a.probability);
  }
  // How bad a fault is if it is there: its middle and an interval of 80 %.
  function severity(found, h, place) {
    const mine = [];
    for (let i = 0; i < n; i += 1) if (which[i] === h) mine.push(i);
    mine.sort((a, b) => severities[place][a] - severities[place][b]);
    const total = mine.reduce((sum, i) => sum + found.weights[i], 0);
    return [0.1, 0.5, 0.9].map((q) => {
      let sum = 0;
      for (const i of mine) if ((sum += found.weights[i]) >= q * total) return severities[place][i];
      return severities[place][mine[mine.length - 1]];
    });
  }
  // Evidence of a visit ------------------------------------------------------------------------------
  function evidenceOf(visit, read) {
    const taken = [];
    const left = [];
    const conditions = visit.conditions ?? {};
    const entries = [["room temperature", conditions.room_temperature], ["room humidity", conditions.room_humidity]].filter(([, value]) => value).map(([name, value]) => ({ name, value }));
    const take = (list, found) => {
      for (const entry of list) {
        const one = measuredOf(entry, read);
        if (one.value === undefined) left.push(`${entry.name ?? "gas input"}: ${one.problem}`);
        else found.push(one);
      }
      return found;
    };
    take([...entries, ...(visit.measurement ?? [])], taken);
    const answers = Object.entries(visit.seen ?? {}).filter(([name]) => read.observed.get(read.plain(name))).map(([name, yes]) => ({ test: read.observed.get(read.plain(name)), yes }));
    const words = new Set(finding.wordsOf(visit.complaint ?? ""));
    const complaints = pocket.data.questions.complaints.filter((one) => one.words.some((word) => words.has(word)));
    return { taken, after: take(visit.after ?? [], []), seen: answers, measured: together(taken), answers: [...answers, ...complaints.map((test) => ({ test, yes: true }))], complaints, left };
  }
  function measuredOf(entry, read) {
    const over = read.advance(entry);
    const test = over?.test ?? read.measured.get(read.plain(entry.name ?? (entry.dial === undefined ? "" : "gas input")));
    if (over?.problem) return over;
    if (!test) return { problem: "not weighed on this page: the command line weighs every number of the cycle" };
    const state = entry.state || Object.keys(test.states)[0];
    const number = over?.number ?? test.states[state];
    if (!number || !has(number)) return { problem: `state '${state}' is not known here` };
    let reading = entry.value === undefined ? { problem: "no value" } : read.quantity(test.words[String(entry.value).trim().toLowerCase()] ?? entry.value, test.kind, "", test.within);
    let extra = 0;
    if (entry.dial !== undefined) {
      const dial = read.quantity(entry.dial, "volume", "", asked.clocked.dial);
      const time = read.quantity(entry.seconds ?? "", "time", "", asked.clocked.time);
      if (dial.problem || time.problem) reading = { problem: dial.problem ?? time.problem };
      else {
        const value = dryerLibrary.clocked_rate({ dial: dial.value, seconds: time.value, turns: entry.turns ?? 1, heating_value: pocket.data.sums.numbers.gases.natural.heatingValue, volume_factor: 1 });
        reading = { value };
        extra = (value * pocket.data.sums.numbers.readingError) / time.value;
      }
    }
    if (reading.problem) return reading;
    let accuracy = Math.hypot(test.accuracy, test.relative * reading.value, extra);
    if (entry.accuracy !== undefined) {
      const at = read.quantity(entry.accuracy, test.kind === "temperature" ? "temperature difference" : test.kind, "", [0, Infinity]);
      if (at.problem || !(at.value > 0)) return { problem: "its accuracy is not understood" };
      accuracy = at.value;
    }
    return { test, name: over?.name ?? test.name, number, value: reading.value, accuracy };
  }
  function together(taken) {
    const groups = new Map();
    for (const m of taken) groups.set(`${m.name}|${m.number}`, [...(groups.get(`${m.name}|${m.number}`) ?? []), m]);
    return [...groups.values()].map((group) => {
      if (group.length === 1) return group[0];
      const weights = group.map((m) => 1 / m.accuracy ** 2);
      const value = group.reduce((sum, m, i) => sum + m.value * weights[i], 0) / weights.reduce((sum, w) => sum + w, 0);
      return { ...group[0], value, accuracy: Math.min(...group.map((m) => m.accuracy)), times: group.length };
    });
  }
  return { bank, which, hypotheses, numbers, has, density, shareYes, weigh, ranking, severity, evidenceOf };
})();
