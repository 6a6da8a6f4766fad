"use strict";
// The pocket page at work: its data, what was entered, its worker, and what every part of it uses.
const pocket = {
  ...page,
  ...page.open({
    key: "dryer-pocket-1",
    fresh: (data) => ({ si: false, machine: data.machines[0].name, values: {}, fault: "", severity: 0.5, visit: {}, sums: {} }),
    scripts: ["engine", "library", "worker"],
    refused: "This browser keeps nothing for this file: save the visit before you close it.",
  }),
};
