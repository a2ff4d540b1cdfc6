// What is put beside the answer: a paragraph for the report, and the published ladders.

// fill the words of a sentence in
const filled = (text, words) => text.replace(/\{(\w+)\}/g, (whole, name) => words[name] ?? whole);

// reading.shown_rise: whole °F, or K to a tenth at most
function riseText(k, shown) {
  const number = shown.symbol === "K" ? plainNumber(Number(fixed(k, 1))) : fixed(k * shown.factor, 0);
  return `${number.replace(/^-0$/, "0")} ${shown.symbol}`;
}

// paragraph._read
function readSentence(data, reading, shown, unit) {
  const parts = data.paragraph;
  const load = isKnown(reading.load)
    ? filled(parts.load, { current: plainNumber(reading.currentA), share: percentOf(reading.load) }) : parts.no_load;
  return filled(parts.read, {
    rating: plainNumber(reading.ratedA),
    poles: reading.poles > 1 ? filled(parts.poles, { poles: reading.poles }) : "",
    name: data.classes[reading.deviceClass].meaning,
    device: degreesText(reading.deviceDegc, unit),
    ambient: degreesText(reading.ambientDegc, unit),
    rise: riseText(reading.riseK, shown),
    load,
    since: isKnown(reading.minutes) ? filled(parts.since, { minutes: plainNumber(reading.minutes) }) : "",
  });
}

// paragraph._beside
function besideSentences(data, reading, shown, unit) {
  return ["termination", "conductor"].filter((name) => isKnown(reading[`${name}RiseK`])).map((name) =>
    filled(data.paragraph[name], {
      degrees: degreesText(reading[`${name}Degc`], unit), rise: riseText(reading[`${name}RiseK`], shown),
    }));
}

// paragraph.cause
function causeSentence(data, found) {
  const parts = data.paragraph;
  if (found.beyond !== null) return found.reason;
  if (found.heatPattern === "peaks_at_terminal" && !found.isFaceHot) return parts.peak;
  if (found.terminalK > 0 && !found.isFaceHot) return found.wireZ > 2 ? parts.hot_both : parts.hot_termination;
  return parts.hot_face;
}

// paragraph._advice
function adviceSentence(data, found) {
  const parts = data.paragraph;
  const isLong = found.isOverRating || found.reading.minutes >= data.constants.continuousMinutes;
  return filled(parts[found.verdict], {
    parts: found.heatPattern === "even" ? parts.even_warmth : parts.warmth,
    cause: causeSentence(data, found),
    limit: found.isOverRating ? parts.rating : filled(parts.continuous, { share: percentOf(found.continuousShare) }),
    proviso: isLong ? "" : parts.proviso,
  });
}

// paragraph.paragraph
function reportParagraph(data, found, next, shown, unit) {
  const parts = data.paragraph;
  const isCompared = isKnown(found.lowerK) && found.verdict !== "recheck";
  return [
    readSentence(data, found.reading, shown, unit),
    ...besideSentences(data, found.reading, shown, unit),
    isCompared ? filled(parts.compared, { low: riseText(found.lowerK, shown), high: riseText(found.upperK, shown) }) : "",
    adviceSentence(data, found),
    hangsOnFloor(found, next) ? parts.floor_open : "",
    parts.closing,
  ].filter(Boolean).join(" ");
}

// Ladder.word
function ladderWord(ladder, riseK) {
  if (riseK < ladder.firstK) return ladder.words[0];
  return ladder.words[1 + ladder.edgesK.filter((edge) => riseK > edge).length];
}

// ladders.beside
function ladderSentences(data, found, shown) {
  const { ladders } = data;
  const rows = [["overAmbient", found.reading.riseK], ["overSimilar", found.liftK],
    ["terminationOverAmbient", found.reading.terminationRiseK]];
  const told = rows.filter(([, k]) => isKnown(k)).map(([code, k]) => filled(ladders.ladderSentence, {
    value: riseText(k, shown), title: ladders[code].title, band: ladderWord(ladders[code], k), source: ladders[code].source,
  }));
  const { title, edgeK, source } = ladders.worry;
  const band = greatest(found.reading.riseK, found.reading.terminationRiseK) >= edgeK ? "reached" : "not reached";
  return [...told, filled(ladders.worrySentence, { value: riseText(edgeK, shown), title, band, source })];
}
