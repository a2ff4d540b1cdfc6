// Ties the fields to the answer. Nothing that is typed leaves this page.

const DATA = JSON.parse(document.getElementById("data").textContent);
const UNIT_KEY = "loadrise-unit";
const SAY_AFTER = 900; // ms without typing before the answer is read out; chosen: a pause of thought

const NAMES = ["class", ...DATA.fields.map((field) => field.name)];
const at = (id) => document.getElementById(id);
const state = { touched: new Set(), found: null, timer: 0, poles: false };

// storage may be shut off for files; then the unit is simply not remembered
function remembered() {
  try {
    return localStorage.getItem(UNIT_KEY);
  } catch {
    return null;
  }
}

function remember(unit) {
  try {
    localStorage.setItem(UNIT_KEY, unit);
  } catch { /* nothing to do: it is a convenience */ }
}

const unitNow = () => (at("unit-degC").checked ? "degC" : "degF");
const chosen = (name) => document.querySelector(`input[name="${name}"]:checked`)?.value ?? "";

function formNow() {
  const texts = Object.fromEntries(DATA.fields.map((field) => [field.name, at(field.name).value]));
  const make = at("make").selectedIndex;
  return {
    texts, unit: unitNow(), deviceClass: chosen("class"), poles: Number(chosen("poles")),
    make: make > 0 ? at("make").options[make].value : DATA.unnoted,
  };
}

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
  at("strip-why").hidden = true;
  at("waiting").hidden = false;
  at("waiting").textContent = waitingSentence(troubles);
  at("strip-mark").replaceChildren();
  at("strip-word").textContent = waitingSentence(troubles);
}

function showFacts(found, shown) {
  at("facts").replaceChildren(...factsOf(DATA, found, shown).map(([name, value, remark]) => {
    const pair = element("div", "");
    pair.append(element("dt", "", name));
    const told = element("dd", "");
    told.append(element("b", "", value), element("span", "", remark));
    pair.append(told);
    return pair;
  }));
}

function showNext(found, shown) {
  const next = measureNext(DATA, found.reading, found);
  const sentences = nextSentences(found, next, shown);
  at("hangs").textContent = hangsOnFloor(found, next) ? DATA.floorDecides : "";
  at("measure").replaceChildren(...sentences.map((text) => element("li", "", text)));
  at("measures").hidden = sentences.length === 0;
}

function showPicture(found, shown) {
  at("picture-says").textContent = pictureSentence(DATA, found, shown);
  at("key-own").hidden = isKnown(found.reading.load) && !(found.reading.load >= LEAST_PROJECTED);
  drawPicture(at("picture"), DATA, found, DATA.marks[found.verdict], shown);
}

function showFound(found) {
  state.found = found;
  const shown = shownIn(unitNow());
  at("waiting").hidden = true;
  at("given").hidden = false;
  at("strip-why").hidden = false;
  for (const place of ["strip-mark", "answer-mark"]) drawMark(at(place), found.verdict);
  for (const place of ["strip-word", "answer-word"]) at(place).textContent = DATA.marks[found.verdict].word;
  at("reason").textContent = found.reason;
  at("next").textContent = found.nextStep;
  at("place").textContent = placeSentence(found, shown);
  at("rests").replaceChildren(...restsOn(DATA, found, shown).map((text) => element("li", "", text)));
  at("told").textContent = "";
  showFacts(found, shown);
  showNext(found, shown);
  showPicture(found, shown);
}

// read the answer out once typing has paused
function sayLater() {
  clearTimeout(state.timer);
  state.timer = setTimeout(() => {
    const { found } = state;
    at("said").textContent = found
      ? `Verdict: ${DATA.marks[found.verdict].word}. ${found.reason} ${found.nextStep}` : at("waiting").textContent;
  }, SAY_AFTER);
}

function refresh() {
  const form = formNow();
  const { reading, troubles } = readForm(DATA, form);
  showTroubles(troubles);
  if (Object.keys(troubles).length) showWaiting(troubles);
  else showFound(judge(DATA, reading));
  sayLater();
}

// makes and usual ratings of the chosen class
function showChoices() {
  const kind = DATA.classes[chosen("class")];
  if (!kind) return;
  if (!state.poles) at(`poles-${kind.poles}`).checked = true;
  const before = at("make").value;
  const makes = DATA.makes[`${chosen("class")} ${Number(chosen("poles")) > 1 ? "several" : "one"}`] ?? [];
  at("make").replaceChildren(new Option("not noted"), ...makes.map((make) => new Option(make, make)));
  at("make").selectedIndex = 1 + makes.indexOf(before);
  for (const pick of document.querySelectorAll("#picks button")) {
    pick.hidden = !kind.ratings.includes(Number(pick.value));
  }
}

function showUnit() {
  for (const place of document.querySelectorAll("[data-unit]")) place.textContent = symbolOf(unitNow());
}

function changeUnit() {
  remember(unitNow());
  showUnit();
  refresh();
}

function askForAnswer(event) {
  event.preventDefault();
  const form = formNow();
  const { troubles } = readForm(DATA, form);
  state.touched = new Set(NAMES);
  refresh();
  const first = NAMES.find((name) => name in troubles);
  const place = first ? at(first) : at("answer");
  (place.matches("fieldset") ? place.querySelector("input") : place).focus();
}

function clearAll() {
  at("form").reset();
  state.touched.clear();
  state.poles = false;
  for (const pick of document.querySelectorAll("#picks button")) pick.hidden = false;
  at(remembered() === "degC" ? "unit-degC" : "unit-degF").checked = true;
  showUnit();
  refresh();
  document.querySelector("input[name=class]").focus();
}

const stamp = () => new Date().toLocaleString("en-GB", { dateStyle: "long", timeStyle: "short" });
const textNow = () => answerText(DATA, state.found, unitNow(), stamp());

// where the clipboard is shut off, the older way by a selected field
function copyByHand(text) {
  const field = element("textarea", "unseen");
  field.value = text;
  document.body.append(field);
  field.select();
  const isCopied = document.execCommand("copy");
  field.remove();
  return isCopied;
}

async function copyAnswer() {
  const text = textNow();
  let isCopied = true;
  try {
    await navigator.clipboard.writeText(text);
  } catch {
    isCopied = copyByHand(text);
  }
  at("told").textContent = isCopied ? "Copied." : "Copying was refused; save it as text instead.";
}

function saveAnswer() {
  const link = element("a", "");
  link.href = URL.createObjectURL(new Blob([textNow()], { type: "text/plain" }));
  link.download = `opinion-${new Date().toISOString().slice(0, 16).replace(/[:T]/g, "-")}.txt`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  at("told").textContent = "Saved as text.";
}

// older than two quarters: half a year since the day it was fitted
function showAge() {
  const limit = new Date(DATA.baseline.fittedAt);
  limit.setMonth(limit.getMonth() + 6);
  at("stale").hidden = new Date() <= limit;
}

function takeRating(event) {
  const pick = event.target.closest("button");
  if (!pick) return;
  at("rating").value = pick.value;
  state.touched.add("rating");
  refresh();
}

function listen() {
  const form = at("form");
  form.addEventListener("submit", askForAnswer);
  // keeps the field's focus until the click: a sentence that appears must not move the button away
  document.querySelector(".deeds .main").addEventListener("mousedown", (event) => event.preventDefault());
  form.addEventListener("input", refresh);
  form.addEventListener("change", (event) => {
    if (event.target.name === "poles") state.poles = true;
    if (["class", "poles"].includes(event.target.name)) showChoices();
    state.touched.add(event.target.name);
    refresh();
  });
  at("units").addEventListener("change", changeUnit);
  at("picks").addEventListener("click", takeRating);
  at("clear").addEventListener("click", clearAll);
  at("copy").addEventListener("click", copyAnswer);
  at("save").addEventListener("click", saveAnswer);
  addEventListener("resize", () => state.found && showPicture(state.found, shownIn(unitNow())));
}

function start() {
  at(remembered() === "degC" ? "unit-degC" : "unit-degF").checked = true;
  showUnit();
  showAge();
  showChoices();
  listen();
  refresh();
}

start();
