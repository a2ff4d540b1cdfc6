// Face, termination and wire, those that were read, each on its own healthy band: one row a channel.

const CHANNEL_MARKS = {
  face: "M3.5 3.5h9v9h-9z", // the face of a breaker
  termination: "M8 2.5l6 10.5h-12z", // a wedge, as a clamp's jaw
  conductor: "M3.5 5.5h9a2.5 2.5 0 0 1 0 5h-9a2.5 2.5 0 0 1 0 -5z", // a piece of wire
};
const ROW = 38; // height of a row [px]
const NAME_WIDTH = 86; // room for “Termination” [px]

// the channels that were read; a band only where a current was clamped
function channelRows(data, found) {
  const { reading } = found;
  const rows = [["Face", "face", reading.riseK], ["Termination", "termination", reading.terminationRiseK],
    ["Wire", "conductor", reading.conductorRiseK]];
  return rows.filter(([, , riseK]) => isKnown(riseK)).map(([name, channel, riseK]) => {
    const row = isKnown(reading.load) ? laid(data, channel, reading, riseK, reading.load) : null;
    return { name, channel, riseK, band: row ? bandOf(row) : null };
  });
}

function channelScale(rows, width, factor) {
  const known = rows.flatMap(({ riseK, band }) => [riseK, ...(band ? [band.lowerK, band.upperK] : [])]);
  const high = Math.max(...known) * factor * 1.06;
  const low = Math.max(Math.min(0, ...known.map((k) => k * factor)), -high / 4) - 0.5;
  const [left, right] = [NAME_WIDTH, width - 12];
  return { low, high, left, right, x: (k) => clamped(left + (right - left) * (k * factor - low) / (high - low), left, right) };
}

function drawChannelAxis(svg, s, bottom, factor, symbol) {
  const step = niceStep(s.high - s.low, 5);
  for (let v = Math.ceil(s.low / step) * step; v <= s.high; v += step) {
    const x = s.x(v / factor);
    shape(svg, "line", { class: "grid", x1: x, x2: x, y1: 2, y2: bottom });
    shape(svg, "text", { class: "tick", x, y: bottom + 15, "text-anchor": "middle" },
      String(Math.round(v)).replace("-", "−"));
  }
  shape(svg, "text", { class: "axis", x: 0, y: bottom + 15 }, `rise, ${symbol}`);
}

function drawMarkAt(svg, path, attributes, x, y, scale) {
  const transform = `translate(${x - 8 * scale} ${y - 8 * scale}) scale(${scale})`;
  shape(svg, "path", { class: "halo", d: path, transform });
  shape(svg, "path", { d: path, "fill-rule": "evenodd", transform, ...attributes });
}

function drawChannelRow(svg, s, row, y, mark, shown) {
  const x = s.x(row.riseK);
  shape(svg, "text", { class: "name", x: 0, y: y + 5 }, row.name);
  if (row.band) {
    const [from, to] = [s.x(row.band.lowerK), s.x(row.band.upperK)];
    shape(svg, "rect", { class: "band", x: from, y: y - 9, width: Math.max(to - from, 1), height: 18 });
    const usual = s.x(row.band.expectedK);
    shape(svg, "line", { class: "expected", x1: usual, x2: usual, y1: y - 9, y2: y + 9 });
  }
  const own = mark ? { class: "mark", fill: mark.colour } : { class: "other" };
  drawMarkAt(svg, mark ? mark.path : CHANNEL_MARKS[row.channel], own, x, y, 1.15);
  const text = shown.text(row.riseK);
  const isLeft = x + 16 + 8 * text.length > s.right;
  shape(svg, "text", { class: "this", x: isLeft ? x - 14 : x + 14, y: y + 5, "text-anchor": isLeft ? "end" : "start" }, text);
}

function drawChannels(place, data, found, mark, shown) {
  place.replaceChildren();
  const rows = channelRows(data, found);
  const width = Math.max(280, place.clientWidth);
  const bottom = rows.length * ROW + 2;
  const s = channelScale(rows, width, shown.factor);
  const svg = shape(place, "svg", { viewBox: `0 0 ${width} ${bottom + 20}`, width, height: bottom + 20, "aria-hidden": "true" });
  drawChannelAxis(svg, s, bottom, shown.factor, shown.symbol);
  const deciding = decidingChannel(found);
  rows.forEach((row, i) =>
    drawChannelRow(svg, s, row, ROW * (i + 0.5), row.channel === deciding ? mark : null, shown));
}

// the channel that gave the verdict: it carries the verdict's own mark
function decidingChannel(found) {
  const { beyond, isFaceHot, heatPattern, terminalK } = found;
  if (!found.isSuspect && found.verdict !== "overload_and_connection") return "face";
  if (beyond === "insulation" || beyond === "wire") return "conductor";
  if (beyond === "termination") return "termination";
  if (beyond === "face") return "face";
  if (heatPattern === "peaks_at_terminal") return "termination";
  return !isFaceHot && terminalK > or(found.liftK, 0) ? "termination" : "face";
}

// the same for those who cannot see it
function channelsSentence(data, found, shown) {
  const told = channelRows(data, found).map(({ name, riseK, band }) => {
    if (!band) return `${name} ${shown.text(riseK)}`;
    const where = riseK > band.upperK ? "above" : riseK < band.lowerK ? "below" : "inside";
    return `${name} ${shown.text(riseK)}, ${where} its band of ${shown.number(band.lowerK)} to ${shown.text(band.upperK)}`;
  });
  return `${told.join("; ")}.`;
}
