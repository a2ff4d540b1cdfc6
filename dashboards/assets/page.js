"use strict";
(() => {
  const PRINT_WIDTH = 672; // px of A4 between its margins, at 96 px an inch
  const printWidth = (place) =>
    PRINT_WIDTH * (place.closest(".slots, .band") ? 0.475 : 0.455);
  const PRINT_HEIGHTS = { ".band": 156, ".slots": 350 }; // px at most, so that two cases stand on a page
  const PRINT_BAND = { "font.size": 9, "margin.t": 20, "margin.b": 36 }; // px, so that its curve is taller
  const PRINT_SHARE = 0.64; // of its height on a screen that any other figure has on paper
  const FRAME = 62; // px of a figure that its axis and margins need
  const spec = (place) => document.getElementById(place.dataset.figure).textContent;
  const printHeight = (place, own) => {
    const [, most] = Object.entries(PRINT_HEIGHTS).find(([part]) => place.closest(part)) || [];
    if (most) return Math.min(own, most);
    const hasTwoLines = spec(place).includes("\\u003cbr\\u003e"); // names that need all of their row
    return hasTwoLines ? own : Math.round(FRAME + PRINT_SHARE * (own - FRAME));
  };
  const config = { displayModeBar: false, responsive: true, doubleClick: false, showTips: false };
  const waiting = new Set(document.querySelectorAll("[data-figure]"));

  const draw = (place) => {
    if (!waiting.delete(place)) return;
    const { data, layout } = JSON.parse(spec(place));
    Plotly.newPlot(place, data, layout, config);
  };

  const watch = new IntersectionObserver((entries) => {
    for (const entry of entries) if (entry.isIntersecting) draw(entry.target);
  }, { rootMargin: "800px 0px" });
  for (const place of waiting) watch.observe(place);

  // What is far below is drawn as soon as nobody waits, so that a picture of the whole page, or a
  // search in it, finds every figure in its place. A browser that is busy, or shows another page,
  // may never be idle: after PATIENCE the next figure is drawn all the same, one at a time.
  const PATIENCE = 120; // ms
  const idly = window.requestIdleCallback
    ? (work) => requestIdleCallback(work, { timeout: PATIENCE })
    : (work) => setTimeout(work, 20);
  const drawNext = (deadline) => {
    do {
      const [place] = waiting;
      if (!place) return;
      draw(place);
    } while (deadline && deadline.timeRemaining() > 15);
    idly(drawNext);
  };
  idly(drawNext);

  // On a narrow screen what is long is folded behind its words; without this script, on a wide
  // screen and on paper it lies open.
  const narrow = matchMedia("(max-width: 600px)");
  const fold = (part) => {
    const folded = document.createElement("details");
    const words = document.createElement("summary");
    folded.className = "fold";
    words.textContent = part.dataset.fold;
    folded.append(words, ...part.childNodes);
    part.append(folded);
  };
  const unfold = (part) => {
    const folded = part.querySelector(":scope > .fold");
    if (!folded) return;
    folded.firstChild.remove();
    folded.replaceWith(...folded.childNodes);
  };
  const arrange = (isNarrow) => {
    for (const part of document.querySelectorAll("[data-fold]")) {
      unfold(part);
      if (isNarrow) fold(part);
    }
  };
  arrange(narrow.matches);
  narrow.addEventListener("change", () => arrange(narrow.matches));
  addEventListener("beforeprint", () => arrange(false));
  addEventListener("afterprint", () => arrange(narrow.matches));

  // A table with more columns than there is room for says so.
  const hint = () => {
    for (const table of document.querySelectorAll(".scroll")) {
      table.classList.toggle("wide", table.scrollWidth > table.clientWidth + 1);
    }
  };
  addEventListener("resize", hint);
  document.addEventListener("toggle", hint, true);
  hint();

  const resize = (width) => {
    for (const place of document.querySelectorAll("[data-figure]")) {
      draw(place);
      const size = width ? { width: width(place) } : { width: null, autosize: true };
      place.dataset.height ||= place.style.height;
      const own = parseInt(place.dataset.height, 10);
      size.height = width ? printHeight(place, own) : own;
      place.style.height = `${size.height}px`;
      if (place.closest(".band")) {
        Object.assign(size, width ? PRINT_BAND : { "font.size": 12, "margin.t": 24, "margin.b": 48 });
      }
      Plotly.relayout(place, size);
    }
  };
  // A figure that was drawn while folded away takes its width when it is unfolded.
  document.addEventListener("toggle", ({ target }) => {
    if (!target.open || !target.matches(".quiet, .fold")) return;
    for (const place of target.querySelectorAll("[data-figure]")) {
      draw(place);
      Plotly.Plots.resize(place);
    }
  }, true);
  // Where the style sheet cannot show the folded work lists on paper, unfolding them does.
  const folded = () => document.querySelectorAll("details.work:not([open])");
  let opened = [];
  addEventListener("beforeprint", () => {
    opened = [...folded()];
    for (const fold of opened) fold.open = true;
    resize(printWidth);
  });
  addEventListener("afterprint", () => {
    for (const fold of opened) fold.open = false;
    resize(null);
  });
})();
