// What could be measured next, and how much each measurement would settle: analytics/opinion/value.py
// and query opinion.alternative.

// analytics.opinion.judge._repeated: a second, independent reading, averaged
function flipChanceAgain(data, reading, rows, found, code) {
  const { repeats, repeatShare } = data.constants;
  const shrunken = repeats[code].map((name) => [name, data.constants[name] * repeatShare]);
  const again = { ...data, constants: { ...data.constants, ...Object.fromEntries(shrunken) } };
  return borderlineOf(again, reading, rows, found, found, found.verdict).flipChance;
}

function moreLoad(load) {
  return [[0.36, 0.4], [0.56, 0.6], [0.76, 0.8]].find(([below]) => !(load >= below))?.[1] ?? NaN;
}

// the smallest fault that would be noticed under another load, or after longer
function noticedThen(data, typed, found, code, changed) {
  const then = judge(data, { ...typed, ...changed });
  return {
    code,
    smallest_ratio: found.smallestRatioSeen,
    smallest_ratio_then: then.smallestRatioSeen,
    load_fraction_then: then.reading.load,
    load_minutes_then: then.reading.minutes,
  };
}

// the termination as usual, and as hot as a bad connection behind this face would make it
function terminationThen(data, typed, found) {
  const { reading } = found;
  const row = laid(data, "termination", reading, 0, reading.load);
  const usualK = row.stillRiseK + row.loadRiseK;
  const mix = mixtureOf(data, reading);
  const hotK = usualK + greatest(or(found.liftK, 0), linesOf(data, reading).flagLiftK) / mix.facePerTerminal;
  const [usual, hot] = [usualK, hotK].map((k) =>
    judge(data, { ...typed, terminationDegc: reading.ambientDegc + k }));
  return {
    code: "termination", usual_k: usualK, hot_k: hotK,
    probability_if_usual: usual.probability, probability_if_hot: hot.probability,
    verdict_if_usual: usual.verdict, verdict_if_hot: hot.verdict,
  };
}

// the panel's coolest breakers as low and as high as in one panel of ten
function floorThen(data, typed, found) {
  const [lowK, highK] = data.fitted.floorRangeK;
  const [low, high] = [lowK, highK].map((k) =>
    judge(data, { ...typed, floorDegc: found.reading.ambientDegc + k }));
  return {
    code: "floor", floor_low_k: lowK, floor_high_k: highK,
    probability_if_low: low.probability, probability_if_high: high.probability,
    verdict_if_low: low.verdict, verdict_if_high: high.verdict,
  };
}

// value.measure_next
function measureNext(data, typed, found) {
  const reading = measured(typed);
  const rows = rowsOf(data, reading);
  const next = [];
  if (isKnown(found.flipChance)) {
    for (const code of Object.keys(data.constants.repeats)) {
      const then = flipChanceAgain(data, reading, rows, found, code);
      next.push({ code, flip_chance: found.flipChance, flip_chance_then: then });
    }
  }
  const { settledMinutes } = data.constants;
  if (isKnown(reading.load) && or(reading.minutes, 0) < settledMinutes) {
    next.push(noticedThen(data, typed, found, "minutes", { minutes: settledMinutes }));
  }
  const load = moreLoad(reading.load);
  if (isKnown(load)) {
    next.push(noticedThen(data, typed, found, "load", { currentA: load * reading.ratedA }));
  }
  const isOpen = isKnown(reading.load) && !isKnown(reading.terminationRiseK);
  if (isOpen && groupOf(data, "termination", reading)) {
    next.push(terminationThen(data, typed, { ...found, reading }));
  }
  if (isKnown(reading.load) && !isKnown(reading.floorDegc) && data.fitted.floorRangeK[0] !== null) {
    next.push(floorThen(data, typed, { ...found, reading }));
  }
  return next;
}

const timesText = (value) => (value <= 50 ? fixed(value, 1) : "over 50");

const REPEATED = {
  current: "Clamp its current again, with another clamp",
  ambient: "Read the air again, with another thermometer",
  surface: "Scan its surface again, with another camera",
};

// value._termination
function terminationSentence(next, shown) {
  return `Read its termination: ${shown.text(next.usual_k)} over the air is usual and leaves a chance of a `
    + `fault of ${chanceText(next.probability_if_usual)}; at ${shown.text(next.hot_k)} it would be `
    + `${chanceText(next.probability_if_hot)}.`;
}

// value._floor
function floorSentence(next, shown) {
  return `Read the panel's coolest breakers: if they are ${shown.text(next.floor_low_k)} over the air the `
    + `chance of a fault is ${chanceText(next.probability_if_low)}, if ${shown.text(next.floor_high_k)} `
    + `it is ${chanceText(next.probability_if_high)}.`;
}

// value._again, _longer and _more_load in the same words
function nextSentence(found, next, shown) {
  if (next.code in REPEATED) {
    return `${REPEATED[next.code]}, and take the mean: the chance that the verdict turns goes from `
      + `${chanceText(next.flip_chance)} to ${chanceText(next.flip_chance_then)}.`;
  }
  if (next.code === "termination") return terminationSentence(next, shown);
  if (next.code === "floor") return floorSentence(next, shown);
  const [now, then] = [next.smallest_ratio, next.smallest_ratio_then].map(timesText);
  if (next.code === "minutes") {
    return `Wait until ${fixed(next.load_minutes_then, 0)} minutes after the loads came on: the smallest `
      + `fault noticed goes from ${now} to ${then} times the usual heat.`;
  }
  const share = `${percentOf(next.load_fraction_then)} % of rating`;
  return isKnown(found.reading.load)
    ? `Scan when its usual loads bring ${share}: the smallest fault noticed goes from ${now} to ${then} times the usual heat.`
    : `Clamp its current: at ${share} a fault of ${then} times the usual heat would be noticed.`;
}

// whether it would move a figure that is shown; the rest is left out of sight
function isTelling(next) {
  if (next.code in REPEATED) return chanceText(next.flip_chance) !== chanceText(next.flip_chance_then);
  if (next.code === "termination") {
    return chanceText(next.probability_if_usual) !== chanceText(next.probability_if_hot);
  }
  if (next.code === "floor") {
    return chanceText(next.probability_if_low) !== chanceText(next.probability_if_high);
  }
  return timesText(next.smallest_ratio) !== timesText(next.smallest_ratio_then);
}

const nextSentences = (found, next, shown) =>
  next.filter(isTelling).map((one) => nextSentence(found, one, shown));

// remarks.hangs_on_floor: whether a floor that was not read would turn the verdict
const hangsOnFloor = (found, next) => found.beyond === null && next.some((one) => one.code === "floor"
  && [one.verdict_if_low, one.verdict_if_high].some((verdict) => verdict !== found.verdict));
