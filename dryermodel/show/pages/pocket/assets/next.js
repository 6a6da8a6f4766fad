"use strict";
// Which test to do next: how much each one would tell about what is wrong, for each minute of work; as the command
// line works it out, with draws of its own.
const nextTests = (() => {
  const { bank, which, numbers, has, density, shareYes } = suspects;
  const C = bank.constants.next;
  const asked = pocket.data.questions;
  // Draws that are the same each time.
  function generator(seed) {
    let state = seed >>> 0;
    return () => {
      state = (state + 0x6d2b79f5) >>> 0;
      let t = Math.imul(state ^ (state >>> 15), state | 1);
      t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
      return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
    };
  }
  function shuffled(count, random) {
    const order = Uint32Array.from({ length: count }, (_, i) => i);
    for (let i = count - 1; i > 0; i -= 1) {
      const j = Math.floor(random() * (i + 1));
      [order[i], order[j]] = [order[j], order[i]];
    }
    return order;
  }
  // So many standard normal numbers, spread evenly over their distribution.
  function normals(count, random) {
    const [one, other] = [shuffled(count, random), shuffled(count, random)];
    return Array.from(one, (k, i) => Math.sqrt(-2 * Math.log(1 - (k + 0.5) / count)) * Math.cos((2 * Math.PI * (other[i] + random())) / count));
  }
  // Machines still in question, drawn by their weights and evenly spread over them, those of one fault together.
  function ground(found) {
    const random = generator(1);
    const total = found.weights.reduce((sum, w) => sum + w, 0);
    const drawn = [];
    let [sum, taken] = [0, 0];
    const first = random();
    found.weights.forEach((w, i) => {
      sum += w / total;
      const upTo = i === found.weights.length - 1 ? C.kept : Math.min(Math.max(Math.ceil(sum * C.kept - first), 0), C.kept);
      if (upTo > taken) drawn.push([i, (upTo - taken) / C.kept]);
      taken = Math.max(taken, upTo);
    });
    drawn.sort(([i], [j]) => which[i] - which[j] || i - j);
    const starts = drawn.map(([i], at) => at).filter((at) => at === 0 || which[drawn[at][0]] !== which[drawn[at - 1][0]]);
    const chance = Array.from({ length: C.shuffles }, () => shuffled(drawn.length, random));
    return { random, machines: drawn.map(([i]) => i), weights: Float64Array.from(drawn, ([, w]) => w), ends: [...starts.slice(1), drawn.length], chance };
  }
  // Uncertainty about the fault [bit], given how well each machine fits a result; the faults dealt out in another order.
  function entropy({ weights, ends }, fit, order) {
    const joint = [];
    let [at, all] = [0, 0];
    for (const end of ends) {
      let sum = 0;
      for (; at < end; at += 1) { const i = order ? order[at] : at; sum += fit[i] * weights[i]; }
      joint.push(sum);
      all += sum;
    }
    return joint.reduce((sum, x) => (x > 0 ? sum - (x / all) * Math.log2(x / all) : sum), 0);
  }
  function fall(here, fits, shares, order) {
    const before = entropy(here, new Float64Array(here.weights.length).fill(1), order);
    return before - fits.reduce((sum, fit, r) => sum + shares[r] * entropy(here, fit, order), 0);
  }
  // What a test seems to tell less what chance alone would make of it.
  function bits(here, fits, shares) {
    const luck = here.chance.map((order) => fall(here, fits, shares, order));
    const mean = luck.reduce((sum, x) => sum + x, 0) / luck.length;
    const beyond = fall(here, fits, shares) - mean;
    return beyond > 2 * Math.sqrt(luck.reduce((sum, x) => sum + (x - mean) ** 2, 0) / luck.length) ? beyond : 0;
  }
  function answered(here, test) {
    const all = shareYes(test);
    const yes = Float64Array.from(here.machines, (i) => all[i]);
    const share = yes.reduce((sum, p, i) => sum + p * here.weights[i], 0);
    return bits(here, [yes, yes.map((p) => 1 - p)], [share, 1 - share]);
  }
  const reach = (values) => values.reduce(([low, high], x) => [Math.min(low, x), Math.max(high, x)], [Infinity, -Infinity]);
  function measured(here, test, number) {
    const all = numbers(number);
    const shown = Float64Array.from(here.machines, (i) => all[i]);
    const known = Array.from(shown, (x, i) => [x, here.weights[i]]).filter(([x]) => !Number.isNaN(x)).sort(([x], [y]) => x - y);
    if (!known.length) return 0;
    const at = (value) => ({ test, number, value, accuracy: Math.hypot(test.accuracy, test.relative * value) });
    const middle = at((known[(known.length - 1) >> 1][0] + known[known.length >> 1][0]) / 2);
    const share = known.reduce((sum, [, w]) => sum + w, 0);
    const noise = normals(C.results, here.random);
    const picked = [];
    let [sum, place] = [0, -1];
    for (let r = 0; r < C.results; r += 1) {
      const wanted = ((r + 0.5) / C.results) * share;
      while (place < 0 || (sum < wanted && place < known.length - 1)) { place += 1; sum += known[place][1]; }
      const value = known[place][0];
      const spread = Math.sqrt(middle.accuracy ** 2 + test.model ** 2 + (test.modelRelative * value) ** 2);
      picked.push(Math.min(Math.max(value + spread * noise[r], test.within[0]), test.within[1]));
    }
    const [low, high] = reach(known.map(([x]) => x));
    const width = Math.max(high - low, 8 * middle.accuracy, 1e-9);
    const fits = picked.map((value) => { const m = at(value); return shown.map((x) => density(m, x, width)); });
    return bits(here, [...fits, shown.map((x) => (Number.isNaN(x) ? 1 : 0))], [...picked.map(() => share / C.results), 1 - share]);
  }
  // Tests not done yet, as [test, number or null].
  function open(evidence) {
    const done = new Set([...evidence.taken.map((m) => m.test.name), ...evidence.seen.map(({ test }) => test.name)]);
    const taken = new Set(evidence.taken.map((m) => m.number));
    const usual = (test) => Object.values(test.states)[0];
    const left = [...asked.measurements.filter((m) => !taken.has(usual(m)) && has(usual(m))).map((m) => [m, usual(m)]), ...asked.observations.map((o) => [o, null])];
    return left.filter(([test]) => !done.has(test.name) && !(bank.machine.electric && test.gasOnly));
  }
  // What each would tell, the most for a minute of work first, in steps so that the page stays awake between them.
  function* worth(found, evidence) {
    const here = ground(found);
    const told = [];
    for (const [test, number] of open(evidence)) {
      const tells = number ? measured(here, test, number) : answered(here, test);
      const minutes = test.minutes + C.settingUp;
      if (tells >= C.leastBits) told.push({ test, bits: tells, minutes, rate: tells / minutes });
      yield told;
    }
    told.sort((one, other) => other.rate - one.rate);
    return told;
  }
  function all(found, evidence) {
    const steps = worth(found, evidence);
    for (;;) {
      const { done, value } = steps.next();
      if (done) return value;
    }
  }
  let latest = 0;
  // The same in pauses of the page, unless another is asked for meanwhile.
  function later(found, evidence, tell) {
    latest += 1;
    const mine = latest;
    const steps = worth(found, evidence);
    const go = () => {
      if (mine !== latest) return;
      const until = performance.now() + 12;
      for (;;) {
        const { done, value } = steps.next();
        if (done) { tell(value); return; }
        if (performance.now() > until) { setTimeout(go); return; }
      }
    };
    setTimeout(go, 30);
  }
  return { all, later };
})();
