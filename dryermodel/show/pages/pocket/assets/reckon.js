"use strict";
// The bench sums: translated relations put together as the command line puts them, with the rules beside the answer.
const reckon = (() => {
  const { sums, numbers: N } = pocket.data.sums;
  const L = dryerLibrary;
  function sum(name) {
    const known = sums[name];
    const made = { name, title: known.title, rows: [], verdicts: [], rules: [], cautions: known.cautions };
    return {
      made,
      row(key, value, words) { made.rows.push({ ...(known.rows[key] ?? {}), ...words, key, value }); },
      rule(start) {
        const found = known.rules.find((rule) => rule.text.startsWith(start));
        if (!found) throw new Error(`no rule '${start}' of ${name}`);
        made.rules.push(found);
      },
      result(text) { made.verdicts.push(text); },
    };
  }
  const percent = (share, decimals) => `${pocket.fixed(Math.abs(share) * 100, decimals)} %`;
  const deviation = (measured, reference) => L.relative_deviation(measured, reference);

  // dial [m3], seconds, turns, heatingValue [J/m3], factor, propane; plate [W] and elevation [m] if given.
  function gasClock({ dial, seconds, turns, gas, heatingValue, temperature, pressure, elevation, plate }) {
    const propane = gas === "propane";
    const corrected = temperature !== undefined || pressure !== undefined || elevation !== undefined;
    const usual = { temperature: 288.7055555555556, pressure: (propane ? 11 : 7) * 249.08891 };
    const factor = corrected ? L.volume_factor(temperature ?? usual.temperature, pressure ?? usual.pressure, elevation ?? 0) : 1;
    const heat = heatingValue ?? N.gases[gas].heatingValue;
    const rate = L.clocked_rate({ dial, seconds, turns, heating_value: heat, volume_factor: factor });
    const s = sum("gas-clock");
    s.row("firing_rate", rate);
    s.row("gas_flow", rate / heat);
    s.row("heating_value", heat);
    s.row("reading_error", (rate * N.readingError) / seconds);
    s.rule("3600 / seconds");
    if (factor !== 1) {
      s.row("volume_factor", factor);
      s.rule("ideal gas to 60");
    }
    if (plate !== undefined) {
      const high = elevation ?? 0;
      const allowed = plate * L.altitude_rule_factor(high);
      const away = deviation(rate, allowed);
      s.row("plate", plate);
      if (allowed < plate) s.row("plate_derated", allowed);
      s.row("difference", rate - allowed);
      s.row("deviation", away);
      let verdict = "within 5 % of the plate";
      if (Math.abs(away) > N.plateTolerance + 1e-12) verdict = `${percent(away, 1)} ${away > 0 ? (propane ? N.overPropane : N.over) : N.under}`;
      if (allowed < plate && away > N.plateTolerance) verdict += "; or the sea-level orifice was never changed";
      s.result(verdict);
      s.rule("within 5 % of the rating plate");
      if (high > N.ruleFrom) s.rule("4 % per 1000 ft");
    }
    if (N.readingError / seconds > N.plateTolerance) s.result("one second of reading error is more than 5 %: time more turns");
    return s.made;
  }
  function supplyOf({ gas, pressure, heatingValue, gravity, discharge }) {
    const usual = N.gases[gas];
    return {
      pressure: pressure ?? (gas === "propane" ? 10 : 3.5) * 249.08891,
      heating_value: heatingValue ?? usual.heatingValue,
      specific_gravity: gravity ?? usual.gravity,
      discharge: discharge ?? 0.9,
    };
  }
  function supplyRows(s, supply) {
    s.row("pressure", supply.pressure);
    s.row("heating_value", supply.heating_value);
    s.row("specific_gravity", supply.specific_gravity);
  }
  function orifice(given) {
    const supply = supplyOf(given);
    if (given.rate !== undefined) return orificeFor(given.rate, supply);
    const diameter = given.drill !== undefined ? L.drill_diameter(given.drill) : given.diameter;
    const rate = L.orifice_rate(diameter, supply);
    const s = sum("orifice");
    if (given.drill !== undefined) s.row("drill", given.drill);
    s.row("diameter", diameter);
    supplyRows(s, supply);
    s.row("gas_flow", rate / supply.heating_value);
    s.row("firing_rate", rate);
    s.rule("Q[ft3/h]");
    if (given.drill !== undefined) s.rule("number drill sizes");
    return s.made;
  }
  function orificeFor(rate, supply) {
    const diameter = L.orifice_diameter(rate, supply);
    const nearest = L.nearest_drill(diameter);
    const s = sum("orifice-for");
    s.row("firing_rate", rate);
    supplyRows(s, supply);
    s.row("diameter", diameter);
    s.row("drill", nearest);
    const shown = Object.values(sums["orifice-for"].rows).find((row) => row.label.startsWith("drill no."));
    for (const drill of [nearest - 1, nearest, nearest + 1].filter((n) => n >= 1 && n <= 80)) {
      const size = L.drill_diameter(drill);
      s.row(`rate_drill_${drill}`, L.orifice_rate(size, supply), { ...shown, label: `drill no. ${drill}, ${pocket.fixed(size / 0.0254, 4)} in, passes` });
    }
    const found = deviation(L.orifice_rate(L.drill_diameter(nearest), supply), rate);
    s.result(`drill no. ${nearest} passes ${percent(found, 1)} ${found > 0 ? "more" : "less"}${Math.abs(found) > N.plateTolerance ? ": no number drill is within 5 %" : ""}`);
    s.rule("Q[ft3/h]");
    s.rule("number drill sizes");
    return s.made;
  }
  function altitude(given) {
    const { elevation, rated } = given;
    const allowed = rated * L.altitude_rule_factor(elevation);
    const physical = L.unadjusted_rate(rated, elevation);
    const diameter = L.orifice_diameter(rated, supplyOf(given));
    const suggested = L.altitude_orifice(diameter, elevation);
    let drill = 1;
    while (drill <= 80 && !(L.drill_diameter(drill) <= suggested * (1 + 1e-9))) drill += 1;
    const s = sum("altitude");
    s.row("elevation", elevation);
    s.row("rated", rated);
    s.row("code_rule_input", allowed);
    s.row("unadjusted_input", physical);
    s.row("sea_level_orifice", diameter);
    s.row("suggested_orifice", suggested);
    s.row("suggested_drill", drill <= 80 ? drill : "none");
    const over = allowed > 0 ? deviation(physical, allowed) : Infinity;
    s.result(elevation > N.ruleFrom ? `unadjusted, the burner fires ${pocket.fixed(over * 100, 0)} % above what the rule allows` : "the rule asks for no change at this elevation");
    s.result("the rule checks an installation, the physical input is what burns: they are different things");
    for (const start of ["4 % per 1000 ft", "unadjusted orifice", "Q[ft3/h]"]) s.rule(start);
    return s.made;
  }
  // wet and dry [kg]; with `conditioned` the dry weight is one at rest in room air, with its regain [kg/kg].
  function moisture({ wet, dry, conditioned, regain, cotton, temperature, humidity }) {
    const resting = conditioned !== undefined;
    const assumed = resting && regain === undefined;
    const held = !resting ? undefined : regain ?? L.regain_in_room(cotton ?? 0.5, humidity ?? 0.5, temperature ?? 297.0388888888889);
    const own = resting ? conditioned : dry;
    const bone = resting ? L.bone_dry_mass(own, held) : own;
    if (wet < bone) throw new Error("the wet load weighs less than the dry one");
    const remaining = L.remaining_moisture(wet, bone);
    const s = sum("moisture");
    s.row("wet", wet);
    if (resting) {
      s.row("conditioned", own);
      s.row("regain", held);
    }
    s.row("bone_dry", bone);
    s.row("water", wet - bone);
    s.row("remaining_moisture", remaining);
    s.row("healthy_spin", "50 to 70 % (common practice)");
    s.rule("remaining moisture =");
    s.rule("50 to 70 % after");
    s.rule("the US energy test");
    if (resting) {
      s.rule("bone dry = weight");
      s.rule(assumed ? "regain by the cotton isotherm" : "regain as given");
      s.rule("within 1 % of the regain");
    } else if (remaining > N.dry && remaining <= N.cottonAtRest) s.rule("cotton at rest");
    if (remaining >= N.fastSpin && remaining < N.healthySpin[0]) s.rule("a fast-spinning washer");
    s.result(moistureVerdict(remaining, held));
    return s.made;
  }
  function moistureVerdict(remaining, regain) {
    const [low, high] = N.healthySpin;
    if (regain !== undefined && remaining <= regain + N.atRest) {
      return remaining < regain - N.atRest ? "dry: drier than the room air will keep it" : "dry: as dry as the room air keeps it";
    }
    if (remaining <= N.dry) return "dry";
    if (regain === undefined && remaining <= N.cottonAtRest) return "nearly dry: cotton at rest in room air holds as much";
    if (remaining < N.fastSpin) return "damper than dry, drier than a healthy spin leaves: part dried";
    if (remaining < low) return "drier than a healthy spin leaves: a fast-spinning washer, or part dried";
    if (remaining <= high) return "what a healthy spin leaves: the washer is fine";
    return "wetter than a healthy spin leaves: look at the washer's spin and drain; the dryer is fine so far";
  }
  // The machine's blower on a vent of straight duct [m] and fittings {kind: number}, of its own diameter.
  function vent({ machine, straight, fittings }) {
    const kinds = Object.keys(N.codeDeductions);
    const counts = Object.fromEntries(kinds.map((kind) => [kind, fittings[kind] ?? 0]));
    const p = { ...machine.parameters, vent_length: straight, vent_minor_loss: L.of_all(counts, N.fittingLosses) + machine.hoodLoss, vent_resistance_factor: 1 };
    const allowed = N.codeLimit - L.of_all(counts, N.codeDeductions);
    const collar = L.at_collar(p);
    const velocity = L.velocity_pressure(collar.duct_flow, p.vent_diameter, collar.density) * p.vent_resistance_factor;
    const per100 = L.duct_friction(collar.duct_flow, p.vent_diameter, N.hundredFeet, p.vent_roughness, collar.density) * p.vent_flex_factor;
    const back = p.vent_back_pressure + p.house_depressurisation;
    const s = sum("vent");
    s.row("straight", straight);
    s.row("fittings", kinds.filter((kind) => counts[kind]).map((kind) => `${pocket.digits(counts[kind], 6)} ${kind.replace(/_/g, " ")}`).join(", ") || "none");
    s.row("code_deduction", N.codeLimit - allowed);
    s.row("code_length", straight + (N.codeLimit - allowed));
    s.row("code_limit", N.codeLimit);
    s.row("code_spare", allowed - straight);
    s.row("flow", collar.flow);
    s.row("velocity", collar.duct_flow / L.duct_area(p.vent_diameter));
    s.row("velocity_pressure", velocity / p.vent_resistance_factor);
    s.row("friction_per_100ft", per100);
    s.row("friction", (per100 * p.vent_length) / N.hundredFeet);
    s.row("minor", p.vent_minor_loss * velocity);
    if (p.vent_open_area < 1) s.row("blockage", L.blockage_loss(p.vent_open_area) * velocity);
    if (back !== 0) s.row("back_pressure", back);
    s.row("static", collar.static);
    s.row("manual_limit", N.manualStatic);
    s.result(straight <= allowed + 1e-9 ? "within the code length" : "longer than the code length");
    const away = deviation(collar.static, N.manualStatic);
    s.result(`expected static is ${Math.abs(away) <= N.atLimit ? "at" : away > 0 ? "above" : "within"} the service-manual limit`);
    for (const start of ["35 ft less", "Darcy friction", "K of a mitred"]) s.rule(start);
    if (kinds.slice(2).some((kind) => counts[kind])) s.rule("K of radius");
    s.rule("blower and inner losses");
    s.rule("0.6 in w.c.");
    return s.made;
  }
  // exhaust [m3/s] with the room wide open, opening [m2], closet or not.
  function makeupAir({ machine, exhaust, opening, closet }) {
    const p = machine.parameters;
    const density = L.moist_density(p.room_temp, p.room_humidity_ratio, p.pressure);
    const open = L.at_collar(p).flow;
    const drop = (share) => L.opening_pressure(exhaust * share, opening, density);
    const falls = (share) => L.at_collar({ ...p, house_depressurisation: p.house_depressurisation + drop(share) }).flow / open;
    let [low, high] = [0, 1];
    if (falls(1) >= 1) low = 1;
    while (high - low > 1e-15 && (low + high) / 2 > low && (low + high) / 2 < high) {
      const middle = (low + high) / 2;
      if (falls(middle) > middle) low = middle;
      else high = middle;
    }
    const kept = (low + high) / 2;
    const s = sum("makeup-air");
    s.row("exhaust", exhaust);
    s.row("makeup_air_rule", N.makeupFlow);
    s.row("opening", opening);
    if (closet) s.row("closet_rule", N.closetOpening);
    s.row("exhaust_with_opening", exhaust * kept);
    s.row("pressure_drop", drop(kept));
    s.row("opening_for_5_pa", L.opening_area(exhaust, N.spillage, density));
    s.row("flow_open", open);
    s.row("flow_with_opening", open * kept);
    s.row("flow_loss", 1 - (open * kept) / open);
    s.result(`200 cfm rule: make-up air is ${exhaust > N.makeupFlow * (1 + 1e-9) ? "required" : "not required by it"}`);
    if (closet) s.result(`closet opening ${opening >= N.closetOpening * (1 - 1e-9) ? "meets" : "is below"} 100 in2`);
    if (drop(kept) > N.spillage) s.result("room pulled down by more than 5 Pa: enlarge the opening");
    s.rule("make-up air required");
    if (closet) s.rule("closet opening of");
    for (const start of ["orifice law", "the opening is", "5 Pa:", "blower and inner"]) s.rule(start);
    return s.made;
  }
  // So many significant digits, whole digits never rounded away, five decimals at most.
  function written(value, digits) {
    if (Math.abs(value) < 0.5e-5) return "0";
    const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))));
    return pocket.fixed(value, Math.min(decimals, 5));
  }
  function shown(row, si) {
    if (typeof row.value === "string") return row.value;
    const unit = si ? row.metric : row.trade;
    return `${written(pocket.inUnit(row.value, unit), row.digits)} ${unit.label}`.trimEnd();
  }
  return { gasClock, orifice, altitude, moisture, vent, makeupAir, shown };
})();
