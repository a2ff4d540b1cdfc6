// Ties the fields to the answer. Nothing that is typed leaves this page.

const DATA = JSON.parse(document.getElementById("data").textContent);
const UNIT_KEY = "loadrise-unit";
const REFRESH_AFTER = 400; // ms without typing before it is judged; chosen: a number is then whole
const SAY_AFTER = 900; // ms without typing before the answer is read out; chosen: a pause of thought

const NAMES = ["class", ...DATA.fields.map((field) => field.name)];
const at = (id) => document.getElementById(id);
const state = { touched: new Set(), found: null, timer: 0, pause: 0, poles: false, typed: {} };

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

// read the answer out once typing has paused
function sayLater() {
  clearTimeout(state.timer);
  state.timer = setTimeout(() => {
    const { found } = state;
    at("said").textContent = found
      ? `Verdict: ${headlineOf(DATA, found)}. ${found.reason} ${at("next").textContent}` : at("waiting").textContent;
  }, SAY_AFTER);
}

// the answer as a strip under the thumb, or whole
function setOpen(isOpen, isDrawn = isOpen) {
  at("answer").classList.toggle("open", isOpen);
  at("open").setAttribute("aria-expanded", String(isOpen));
  at("open-word").textContent = isOpen ? "Less" : state.found ? "Why" : "Go there";
  if (!isDrawn) return;
  at("answer").scrollTop = 0;
  showPicture(state.found, shownIn(unitNow()));
}

// half a number is no reading: wait until the typing pauses or the field is left
function refreshLater(event) {
  if (event.target.type !== "text") return;
  clearTimeout(state.pause);
  showPicked();
  state.pause = setTimeout(refresh, REFRESH_AFTER);
}

function refresh() {
  clearTimeout(state.pause);
  const form = formNow();
  const { reading, troubles } = readForm(DATA, form);
  showTroubles(troubles);
  showPicked();
  showFurther();
  if (Object.keys(troubles).length) showWaiting(troubles);
  else showFound(judge(DATA, reading));
  sayLater();
}

// makes and usual ratings of the chosen class
function showChoices() {
  const kind = DATA.classes[chosen("class")] ?? DATA.classes.standard;
  if (!state.poles) at(`poles-${kind.poles}`).checked = true;
  const before = at("make").value;
  const makes = DATA.makes[`${chosen("class")} ${Number(chosen("poles")) > 1 ? "several" : "one"}`] ?? [];
  at("make").replaceChildren(new Option("not noted"), ...makes.map((make) => new Option(make, make)));
  at("make").selectedIndex = 1 + makes.indexOf(before);
  for (const pick of picks()) pick.hidden = !kind.ratings.includes(Number(pick.value));
}

const picks = () => document.querySelectorAll("#picks button");

function showPicked() {
  for (const pick of picks()) pick.setAttribute("aria-pressed", String(pick.value === at("rating").value.trim()));
}

// what is folded away is not forgotten: how many of its fields are filled
function showFurther() {
  const count = [...at("further").querySelectorAll("input")].filter((field) => field.value.trim()).length;
  at("further-count").textContent = count ? ` (${count} read)` : "";
}

function showUnit() {
  for (const place of document.querySelectorAll("[data-unit]")) place.textContent = symbolOf(unitNow());
}

// what was typed in the other unit, in this one; going back brings the text as it was typed
function convertField(field, unit) {
  const text = at(field.name).value.trim();
  const found = readNumber(text, []);
  if (!found) return;
  const was = state.typed[field.name];
  const isBack = was && was.shown === text && was.unit === unit;
  const former = unit === "degF" ? "degC" : "degF";
  const value = Number(fixed(fromDegc(toDegc(found.value, former), unit), 1));
  const shown = isBack ? was.text : String(value);
  state.typed[field.name] = was && was.shown === text
    ? { ...was, shown } : { text, unit: former, shown };
  at(field.name).value = shown;
}

function changeUnit() {
  for (const field of DATA.fields.filter((one) => one.isTemperature)) convertField(field, unitNow());
  remember(unitNow());
  showUnit();
  refresh();
}

function askForAnswer(event) {
  event.preventDefault();
  if (at("answer").classList.contains("open")) {
    setOpen(false);
    return;
  }
  const form = formNow();
  const { troubles } = readForm(DATA, form);
  state.touched = new Set(NAMES);
  refresh();
  const first = NAMES.find((name) => name in troubles);
  if (!first) setOpen(true);
  const place = first ? at(first) : at("answer");
  (place.matches("fieldset") ? place.querySelector("input") : place).focus({ preventScroll: !first });
}

function clearAll() {
  at("form").reset();
  state.touched.clear();
  state.typed = {};
  state.poles = false;
  at(remembered() === "degC" ? "unit-degC" : "unit-degF").checked = true;
  showUnit();
  showChoices();
  refresh();
  document.querySelector("input[name=class]").focus();
}

// the next device of the same panel: what belongs to the panel stays
function takeAnother() {
  for (const name of ["rating", "device", "current", "termination", "conductor"]) {
    at(name).value = "";
    state.touched.delete(name);
  }
  refresh();
  document.querySelector("input[name=class]:checked, input[name=class]").focus();
}

// phones that show digits alone have no minus
function changeSign(event) {
  const field = at(event.target.closest("[data-sign]")?.dataset.sign);
  if (!field) return;
  const text = field.value.trim();
  field.value = /^[-−]/.test(text) ? text.slice(1) : `-${text}`;
  field.focus();
  if (field.value !== "-") refresh();
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
  at("open").addEventListener("mousedown", (event) => event.preventDefault());
  addEventListener("keydown", (event) => event.key === "Escape" && setOpen(false));
  form.addEventListener("input", refreshLater);
  form.addEventListener("click", changeSign);
  form.addEventListener("change", (event) => {
    if (event.target.name === "poles") state.poles = true;
    if (["class", "poles"].includes(event.target.name)) showChoices();
    state.touched.add(event.target.name);
    refresh();
  });
  at("units").addEventListener("change", changeUnit);
  at("picks").addEventListener("click", takeRating);
  at("clear").addEventListener("click", clearAll);
  at("another").addEventListener("click", takeAnother);
  at("copy").addEventListener("click", copyAnswer);
  at("save").addEventListener("click", saveAnswer);
  addEventListener("resize", () => state.found && showPicture(state.found, shownIn(unitNow())));
}

function start() {
  at(remembered() === "degC" ? "unit-degC" : "unit-degF").checked = true;
  at("further").open = matchMedia("(min-width: 900px)").matches;
  showUnit();
  showAge();
  showChoices();
  listen();
  refresh();
}

start();
