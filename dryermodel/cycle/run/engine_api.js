function $checked(given) {
  for (const name of $PARAMETERS) {
    if (given[name] === undefined) throw new Error(`parameter ${name} is missing`);
  }
  for (const name of Object.keys(given)) {
    if (!$PARAMETERS.includes(name)) throw new Error(`parameter ${name} is not known`);
  }
  return new $Parameters(given);
}

function $run(given, interruptions, rows) {
  const planned = [...interruptions].sort((a, b) => a[0] - b[0]);  // stable: of one time, as given
  const when = Float64Array.from(planned, (pair) => pair[0]);
  const what = Int32Array.from(planned, (pair) => pair[1]);
  const out = new $Outcome();
  const tape = run_rows([$checked(given)], when, what, ...scratch(rows), [out]);
  return { out, tape };
}

function runCycle(parameters, interruptions = []) {
  const { out } = $run(parameters, interruptions, 0);
  return { ...out };
}

function recordCycle(parameters, interruptions = []) {
  const { out, tape } = $run(parameters, interruptions, 256);
  const used = tape.used[0];
  const columns = ["time", "state", "rate", "discrete", "cause"].map((name) => [name, tape[name].slice(0, used)]);
  return {
    outcome: { ...out },
    recording: Object.fromEntries(columns),
  };
}
