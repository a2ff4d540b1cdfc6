// Small formulas. What SQL calls null is NaN in here: it passes through sums and fails comparisons.

const isKnown = (value) => !Number.isNaN(value);

// coalesce(value, other)
const or = (value, other) => (Number.isNaN(value) ? other : value);

// greatest(...) and least(...), which pass over nulls
const greatest = (...values) => Math.max(...values.filter(isKnown));
const least = (...values) => Math.min(...values.filter(isKnown));

const clamped = (value, low, high) => Math.min(Math.max(value, low), high);

// x / nullif(y, 0)
const over = (x, y) => (y === 0 ? NaN : x / y);

// macro hypot
const hypot = (a, b) => Math.sqrt(a * a + b * b);

// macro normal_cdf
const normalCdf = (x) => 1 / (1 + Math.exp(-(0.07056 * x * x * x + 1.5976 * x)));

// macro joint_square
const jointSquare = (a, b, correlation) =>
  (a * a - 2 * correlation * a * b + b * b) / (1 - correlation * correlation);

// macro joint_cross
const jointCross = (a, b, c, d, correlation) =>
  (a * c - correlation * (a * d + b * c) + b * d) / (1 - correlation * correlation);

// macro pole_family
function poleFamily(deviceClass, isMultiPole) {
  if (deviceClass === "main") return "main";
  return isMultiPole ? "two_pole" : "one_pole";
}

// macro load_band: bands 1 to 7
function loadBand(load) {
  const edges = [0.1, 0.2, 0.4, 0.6, 0.8];
  const passed = edges.filter((edge) => load >= edge).length;
  return passed < edges.length ? passed + 1 : load <= 1 ? 6 : 7;
}

// macro minute_band: bands 1 to 10, 0 where none were noted
function minuteBand(minutes) {
  const edges = [7.5, 12.5, 17.5, 22.5, 27.5, 32.5, 40, 50, 70];
  return isKnown(minutes) ? edges.filter((edge) => minutes >= edge).length + 1 : 0;
}

// macro notice_bin: quarter octaves from 2^-6 to 2^8
const noticeBin = (value) => clamped(Math.floor(4 * Math.log2(greatest(value, 1e-6))), -24, 32);

// the warm band of query judging.warm_share: two kelvins each
const warmBand = (riseK) => clamped(Math.floor(riseK / 2), -3, 20);

// what printf writes: an exact tie goes to the even digit (here for 0 or 1 decimals)
function fixed(value, digits) {
  const doubled = value * (digits ? 4 : 2);
  if (!Number.isInteger(doubled) || doubled % 2 === 0) return value.toFixed(digits);
  const scale = 10 ** digits;
  const low = Math.floor(value * scale);
  return ((low % 2 === 0 ? low : low + 1) / scale).toFixed(digits);
}
