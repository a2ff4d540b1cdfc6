"use strict";
(() => {
  // On a phone every part is folded behind its sentence and lists show their first rows; without
  // this script all is open, and on paper always.
  const NARROW = 760; // px, as in the style sheets
  const FIRST = 5; // rows of a list
  const parts = [...document.querySelectorAll("details.part")];

  const resize = (part) => {
    for (const place of part.querySelectorAll(".js-plotly-plot")) Plotly.Plots.resize(place);
  };
  for (const part of parts) part.addEventListener("toggle", () => part.open && resize(part));

  const shorten = (list) => {
    const rows = list.querySelectorAll("tbody tr");
    if (rows.length <= FIRST) return;
    list.classList.add("short");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = `Show all ${rows.length}`;
    button.addEventListener("click", () => {
      list.classList.remove("short");
      button.remove();
    });
    list.append(button);
  };

  if (innerWidth <= NARROW) {
    for (const part of parts) part.open = false;
    document.querySelectorAll(".list").forEach(shorten);
  }
  let folded = [];
  addEventListener("beforeprint", () => {
    folded = parts.filter((part) => !part.open);
    for (const part of folded) part.open = true;
  });
  addEventListener("afterprint", () => {
    for (const part of folded) part.open = false;
  });
})();
