"use strict";
// One part of the page at a time, the units, and the first drawing.
(() => {
  const { state } = pocket;
  const parts = [...document.querySelectorAll("main > section")];
  function open() {
    const wanted = parts.find((part) => `#${part.id}` === location.hash) ?? parts[0];
    for (const part of parts) part.hidden = part !== wanted;
    for (const link of document.querySelectorAll("nav a")) {
      if (link.hash === `#${wanted.id}`) link.setAttribute("aria-current", "page");
      else link.removeAttribute("aria-current");
    }
  }
  addEventListener("hashchange", () => { open(); scrollTo(0, 0); document.querySelector("main > section:not([hidden]) h2").focus(); });
  for (const choice of document.querySelectorAll("input[name=units]")) {
    choice.checked = (choice.value === "si") === state.si;
    choice.addEventListener("change", () => { state.si = choice.value === "si" && choice.checked; pocket.save(); pocket.redraw(); });
  }
  // What is folded away and has an answer in it is opened for paper, and folded again.
  let unfolded = [];
  addEventListener("beforeprint", () => {
    unfolded = [...document.querySelectorAll("details:not([open])")].filter((one) => one.querySelector(".reading:not(.blank)"));
    for (const one of unfolded) one.open = true;
  });
  addEventListener("afterprint", () => { for (const one of unfolded) one.open = false; });
  open();
  pocket.redraw();
})();
