// What was typed, read as numbers in °C, A and minutes, or a sentence that says what is wrong.
// The sentences and limits are those of analytics/opinion/reading.py; they come with the data.

const NUMBER = /^([-−+]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*°?\s*([a-z]*)$/i;
const SUFFIXES = { "°F": ["f", "c"], A: ["a", "amp", "amps"], min: ["min", "minute", "minutes"] };

const symbolOf = (unit) => (unit === "degF" ? "°F" : "°C");

// units.exact_to_degc and exact_from_degc
const toDegc = (value, unit) => (unit === "degF" ? (value - 32) * (5 / 9) : value);
const fromDegc = (degc, unit) => (unit === "degF" ? degc / (5 / 9) + 32 : degc);

// the number of a text and the word that stands behind it; null where it is none
function readNumber(text, suffixes) {
  const found = NUMBER.exec(text.trim());
  if (!found || (found[2] && !suffixes.includes(found[2].toLowerCase()))) return null;
  return { value: Number(found[1].replace("−", "-").replace(",", ".")), suffix: found[2].toUpperCase() };
}

// one field in the engine's unit; null where its text is no number, NaN where it was left empty
function readField(field, text, unit) {
  if (text.trim() === "") return NaN;
  const found = readNumber(text, SUFFIXES[field.symbol]);
  if (!found) return null;
  return field.isTemperature ? toDegc(found.value, found.suffix ? `deg${found.suffix}` : unit) : found.value;
}

// one sentence of the catalogue with its words filled in
function sentenceOf(data, code, words = {}) {
  const filled = data.sentences[code].replace(/\{(\w+)\}/g, (whole, name) => words[name] ?? whole);
  return filled.charAt(0).toUpperCase() + filled.slice(1);
}

const plainNumber = (value) => String(Number(value.toPrecision(6)));

// reading.shown: a temperature to a tenth of a degree at most
const degreesText = (degc, unit) => `${plainNumber(Number(fixed(fromDegc(degc, unit), 1)))} ${symbolOf(unit)}`;

// reading._device
function* deviceProblems(data, reading) {
  if (!data.limits.ratingsA.includes(reading.ratedA)) {
    yield ["rating", reading.ratedA > 0 ? "rating_not_made" : "no_rating", { value: plainNumber(reading.ratedA) }];
  }
}

// reading._range
function* rangeProblems(data, name, degc, unit) {
  const high = name === "ambient" ? data.limits.warmestAirDegc : data.limits.hottestDegc;
  const value = degreesText(degc, unit);
  if (degc > high) {
    yield [name, name === "ambient" ? "air_too_hot" : "too_hot", { value, limit: degreesText(high, unit) }];
  } else if (degc < data.limits.coldestDegc) {
    yield [name, "too_cold", { value, limit: degreesText(data.limits.coldestDegc, unit) }];
  }
}

// reading._temperatures
function* temperatureProblems(data, reading, unit) {
  for (const name of ["ambient", "device", "termination", "conductor", "floor"]) {
    const degc = reading[`${name}Degc`];
    if (isKnown(degc)) yield* rangeProblems(data, name, degc, unit);
  }
  for (const name of ["device", "termination", "conductor"]) {
    if (reading.ambientDegc > reading[`${name}Degc`] + data.limits.coolSlackK) {
      const [value, other] = [reading.ambientDegc, reading[`${name}Degc`]].map((t) => degreesText(t, unit));
      yield [name === "device" ? "ambient" : name, "ambient_above", { value, other, what: name === "conductor" ? "wire" : name }];
    }
  }
}

// reading._floor
function* floorProblems(data, reading, unit) {
  const { floorDegc, deviceDegc, ambientDegc } = reading;
  const [value, device, air] = [floorDegc, deviceDegc, ambientDegc].map((t) => degreesText(t, unit));
  const slackK = data.limits.floorSlackK;
  if (floorDegc > deviceDegc + slackK) yield ["floor", "floor_above", { value, other: device }];
  if (floorDegc < ambientDegc - slackK) yield ["floor", "floor_below", { value, other: air }];
}

// reading._is_warm
const isWarm = (data, { deviceDegc, terminationDegc, conductorDegc, ambientDegc }) =>
  greatest(deviceDegc, terminationDegc, conductorDegc) - ambientDegc >= data.limits.warmWithoutLoadK;

// reading._load
function* loadProblems(data, reading) {
  const { currentA, ratedA, minutes } = reading;
  if (currentA < 0) yield ["current", "current_negative"];
  else if (currentA === 0 && ["standard", "main"].includes(reading.deviceClass)
    && !isWarm(data, reading)) yield ["current", "no_current"];
  else if (currentA > data.limits.mostLoad * ratedA) {
    yield ["current", "current_too_large", { value: plainNumber(currentA), other: plainNumber(ratedA) }];
  }
  if (minutes < 0) yield ["minutes", "minutes_negative"];
  else if (minutes > data.limits.longestMinutes) {
    yield ["minutes", "minutes_too_many", { value: plainNumber(minutes) }];
  }
}

// reading.problems: field -> sentence, the first of each field
function problemsOf(data, reading, unit) {
  const troubles = {};
  for (const [name, code, words] of [
    ...(isKnown(reading.ratedA) ? deviceProblems(data, reading) : []),
    ...temperatureProblems(data, reading, unit),
    ...floorProblems(data, reading, unit),
    ...loadProblems(data, reading),
  ]) troubles[name] ??= sentenceOf(data, code, words);
  return troubles;
}

// all fields together: the reading, and field -> sentence or "missing"
function readForm(data, form) {
  const reading = { deviceClass: form.deviceClass, poles: form.poles, make: form.make };
  const troubles = {};
  if (!form.deviceClass) troubles.class = "missing";
  for (const field of data.fields) {
    const text = form.texts[field.name] ?? "";
    const value = readField(field, text, form.unit);
    if (value === null) troubles[field.name] = sentenceOf(data, "not_finite", { value: text.trim() });
    else if (Number.isNaN(value) && field.isRequired) troubles[field.name] = "missing";
    reading[field.key] = value ?? NaN;
  }
  return { reading, troubles: { ...problemsOf(data, reading, form.unit), ...troubles } };
}
