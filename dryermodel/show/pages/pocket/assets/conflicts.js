"use strict";
// What cannot all be so: answers that contradict each other, and readings this machine cannot give; as the command
// line finds them, from the same tables.
const conflicts = (() => {
  const asked = pocket.data.questions;
  const rules = asked.contradictions;
  const { machine } = suspects.bank;
  const SURE = rules.sure;
  const said = (value, unit) => `${pocket.digits(pocket.inUnit(value, unit), 3)} ${unit.label}`.trimEnd();
  const told = (one) => `${one.name} ${said(one.value, one.test.trade)}`;
  const above = (low, high) => low.value - high.value > SURE * Math.hypot(low.accuracy, high.accuracy);
  const word = (yes) => (yes ? "yes" : "no");

  function twice({ measured }) {
    return measured.flatMap((one, i) => measured.slice(0, i)
      .filter((other) => other.name === one.name && other.number === one.number && (above(one, other) || above(other, one)))
      .map((other) => [`${one.name} is ${said(other.value, one.test.trade)} and ${said(one.value, one.test.trade)}: too far apart for one thing; keep the one you trust`, one.name]));
  }
  function order({ of }) {
    return rules.order.flatMap(([low, high, why]) => of(low).flatMap((one) => of(high).filter((other) => above(one, other))
      .map((other) => [`${told(one)} is above ${told(other)}: ${why}`, low])));
  }
  function moisture({ of }) {
    return of("dry weight").flatMap((dry) => [["start weight", "start moisture"], ["end weight", "final moisture"]].flatMap(([weight, water]) =>
      of(weight).flatMap((wet) => of(water).filter((one) => {
        const spread = Math.hypot(wet.accuracy / dry.value, (wet.value * dry.accuracy) / dry.value ** 2);
        return Math.abs(wet.value / dry.value - 1 - one.value) > SURE * Math.hypot(spread, one.accuracy);
      }).map((one) => [`${told(one)}, but ${told(wet)} over ${told(dry)} is ${said(wet.value / dry.value - 1, rules.units.fraction)} of water`, one.name]))));
  }
  function without({ of, answers }) {
    return rules.without.filter(([, needed]) => answers.get(needed) === false).flatMap(([names, needed]) =>
      names.flatMap(of).filter((one) => one.value > SURE * one.accuracy).map((one) => [`${told(one)}, but '${needed}' is answered no`, one.name]));
  }
  function returns({ of, answers }) {
    const answer = answers.get("flame returns");
    return of("burner cycles").filter((one) => answer !== undefined && answer !== one.value > 1.5 && Math.abs(one.value - 1.5) > 2 * one.accuracy)
      .map((one) => [`${told(one)}, but 'flame returns' is answered ${word(answer)}`, one.name]);
  }
  function answered({ answers }) {
    return [
      ...rules.needs.filter(([one, needed]) => answers.get(one) && answers.get(needed) === false).map(([one, needed]) => [`'${one}' is answered yes, but '${needed}' no`, one]),
      ...rules.notBoth.filter(([one, other]) => answers.get(one) && answers.get(other)).map(([one, other]) => [`'${one}' and '${other}' cannot both be so`, one]),
    ];
  }

  // What this machine cannot show, whatever is wrong with it ------------------------------------------
  function noGas({ measured, seen }) {
    if (!machine.electric) return [];
    return [...measured.filter((one) => one.test.gasOnly).map((one) => [`${told(one)}: this machine heats with electricity`, one.name]),
      ...seen.filter(({ test }) => test.gasOnly).map(({ test }) => [`${test.name}: this machine heats with electricity; leave it out`, test.name])];
  }
  const most = (known, name, limit, words) => known.of(name).filter((one) => one.value - SURE * one.accuracy > limit * rules.spare).map((one) => [`${told(one)}: ${words}`, name]);
  const pressure = (known) => most(known, "vent static", machine.deadHead, `this machine's blower builds ${said(machine.deadHead, rules.units.pressure)} against a shut vent (air.fan_dead_head); look at the manometer's zero and scale`);
  const flow = (known) => most(known, "exhaust flow", machine.freeDelivery, `this machine's blower moves ${said(machine.freeDelivery, rules.units.flow)} with nothing in its way (air.fan_free_delivery); look at the area the speed was taken over`);
  function input({ of }) {
    return of("gas input").filter((one) => one.value > rules.plateTimes * machine.firingRate).map((one) => [
      `${told(one)} is ${pocket.fixed(one.value / machine.firingRate, 1)} times the plate's ${said(machine.firingRate, rules.units.power)}: no orifice or gas does that; look at the size of the dial, and for other appliances burning`, one.name]);
  }
  function cold({ of, answers }) {
    const [measured] = of("room temperature");
    const room = measured ? measured.value : machine.roomTemp;
    const by = measured ? "" : " by the scenario";
    const dark = answers.get("flame seen") === false || answers.get("igniter glows") === false || of("burner cycles").some((one) => one.value < 0.5);
    return rules.exhaust.flatMap(of).flatMap((one) => {
      const unlit = dark || one.number === "heat_off_exhaust_temp";
      if (one.value + SURE * one.accuracy >= (unlit ? wetBulb(room, of) : room)) return [];
      const why = unlit ? `colder than wet cloth gets in a room of ${said(room, rules.units.temperature)}${by}`
        : `colder than the room, ${said(room, rules.units.temperature)}${by}, which cannot be while the burner works; if it never lit, answer 'flame seen' with no`;
      return [[`${told(one)}: ${why}`, one.name]];
    });
  }
  function wetBulb(room, of) {
    const [measured] = of("room humidity");
    const humidity = measured ? measured.value - SURE * measured.accuracy : 0.5 * machine.humidity;
    return dryerLibrary.wet_bulb(room, dryerLibrary.humidity_ratio_from_rh(room, Math.max(humidity, 0), machine.pressure), machine.pressure);
  }
  function advance({ measured }) {
    return measured.filter((one) => one.number.startsWith("dial ")).filter((one) => {
      const [start, end] = one.number.match(/\d+/g).map((minute) => 60 * Number(minute));
      return one.value - SURE * one.accuracy > end - start;
    }).map((one) => [`${told(one)}: the dial turns no faster than the clock`, one.name]);
  }
  const CHECKS = [noGas, pressure, flow, input, cold, advance, twice, order, moisture, without, returns, answered];
  // `measured`, `seen`: as `suspects.evidenceOf` takes them, none put together. Texts that begin with a name.
  function found(measured, seen) {
    const known = { measured, seen, of: (name) => measured.filter((one) => one.name === name), answers: new Map(seen.map(({ test, yes }) => [test.name, yes])) };
    return CHECKS.flatMap((check) => check(known)).map(([text, name]) => (text.startsWith(name) ? text : `${name}: ${text}`));
  }
  return { found };
})();
