// Brings troubles, answer and pictures to the page.

function element(name, className, text) {
  const made = document.createElement(name);
  if (className) made.className = className;
  if (text) made.textContent = text;
  return made;
}

function drawMark(place, verdict) {
  place.replaceChildren();
  const svg = shape(place, "svg", { viewBox: "0 0 16 16", "aria-hidden": "true" });
  const { path, colour } = DATA.marks[verdict];
  shape(svg, "path", { class: "mark", d: path, fill: colour, "fill-rule": "evenodd" });
}

// sentences beside the fields: of those that were left, and of all once an answer was asked for
function showTroubles(troubles) {
  for (const name of NAMES) {
    const isShown = state.touched.has(name) && name in troubles;
    if (isShown && at("further").contains(at(name))) at("further").open = true;
    const words = troubles[name] === "missing" ? DATA.missing[name] : troubles[name];
    at(`${name}-trouble`).textContent = isShown ? words : "";
    const place = at(name);
    if (place.matches("input")) place.setAttribute("aria-invalid", String(isShown));
  }
}

function waitingSentence(troubles) {
  const open = NAMES.filter((name) => name in troubles);
  const wrong = open.filter((name) => troubles[name] !== "missing");
  if (wrong.some((name) => state.touched.has(name))) return "No verdict: see the sentence beside the field.";
  const names = open.map((name) => DATA.names[name]);
  const last = names.pop();
  return `Still needed: ${names.length ? `${names.join(", ")} and ${last}` : last}.`;
}

function showWaiting(troubles) {
  state.found = null;
  at("given").hidden = true;
  setOpen(false);
  at("waiting").textContent = waitingSentence(troubles);
  at("answer-mark").replaceChildren();
  at("answer-word").textContent = "";
}

function pairOf([name, value, remark]) {
  const pair = element("div", "");
  pair.append(element("dt", "", name));
  const told = element("dd", "");
  told.append(element("b", "", value), element("span", "", remark));
  pair.append(told);
  return pair;
}

function showFacts(found, shown, next) {
  const pairs = factsOf(DATA, found, shown, next).map(pairOf);
  at("facts").replaceChildren(...pairs.slice(0, FIRST_FACTS));
  at("figures").replaceChildren(...pairs.slice(FIRST_FACTS));
}

function showNext(found, shown, next) {
  const sentences = nextSentences(found, next, shown);
  at("next").textContent = nextStepOf(DATA, found, next);
  at("measure").replaceChildren(...sentences.map((text) => element("li", "", text)));
  at("measures").hidden = sentences.length === 0;
  at("paragraph").textContent = reportParagraph(DATA, found, next, shown, unitNow());
  at("ladders").replaceChildren(...ladderSentences(DATA, found, shown).map((text) => element("li", "", text)));
}

function showPicture(found, shown) {
  at("picture-says").textContent = pictureSentence(DATA, found, shown);
  at("key-own").hidden = isKnown(found.reading.load) && !(found.reading.load >= LEAST_PROJECTED);
  if (!at("more").offsetParent) return; // folded: drawn once it is opened
  const mark = DATA.marks[found.verdict];
  // the picture is of the face: where another part is hot, the face gets a plain mark there too
  const isOfFace = decidingChannel(found) === "face" || found.isFaceHot;
  const faceMark = isOfFace ? mark : { path: CHANNEL_MARKS.face, colour: "var(--ink)" };
  drawPicture(at("picture"), DATA, found, faceMark, shown);
  const { terminationRiseK, conductorRiseK } = found.reading;
  const isRead = isKnown(terminationRiseK) || isKnown(conductorRiseK);
  at("channels-figure").hidden = !isRead;
  at("channels-says").textContent = channelsSentence(DATA, found, shown);
  if (isRead) drawChannels(at("channels"), DATA, found, mark, shown);
}

function showFound(found) {
  state.found = found;
  const shown = shownIn(unitNow());
  at("waiting").textContent = "";
  at("given").hidden = false;
  setOpen(at("answer").classList.contains("open"), false);
  drawMark(at("answer-mark"), found.verdict);
  at("answer-word").textContent = headlineOf(DATA, found);
  at("reason").textContent = found.reason;
  at("place").textContent = `Its face: ${placeSentence(found, shown).replace(/^\w/, (first) => first.toLowerCase())}`;
  at("rests").replaceChildren(...restsOn(DATA, found, shown).map((text) => element("li", "", text)));
  at("told").textContent = "";
  const next = measureNext(DATA, found.reading, found);
  showFacts(found, shown, next);
  showNext(found, shown, next);
  showPicture(found, shown);
}

