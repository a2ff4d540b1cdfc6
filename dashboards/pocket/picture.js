// The class's healthy band over the load, with this reading on it, as an SVG drawn here.

const SVG = "http://www.w3.org/2000/svg";
const STEP = 0.0125; // of the load axis [1]; chosen: finer than a pixel of a phone matters
const BAND_MIDDLES = [0.05, 0.15, 0.3, 0.5, 0.7, 0.9, 1.1]; // of the load bands [1]; macro load_band
const LEAST_END = 1.2; // end of the load axis [1]; chosen: a fifth above rating

function shape(parent, name, attributes, text = "") {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.textContent = text;
  parent.append(made);
  return made;
}

// query marts.quarter_case_band: limits straight between the middles of the load bands, those of the
// reading's own band at the reading, so that no step shows and the reading's own limits are the judged
function cellAt(cells, nodes, load) {
  const next = nodes.findIndex((node) => node >= load);
  const after = next < 0 ? nodes.length - 1 : next;
  const before = next < 0 ? after : Math.max(next - 1, 0);
  const way = after === before ? 0 : clamped((load - nodes[before]) / (nodes[after] - nodes[before]), 0, 1);
  return cells[before].map((value, k) => value + way * (cells[after][k] - value));
}

// the healthy band from no load to the end of the axis
function bandPoints(data, reading, end) {
  const { cells } = groupOf(data, "face", reading);
  const own = isKnown(reading.load) ? loadBand(reading.load) - 1 : -1;
  const nodes = BAND_MIDDLES.map((middle, i) => (i === own ? reading.load : middle));
  const count = Math.round(end / STEP);
  return Array.from({ length: count + 1 }, (_, i) => {
    const load = i * STEP;
    return { load, ...bandOf(laid(data, "face", reading, 0, load, cellAt(cells, nodes, load))) };
  });
}

// how the reading itself would go on over the load, as projected
function ownPoints(data, found, end) {
  const { reading } = found;
  if (!(reading.load >= LEAST_PROJECTED) || !isKnown(found.expectedK)) return [];
  const face = laid(data, "face", reading, reading.riseK, reading.load);
  const own = found.liftK + face.loadRiseK;
  const still = found.expectedK - face.loadRiseK;
  const from = Math.min(reading.load, 0.8);
  const loads = Array.from({ length: 33 }, (_, i) => from + (Math.max(1, reading.load) - from) * i / 32);
  return loads.filter((load) => load <= end).map((load) => ({
    load, riseK: projectedK(still, own, reading.load, face.exponent, load),
  }));
}

// a step of 1, 2, 5 × 10^k that parts a length into about `count` pieces
function niceStep(length, count) {
  const rough = length / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 5, 10].map((f) => f * power).find((step) => step >= rough);
}

function scalesOf(points, found, width, height, factor) {
  const { reading } = found;
  const tops = points.filter((p) => p.load <= 1.0001).map((p) => p.upperK);
  const own = [reading.riseK, found.at100.at, found.at80.at].filter((v) => isKnown(v));
  const high = Math.max(...tops, ...own) * factor * 1.08;
  const coolest = Math.min(0, ...points.map((p) => p.lowerK * factor), reading.riseK * factor);
  const low = Math.max(coolest, -high / 4) - 0.5;
  const end = points[points.length - 1].load;
  const frame = { left: 48, right: width - 10, top: 26, bottom: height - 40 };
  return {
    frame, low, high, end,
    x: (load) => frame.left + (frame.right - frame.left) * load / end,
    y: (k) => frame.bottom - (frame.bottom - frame.top) * (k * factor - low) / (high - low),
  };
}

const pathOf = (points, x, y) =>
  points.map((p, i) => `${i ? "L" : "M"}${x(p).toFixed(1)} ${y(p).toFixed(1)}`).join("");

function drawAxes(svg, s, factor, symbol) {
  const step = niceStep(s.high - s.low, 5);
  for (let v = Math.ceil(s.low / step) * step; v <= s.high; v += step) {
    const y = s.y(v / factor);
    shape(svg, "line", { class: "grid", x1: s.frame.left, x2: s.frame.right, y1: y, y2: y });
    shape(svg, "text", { class: "tick", x: s.frame.left - 15, y: y + 4, "text-anchor": "end" },
      String(Math.round(v)).replace("-", "−"));
  }
  for (let load = 0; load <= s.end + 1e-9; load += 0.2) {
    shape(svg, "text", { class: "tick", x: s.x(load), y: s.frame.bottom + 17, "text-anchor": "middle" },
      String(Math.round(100 * load)));
  }
  shape(svg, "text", { class: "axis", x: (s.frame.left + s.frame.right) / 2, y: s.frame.bottom + 34,
    "text-anchor": "middle" }, "load, % of rating");
  shape(svg, "text", { class: "axis", x: 2, y: 13 }, `rise of the face, ${symbol}`);
}

function drawLimits(svg, s, data) {
  const { loadContinuousShare, loadAnyShare } = data.policy;
  for (const [load, words, anchor, dx] of [
    [loadContinuousShare, "continuous limit", "end", -4], [loadAnyShare, "rating", "start", 4],
  ]) {
    shape(svg, "line", { class: "limit", x1: s.x(load), x2: s.x(load), y1: s.frame.top - 6, y2: s.frame.bottom });
    shape(svg, "text", { class: "tick", x: s.x(load) + dx, y: s.frame.top, "text-anchor": anchor }, words);
  }
}

function drawBand(svg, s, points) {
  const upper = pathOf(points, (p) => s.x(p.load), (p) => s.y(p.upperK));
  const lower = pathOf([...points].reverse(), (p) => s.x(p.load), (p) => s.y(p.lowerK));
  const inside = shape(svg, "g", { "clip-path": "url(#inside)" });
  shape(inside, "path", { class: "band", d: `${upper}${lower.replace("M", "L")}Z` });
  shape(inside, "path", { class: "expected", d: pathOf(points, (p) => s.x(p.load), (p) => s.y(p.expectedK)) });
}

function drawOwn(svg, s, data, found) {
  const points = ownPoints(data, found, s.end);
  if (!points.length) return;
  const inside = shape(svg, "g", { "clip-path": "url(#inside)" });
  shape(inside, "path", { class: "own", d: pathOf(points, (p) => s.x(p.load), (p) => s.y(p.riseK)) });
  for (const [load, projected] of [[0.8, found.at80], [1, found.at100]]) {
    if (Math.abs(found.reading.load - load) < 0.03) continue;
    shape(inside, "line", { class: "reach", x1: s.x(load), x2: s.x(load), y1: s.y(projected.low), y2: s.y(projected.high) });
    shape(inside, "circle", { class: "dot", cx: s.x(load), cy: s.y(projected.at), r: 3.5 });
  }
}

function drawReading(svg, s, found, mark, words) {
  const y = clamped(s.y(found.reading.riseK), s.frame.top, s.frame.bottom);
  if (!isKnown(found.reading.load)) {
    shape(svg, "line", { class: "level", x1: s.frame.left, x2: s.frame.right, y1: y, y2: y });
    shape(svg, "text", { class: "this", x: s.frame.left + 8, y: y - 8 }, `${words}, load not known`);
    return;
  }
  const x = s.x(found.reading.load);
  if (isKnown(found.expectedK)) {
    shape(svg, "line", { class: "lift", x1: x, x2: x, y1: y, y2: s.y(found.expectedK) });
  }
  const scale = 1.6;
  shape(svg, "path", { class: "halo", d: mark.path, transform: `translate(${x - 8 * scale} ${y - 8 * scale}) scale(${scale})` });
  shape(svg, "path", { class: "mark", d: mark.path, fill: mark.colour, "fill-rule": "evenodd",
    transform: `translate(${x - 8 * scale} ${y - 8 * scale}) scale(${scale})` });
  shape(svg, "text", { class: "this", ...besideMark(s, found, x, y, words) }, words);
}

// the words stand on the far side of the expected line, where neither band nor projection runs
function besideMark(s, found, x, y, words) {
  const width = 7.3 * words.length - 12; // of bold letters at 14 px, less what reaches over the mark
  const isAbove = !(found.liftK < 0) && y - s.frame.top > 26;
  const fitsLeft = x - width > s.frame.left;
  const isLeft = fitsLeft && (isAbove || x + width > s.frame.right);
  const start = Math.max(x - 12, s.frame.left + 2);
  return { x: isLeft ? x + 12 : start, y: y + (isAbove ? -17 : 28), "text-anchor": isLeft ? "end" : "start" };
}

// draw the picture into `place`; `shown` says how rises are written
function drawPicture(place, data, found, mark, shown) {
  place.replaceChildren();
  if (!groupOf(data, "face", found.reading)) return;
  const width = Math.max(280, place.clientWidth);
  const height = Math.round(clamped(width * 0.72, 230, 330));
  const end = Math.max(LEAST_END, Math.ceil(found.reading.load * 10 + 1) / 10 || 0);
  const points = bandPoints(data, found.reading, end);
  const s = scalesOf(points, found, width, height, shown.factor);
  const svg = shape(place, "svg", { viewBox: `0 0 ${width} ${height}`, width, height, "aria-hidden": "true" });
  const clip = shape(shape(svg, "defs", {}), "clipPath", { id: "inside" });
  shape(clip, "rect", { x: s.frame.left, y: s.frame.top, width: s.frame.right - s.frame.left, height: s.frame.bottom - s.frame.top });
  drawAxes(svg, s, shown.factor, shown.symbol);
  drawBand(svg, s, points);
  drawLimits(svg, s, data);
  drawOwn(svg, s, data, found);
  drawReading(svg, s, found, mark, `this one ${shown.text(found.reading.riseK)}`);
}

// what the picture shows, for those who cannot see it
function pictureSentence(data, found, shown) {
  const { reading } = found;
  const kind = data.classes[reading.deviceClass].word;
  if (!isKnown(found.expectedK)) {
    return `The healthy band of ${kind} devices over the load. This one rises ${shown.text(reading.riseK)}; its load is not known.`;
  }
  const [low, high] = [found.lowerK, found.upperK].map(shown.text);
  const where = reading.riseK > found.upperK ? "above" : reading.riseK < found.lowerK ? "below" : "inside";
  return `The healthy band of ${kind} devices over the load. At ${percentOf(reading.load)} % of rating it goes `
    + `from ${low} to ${high}; this one rises ${shown.text(reading.riseK)}, ${where} the band.`;
}
