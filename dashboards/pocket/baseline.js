// The baseline in force laid on one reading that stands alone: of the panel around it no more is
// known than how warm its coolest devices are, and where that is not told either, the usual.

// the group of a channel, class and poles: its parameters, cells, makes and ratings
function groupOf(data, channel, reading) {
  const poles = reading.poles > 1 ? "several" : "one";
  return data.groups[`${channel} ${reading.deviceClass} ${poles}`];
}

const effectOf = (rows, level) => rows.find(([name]) => name === level);

// how many times the gain counts: (1 + u + v) k(t) h of macro laid_baseline
function gainFactor(data, group, channel, reading) {
  const make = effectOf(group.makes, reading.make)?.[2] ?? 0;
  const rating = effectOf(group.ratings, reading.ratedA)?.[1] ?? 0;
  const [warmth] = data.minutes[channel][minuteBand(reading.minutes)];
  return shelterOf(data, channel, reading) * (1 + make + rating) * warmth;
}

// query opinion.cool_pool: the floor as told, or the usual one
const floorOf = (data, reading) => or(reading.floorDegc - reading.ambientDegc, data.fitted.floorK);

// query opinion.slot: the neighbours of a typed reading are as cool as the floor, so that they add
// no heat and leave no gap: shelter level 0
const SHELTER_LEVEL = 0;

function shelterOf(data, channel, reading) {
  const family = poleFamily(reading.deviceClass, reading.poles > 1);
  return data.shelters[`${channel} ${family}`][SHELTER_LEVEL];
}

// macro laid_baseline: load_rise_k at a load fraction
function loadRise(data, group, channel, reading, load) {
  const power = load > 0 ? load ** group.exponent : 0;
  return gainFactor(data, group, channel, reading) * group.gainK * power;
}

// macro laid_baseline: still_rise_k, own part and the air's; query opinion.lone: what its neighbours bring
function stillRise(data, group, channel, reading) {
  const own = group.offsetK + (effectOf(group.makes, reading.make)?.[1] ?? 0);
  return shelterOf(data, channel, reading) * own + group.floorSlope * floorOf(data, reading) + group.surroundK;
}

// macro laid_baseline: variance_k2
function varianceOf(data, group, channel, reading, loadK) {
  const [, widening] = data.minutes[channel][minuteBand(reading.minutes)];
  const shelter = shelterOf(data, channel, reading);
  return group.noiseK ** 2 + (group.noiseShare * widening * loadK) ** 2
    + (group.gainKSe * loadK / group.gainK) ** 2 + (group.offsetKSe * shelter) ** 2;
}

// query opinion.lone: what the floor and the neighbours leave open where they were not read
function openVariance(data, group, reading, scale) {
  const floor = isKnown(reading.floorDegc) ? 0 : group.floorSlope ** 2 * data.fitted.floorVarianceK2;
  return (floor + group.surroundVarianceK2) / (scale * scale);
}

// macros laid_baseline and left_out for a visit of one device: the visit's own effect is 0, and
// what it may be stays in the spread; then query judging.residual. A cell is that of the load's band
// where none is given
function laid(data, channel, reading, riseK, load, cell = null) {
  const group = groupOf(data, channel, reading);
  if (!group) return null;
  const loadRiseK = loadRise(data, group, channel, reading, load);
  const stillRiseK = stillRise(data, group, channel, reading);
  const [center, scale, lower, upper] = cell ?? group.cells[loadBand(load) - 1];
  const varianceK2 = varianceOf(data, group, channel, reading, loadRiseK)
    + openVariance(data, group, reading, scale);
  const spreadK = Math.sqrt(varianceK2 + 1 / greatest(1 / data.fitted.visitVariance, 1e-9));
  const residualK = riseK - stillRiseK - loadRiseK;
  return {
    exponent: group.exponent, loadRiseK, stillRiseK, varianceK2, spreadK, residualK,
    center, scale, lower, upper,
    z: (residualK / spreadK - center) / scale,
    loadSize: loadRiseK / (spreadK * scale),
  };
}

// query judging.judgement: expected rise and healthy 95 % interval, K
function bandOf(row) {
  const usual = row.stillRiseK + row.loadRiseK;
  return {
    expectedK: usual + row.center * row.spreadK,
    lowerK: usual + row.lower * row.spreadK,
    upperK: usual + row.upper * row.spreadK,
  };
}
