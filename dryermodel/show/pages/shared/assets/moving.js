"use strict";
// What a slider and what a fault move of the numbers that the engine takes.
const moving = (() => {
  // Parameters with settings changed; what is not changed stays as its scenario has it, to the last bit.
  function settled(machine, values, damp) {
    const p = { ...machine.parameters };
    const value = (key) => values[key] ?? machine.values[key];
    const moved = (...keys) => keys.some((key) => value(key) !== machine.values[key]);
    if (moved("load.dry_mass")) p.dry_mass = value("load.dry_mass");
    if (moved("load.initial_moisture")) {
      const wetter = value("load.initial_moisture") - machine.values["load.initial_moisture"];
      p.piece_moisture = p.piece_moisture.map((x, i) => (p.piece_share[i] > 0 ? Math.max(x + wetter, damp) : x));
    }
    if (moved("room.temperature", "room.relative_humidity")) {
      p.room_temp = value("room.temperature");
      p.room_humidity_ratio = dryerLibrary.humidity_ratio_from_rh(p.room_temp, value("room.relative_humidity"), p.pressure);
      if (!machine.ownLoadTemperature) p.load_temp = p.room_temp;
    }
    if (moved("vent.length")) p.vent_length = value("vent.length");
    if (moved("vent.elbows")) p.vent_minor_loss = value("vent.elbows") * machine.elbowLoss + machine.hoodLoss;
    return p;
  }
  const rules = {
    multiplies: (p, much, move) => ({ [move.fields[0]]: p[move.fields[0]] * much }),
    adds: (p, much, move) => Object.fromEntries(move.fields.map((field) => [field, p[field] + move.sign * much])),
    sets: (p, much, move) => move.values,
    follows: (p, much, move) => dryerLibrary[move.rule](p, much),
  };
  // `move`: how a fault acts, as the page's data has it; `much`: its own amount in SI.
  const moved = (p, move, much) => ({ ...p, ...rules[move.how](p, much, move) });
  return { settled, moved };
})();
