"use strict";
// Draws every figure of the page by itself and leaves it as text, for the one who reads the page.
(async () => {
  const { form, ink, paper, width, scale } = document.body.dataset;
  for (const block of document.querySelectorAll("[data-spec]")) {
    const { data, layout } = JSON.parse(block.textContent);
    data.forEach((trace, number) => { trace.uid = `${number}`.padStart(6, "0"); });
    layout.font.color = ink;
    layout.paper_bgcolor = paper;
    layout.width = Number(width);
    const picture = await Plotly.toImage(
      { data, layout },
      { format: form, width: layout.width, height: layout.height, scale: Number(scale) },
    );
    const drawn = document.createElement("output");
    drawn.dataset.drawn = block.dataset.spec;
    drawn.textContent = picture;
    document.body.append(drawn);
  }
})();
