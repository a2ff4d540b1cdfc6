"use strict";
(() => {
  const PRINT_WIDTH = 672; // px of A4 between its margins, at 96 px an inch
  const printWidth = (place) =>
    PRINT_WIDTH * (place.closest(".slots, .band") ? 0.475 : 0.455);
  const PRINT_HEIGHTS = { ".band": 160, ".slots": 390 }; // px at most, so that two cases stand on a page
  const config = { displayModeBar: false, responsive: true, doubleClick: false, showTips: false };
  const waiting = new Set(document.querySelectorAll("[data-figure]"));

  const draw = (place) => {
    if (!waiting.delete(place)) return;
    const spec = JSON.parse(document.getElementById(place.dataset.figure).textContent);
    Plotly.newPlot(place, spec.data, spec.layout, config);
  };

  const watch = new IntersectionObserver((entries) => {
    for (const entry of entries) if (entry.isIntersecting) draw(entry.target);
  }, { rootMargin: "800px 0px" });
  for (const place of waiting) watch.observe(place);

  // What is far below is drawn one by one while nobody waits, so that a picture of the whole page,
  // or a jump to its end, finds every figure in its place.
  const idly = window.requestIdleCallback || ((work) => setTimeout(work, 50));
  const drawNext = () => {
    const [place] = waiting;
    if (!place) return;
    draw(place);
    idly(drawNext);
  };
  idly(drawNext);

  const resize = (width) => {
    for (const place of document.querySelectorAll("[data-figure]")) {
      draw(place);
      const size = width ? { width: width(place) } : { width: null, autosize: true };
      for (const [part, most] of Object.entries(PRINT_HEIGHTS)) {
        if (!place.closest(part)) continue;
        place.dataset.height ||= place.style.height;
        const own = parseInt(place.dataset.height, 10);
        size.height = width ? Math.min(own, most) : own;
        place.style.height = `${size.height}px`;
      }
      Plotly.relayout(place, size);
    }
  };
  // A figure that was drawn while folded away takes its width when it is unfolded.
  for (const fold of document.querySelectorAll("details.quiet")) {
    fold.addEventListener("toggle", () => {
      if (!fold.open) return;
      for (const place of fold.querySelectorAll("[data-figure]")) {
        draw(place);
        Plotly.Plots.resize(place);
      }
    });
  }
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
