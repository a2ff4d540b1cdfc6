// The answer in words and figures: what stands under the verdict, and the text that is copied.

// how rises are written: a difference in °F is 1.8 times the kelvins, never plus 32
function shownIn(unit) {
  const factor = unit === "degF" ? 1.8 : 1;
  const symbol = unit === "degF" ? "°F" : "K";
  const digits = unit === "degF" ? 0 : 1;
  const number = (k) => fixed(k * factor, digits).replace(/^-0(\.0)?$/, "0").replace("-", "−");
  const other = (k) => (unit === "degF" ? `${fixed(k, 1).replace("-", "−")}\u00a0K` : `${fixed(1.8 * k, 0).replace("-", "−")}\u00a0°F`);
  return { factor, symbol, number, other, text: (k) => (isKnown(k) ? `${number(k)}\u00a0${symbol}` : "–") };
}

const ratioText = (value) => fixed(greatest(value, 0), 1);

function chanceText(value) {
  if (!isKnown(value)) return "–";
  if (value > 0.99) return "over 99\u00a0%";
  return value < 0.01 ? "under 1\u00a0%" : `${fixed(100 * value, 0)}\u00a0%`;
}

const rankText = (found) => (isKnown(found.comparableCount)
  ? `${counted(found.hotterCount)} of ${counted(found.comparableCount)}` : "–");

// the verdict in a few words: an overload under the rating is one only if its load runs on
function headlineOf(data, found) {
  if (found.verdict !== "overload") return data.marks[found.verdict].word;
  return found.isOverRating ? "over its rating" : "over the continuous limit";
}

// the coolest breaker goes first where the verdict hangs on it; what lies beyond its standard does not
const nextStepOf = (data, found, next) =>
  (hangsOnFloor(found, next) ? `${data.floorDecides} ${found.nextStep}` : found.nextStep);

const LOAD_BANDS = ["", "under 10 %", "10 to 20 %", "20 to 40 %", "40 to 60 %", "60 to 80 %", "80 to 100 %", "over 100 %"];

function rankRemark(data, found) {
  const { reading } = found;
  const kind = data.classes[reading.deviceClass].word;
  const poles = reading.poles > 1 ? "several poles" : "one pole";
  return `comparable: ${kind}, ${poles}, load ${LOAD_BANDS[loadBand(reading.load)]}`;
}

function projectedFact(name, projected, shown) {
  const reach = isKnown(projected.at)
    ? `${shown.number(projected.low)} to ${shown.text(projected.high)}` : "needs 5 % of load or more";
  return [name, shown.text(projected.at), reach];
}

// the other channels that were read, each against its own band
function channelFacts(data, found, shown) {
  const { reading } = found;
  return [["Termination", "termination", "terminationRiseK"], ["Wire", "conductor", "conductorRiseK"]]
    .filter(([, , key]) => isKnown(reading[key]))
    .map(([name, channel, key]) => {
      const row = isKnown(reading.load) ? laid(data, channel, reading, reading[key], reading.load) : null;
      const band = row ? bandOf(row) : null;
      const healthy = band ? `healthy: ${shown.number(band.lowerK)} to ${shown.text(band.upperK)}` : shown.other(reading[key]);
      return [`${name} over the air`, shown.text(reading[key]), healthy];
    });
}

// the coolest breaker that was not read may turn it too, whatever the instruments
function turnFact(data, found, next) {
  return isKnown(found.flipChance) && hangsOnFloor(found, next)
    ? ["The verdict may turn", found.flipChance > 0.1 ? chanceText(found.flipChance) : "10\u00a0% or more", data.floorMayTurn]
    : ["The verdict may turn", chanceText(found.flipChance), "chance, from the instruments’ errors"];
}

const FIRST_FACTS = 4; // those that stand open under the picture

// name, value and remark of every figure under the verdict
function factsOf(data, found, shown, next) {
  const { reading } = found;
  const isLoadKnown = isKnown(reading.load);
  const ratio = isKnown(found.heatRatio)
    ? [found.heatRatio < 0.05 ? "less than usual" : `${ratioText(found.heatRatio)} ×`,
      `${ratioText(found.heatRatio - found.heatRatioHalf)} to ${ratioText(found.heatRatio + found.heatRatioHalf)}; 1 is typical`]
    : ["–", "needs a load"];
  return [
    ["Face over the air", shown.text(reading.riseK), shown.other(reading.riseK)],
    ["Expected of its face", shown.text(found.expectedK), isKnown(found.lowerK)
      ? `healthy: ${shown.number(found.lowerK)} to ${shown.text(found.upperK)}` : "needs a current"],
    ["Heat for its current", ...ratio],
    ["Chance of a fault", isLoadKnown ? chanceText(found.probability) : "–", isLoadKnown
      ? `that lifts it by ${shown.text(data.policy.materialLiftK)} or more` : "needs a current"],
    ["Load", isLoadKnown ? `${percentOf(reading.load)}\u00a0%` : "–", isLoadKnown ? "of rating" : "no current"],
    ["Ran hotter for their current", rankText(found), isKnown(found.comparableCount) ? rankRemark(data, found) : "needs a current"],
    ...channelFacts(data, found, shown),
    projectedFact("At 80 % it would rise", found.at80, shown),
    projectedFact("At 100 % it would rise", found.at100, shown),
    turnFact(data, found, next),
  ];
}

// analytics.opinion.words.place_sentence; without a current the page has more to show than words
function placeSentence(found, shown) {
  const { riseK } = found.reading;
  const { lowerK, expectedK, upperK } = found;
  if (!isKnown(expectedK)) return "Its load is not known: it is usual where the dashed line meets the band.";
  if (riseK > upperK) return `Hotter than 95 % of healthy ones: ${shown.text(riseK - upperK)} above the band.`;
  if (riseK < lowerK) return `Cooler than 95 % of healthy ones: ${shown.text(lowerK - riseK)} below the band.`;
  if (riseK > (expectedK + upperK) / 2) return "In the upper part of the healthy band.";
  if (riseK < (expectedK + lowerK) / 2) return "In the lower part of the healthy band.";
  return "Near the middle of the healthy band.";
}

// analytics.opinion.remarks in the same words
function restsOn(data, found, shown) {
  const { reading } = found;
  const group = groupOf(data, "face", reading);
  const isRatingNew = isKnown(reading.load) && group && !effectOf(group.ratings, reading.ratedA);
  return [
    reading.riseK < 0 ? data.coolAsAir : "",
    data.classes[reading.deviceClass].notices[reading.poles > 1 ? 1 : 0],
    data.baseline.rankNotice,
    isRatingNew ? `No ${plainNumber(reading.ratedA)} A device of its class yet: taken as a usual one.` : "",
    isKnown(reading.floorDegc) ? ""
      : `The panel’s coolest breakers were not read: taken as ${shown.text(data.fitted.floorK)} over the air.`,
    data.baseline.neighboursAssumed,
  ].filter(Boolean);
}

const TYPED = [
  ["ratedA", "A", "rating"], ["ambientDegc", "°C", "ambient"], ["deviceDegc", "°C", "device"],
  ["currentA", "A", "current"], ["minutes", "min", "minutes under load"],
  ["terminationDegc", "°C", "termination"], ["conductorDegc", "°C", "wire"],
  ["floorDegc", "°C", "coolest breaker"],
];

function typedLines(found, unit) {
  const written = ([name, symbol, words]) => {
    const isTemperature = symbol === "°C";
    const value = isTemperature ? fromDegc(found.reading[name], unit) : found.reading[name];
    return isKnown(value) ? `${words} ${Number(value.toFixed(2))} ${isTemperature ? symbolOf(unit) : symbol}` : `${words} not read`;
  };
  return TYPED.map(written).join(", ");
}

// the whole answer as plain text
function answerText(data, found, unit, now) {
  const shown = shownIn(unit);
  const { reading } = found;
  const next = measureNext(data, reading, found);
  const plain = (text) => text.replaceAll("\u00a0", " ");
  return [
    `Second opinion, ${now}`,
    `${data.classes[reading.deviceClass].meaning}, ${reading.poles} pole${reading.poles > 1 ? "s" : ""}, make ${reading.make}`,
    typedLines(found, unit),
    "",
    `Verdict: ${headlineOf(data, found)}`,
    found.reason,
    `Next: ${nextStepOf(data, found, next)}`,
    "",
    ...factsOf(data, found, shown, next).map(([name, value, remark]) => plain(`${name}: ${value}${remark ? ` (${remark})` : ""}`)),
    "",
    ...nextSentences(found, next, shown).map(plain),
    ...restsOn(data, found, shown).map(plain),
    "",
    `For the report: ${reportParagraph(data, found, next, shown, unit)}`,
    "",
    `Baseline ${data.baseline.version} of ${data.baseline.fittedOn}, policy ${data.baseline.policyVersion}`,
    ...data.cautions,
  ].join("\n");
}
