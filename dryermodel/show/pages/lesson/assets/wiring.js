"use strict";
// The circuit drawn at one moment: line above, neutral below. A thick wire with filled arrows carries the current of the
// drive motor or of the heat, a thin one with open arrows only the timer motor's, a dotted one none; contacts and loads
// say in words how they stand. What flows where is the engine's own answer, in each stretch of the cycle.
const wiring = (() => {
  const { shape } = sketch;
  const { data, say, on, dial } = lesson;
  const WIDE = 408;
  const HIGH = 590;
  const MOTOR = 51;
  const HEAT = 212;
  const TIMER = 338;
  const NONE = "none";
  const SMALL = "small";
  const FULL = "full";
  const TOP = 72;
  const A = 126;
  const most = (...flows) => [FULL, SMALL].find((flow) => flows.includes(flow)) ?? NONE;

  function pen(svg) {
    const text = (x, y, words, kind = "", anchor = "start") => svg.append(shape("text", { x, y, class: kind, "text-anchor": anchor }, words));
    function wire(flow, ...points) {
      svg.append(shape("polyline", { points: points.map((point) => point.join(",")).join(" "), class: `flow ${flow}` }));
    }
    // An arrow head at a point; `way` is one of down, right, left.
    function arrow(flow, x, y, way = "down") {
      if (flow === NONE) return;
      const turn = { down: 0, left: 90, right: -90 }[way];
      const size = flow === FULL ? "M-7,-6 L7,-6 L0,8 z" : "M-5,-5 L0,6 L5,-5";
      svg.append(shape("path", { d: size, transform: `translate(${x},${y}) rotate(${turn})`, class: `tip ${flow}` }));
    }
    // A contact between two points on one vertical or level wire.
    function contact(x1, y1, x2, y2, closed, flow) {
      const level = y1 === y2;
      if (closed) svg.append(shape("line", { x1, y1, x2, y2, class: `flow ${flow === NONE ? "closed" : flow}` }));
      else svg.append(shape("line", level ? { x1: x2, y1: y2, x2: x1 + 3, y2: y1 - 13, class: "blade" } : { x1: x2, y1: y2, x2: x1 + 13, y2: y1 + 3, class: "blade" }));
      for (const [x, y] of [[x1, y1], [x2, y2]]) svg.append(shape("circle", { cx: x, cy: y, r: 3.2, class: "pin" }));
    }
    function named(x, y, name, closed, anchor = "end") {
      text(x, y, name, "", anchor);
      text(x, y + 14, closed ? "closed" : "OPEN", closed ? "state" : "state open", anchor);
    }
    function load(x, y, width, height, name, state, works) {
      svg.append(shape("rect", { x: x - width / 2, y, width, height, rx: 4, class: works ? "load works" : "load idle" }));
      text(x, y + height / 2 - 3, name, works ? "bold" : "", "middle");
      text(x, y + height / 2 + 12, state, works ? "bold" : "", "middle");
    }
    const joint = (x, y) => svg.append(shape("circle", { cx: x, cy: y, r: 3.2, class: "joint" }));
    return { text, wire, arrow, contact, named, load, joint };
  }

  // Which current each wire carries.
  function flowsOf({ amps, loads }) {
    const heat = amps.timer_across > 0 ? SMALL : FULL;
    const of = (current, flow = heat) => (current > 0 ? flow : NONE);
    const found = Object.fromEntries(Object.entries(amps).map(([name, current]) => [name, of(current)]));
    found.timer_across = of(amps.timer_across, SMALL);
    found.timer_direct = of(amps.timer_direct, SMALL);
    found.heat_return = most(found.heat_feed, found.timer_direct);
    found.motor = loads.motor ? FULL : NONE;
    found.line = most(found.motor, found.heat_feed, found.timer_direct);
    return found;
  }

  function draw(target, cycle, stretch) {
    const svg = shape("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": told(cycle, stretch), class: "circuit" });
    const p = pen(svg);
    const flow = flowsOf(stretch);
    const { contacts } = stretch;
    const straight = !contacts.automatic;
    const whole = cycle.parameters.timer_wiring !== 0 && !straight;
    const chainEnd = 304;
    const across = whole ? 290 : 196;

    p.text(HEAT, 15, `line, ${say.volts(cycle.parameters.line_voltage)}`, "bold", "middle");
    p.wire(flow.line, [HEAT, 22], [HEAT, 34]);
    p.contact(HEAT, 34, HEAT, 58, contacts.timer_main, flow.line);
    p.named(HEAT - 12, 42, "timer, main", contacts.timer_main);
    p.wire(flow.line, [HEAT, 58], [HEAT, TOP]);

    motor(p, flow, stretch);
    timerMotor(p, flow, stretch, across, straight);

    p.wire(flow.heat_feed, [HEAT, TOP], [HEAT, 86]);
    p.contact(HEAT, 86, HEAT, 110, contacts.timer_heat, flow.heat_feed);
    p.named(HEAT - 12, 94, "timer, heat", contacts.timer_heat);
    p.wire(flow.heat_feed, [HEAT, 110], [HEAT, A]);
    chain(p, flow, contacts, whole, chainEnd);
    burner(p, flow, stretch, chainEnd);
    back(p, flow, contacts);
    gas(p, stretch);
    target.replaceChildren(svg);
  }
  function motor(p, flow, { loads, contacts }) {
    p.wire(flow.motor, [HEAT, TOP], [MOTOR, TOP], [MOTOR, 86]);
    p.joint(HEAT, TOP);
    p.contact(MOTOR, 86, MOTOR, 110, contacts.start || contacts.centrifugal, flow.motor);
    p.named(MOTOR + 18, 94, "hold", contacts.start || contacts.centrifugal, "start");
    p.wire(flow.motor, [MOTOR, 110], [MOTOR, 506], [HEAT, 506]);
    p.arrow(flow.motor, MOTOR, 150);
    p.arrow(flow.motor, MOTOR, 470);
    p.load(MOTOR, 190, 100, 40, "drive motor", loads.motor ? "runs" : "stands", loads.motor);
  }
  function chain(p, flow, contacts, whole, end) {
    const rest = whole ? flow.section : flow.chain;
    p.joint(HEAT, A);
    p.wire(flow.section, [HEAT, A], [HEAT, 146]);
    p.contact(HEAT, 146, HEAT, 176, contacts.exhaust_thermostat, flow.section);
    p.named(HEAT - 12, 156, "exhaust thermostat", contacts.exhaust_thermostat);
    p.wire(flow.section, [HEAT, 176], [HEAT, 196]);
    p.wire(rest, [HEAT, 196], [HEAT, 208]);
    p.contact(HEAT, 208, HEAT, 234, contacts.high_limit, rest);
    p.named(HEAT - 12, 216, "high limit", contacts.high_limit);
    p.wire(rest, [HEAT, 234], [HEAT, 252]);
    p.contact(HEAT, 252, HEAT, 278, contacts.thermal_cutoff, rest);
    p.named(HEAT - 12, 260, "thermal cut-off", contacts.thermal_cutoff);
    p.wire(rest, [HEAT, 278], [HEAT, end]);
    p.arrow(flow.section, HEAT, 188);
    p.arrow(rest, HEAT, 244);
  }
  function timerMotor(p, flow, stretch, across, straight) {
    const { contacts, volts } = stretch;
    const direct = flow.timer_direct;
    const through = most(direct, flow.timer_across);
    const runs = on(stretch, "TIMER_MOTOR");
    const middle = (A + across) / 2;
    p.wire(direct, [HEAT, TOP], [TIMER, TOP], [TIMER, 86]);
    p.contact(TIMER, 86, TIMER, 110, contacts.timer_direct, direct);
    p.named(TIMER + 17, 94, "direct", contacts.timer_direct, "start");
    p.wire(direct, [TIMER, 110], [TIMER, A]);
    p.wire(through, [TIMER, A], [TIMER, across]);
    p.arrow(through, TIMER, middle + 30);
    p.load(TIMER, middle - 20, 104, 40, "timer motor", `${say.volts(volts.timer)}, ${runs ? "runs" : "still"}`, runs);
    // The same cam joins or parts both ends of the motor.
    p.wire(direct, [TIMER, across], [TIMER, across + 22]);
    p.contact(TIMER, across + 22, TIMER, across + 46, contacts.timer_direct, direct);
    p.wire(direct, [TIMER, across + 46], [TIMER, 446], [HEAT, 446]);
    p.arrow(direct, TIMER, 430);
    if (straight) return;
    const joined = contacts.automatic && !contacts.timer_direct;
    for (const y of [A, across]) {
      const [near, far] = [HEAT + 34, HEAT + 60];
      p.wire(flow.timer_across, [HEAT, y], [near, y]);
      p.contact(near, y, far, y, joined, flow.timer_across);
      p.wire(flow.timer_across, [far, y], [TIMER, y]);
      p.joint(TIMER, y);
      p.joint(HEAT, y);
    }
    p.arrow(flow.timer_across, HEAT + 20, A, "right");
    p.arrow(flow.timer_across, HEAT + 88, across, "left");
    p.text(HEAT + 70, A - 18, joined ? "auto" : "auto: OPEN", "state", "middle");
  }
  function burner(p, flow, stretch, top) {
    const { contacts, loads, volts } = stretch;
    const [left, right, low] = [104, 292, 446];
    const fed = most(flow.flame_sensor, flow.main_coil);
    p.joint(HEAT, top);
    p.wire(flow.holding, [HEAT, top], [left, top], [left, low], [HEAT, low]);
    p.arrow(flow.holding, left, 366);
    p.load(left, 392, 96, 38, "holding coil", say.volts(volts.burner), loads.holding);
    p.wire(flow.flame_sensor, [HEAT, top], [HEAT, 322]);
    p.contact(HEAT, 322, HEAT, 348, contacts.flame_sensor, flow.flame_sensor);
    p.named(HEAT - 12, 332, "flame sensor", contacts.flame_sensor);
    p.wire(flow.flame_sensor, [HEAT, 348], [HEAT, 370]);
    p.wire(flow.main_coil, [HEAT, top], [right, top], [right, 370], [HEAT, 370]);
    p.load(right, 318, 74, 38, "main coil", say.volts(volts.main_coil), loads.main_coil);
    p.joint(HEAT, 370);
    p.wire(flow.igniter, [HEAT, 370], [HEAT, low]);
    p.wire(flow.assist, [HEAT, 370], [right, 370], [right, low], [HEAT, low]);
    p.arrow(fed, HEAT, 382);
    p.load(HEAT, 392, 64, 38, "igniter", say.volts(volts.lower), on(stretch, "IGNITER"));
    p.load(right, 392, 74, 38, "assist coil", say.volts(volts.lower), loads.assist);
    p.joint(HEAT, low);
  }
  function back(p, flow, contacts) {
    p.wire(flow.heat_return, [HEAT, 446], [HEAT, 462]);
    p.contact(HEAT, 462, HEAT, 488, contacts.centrifugal, flow.heat_return);
    p.named(HEAT - 12, 471, "motor's contact", contacts.centrifugal);
    p.wire(flow.heat_return, [HEAT, 488], [HEAT, 506]);
    p.joint(HEAT, 506);
    p.wire(flow.line, [HEAT, 506], [HEAT, 520]);
    p.contact(HEAT, 520, HEAT, 546, contacts.door, flow.line);
    p.named(HEAT - 12, 529, "door", contacts.door);
    p.wire(flow.line, [HEAT, 546], [HEAT, 562]);
    p.arrow(flow.line, HEAT, 558);
    p.text(HEAT, 582, "neutral", "bold", "middle");
  }
  function gas(p, stretch) {
    const lit = on(stretch, "FLAME");
    const valves = on(stretch, "GAS") ? "valves: both open" : on(stretch, "FIRST_VALVE") ? "valves: first open" : "valves: shut";
    p.load(308, 488, 176, 44, lit ? "FLAME LIT" : "no flame", `gas ${valves}`, lit);
  }
  function told(cycle, stretch) {
    const works = [["motor", "drive motor"], ["timer_motor", "timer motor"], ["igniter", "igniter"], ["holding", "holding coil"], ["assist", "assist coil"], ["main_coil", "main coil"]];
    const fed = works.filter(([name]) => stretch.loads[name]).map(([, words]) => words);
    const open = [["timer_heat", "timer's heat contact"], ["exhaust_thermostat", "exhaust thermostat"], ["high_limit", "high limit"], ["thermal_cutoff", "thermal cut-off"], ["flame_sensor", "flame sensor"]]
      .filter(([name]) => !stretch.contacts[name]).map(([, words]) => words);
    return `Circuit. Enough voltage: ${fed.join(", ") || "nothing"}. Open: ${open.join(", ") || "none"}.`;
  }
  return { draw, flowsOf };
})();
