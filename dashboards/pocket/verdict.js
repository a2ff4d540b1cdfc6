// From a reading to its verdict: queries judging.rank, judgement, verdict, borderline, result.

// the points of a cell, hottest first: how many readings stand at this z or above
function pointsOf(cell) {
  if (!cell.points) {
    const bytes = Uint8Array.from(atob(cell.z), (sign) => sign.charCodeAt(0));
    const view = new DataView(bytes.buffer);
    let count = 0;
    cell.points = cell.steps.map((step, i) => [view.getFloat64(8 * i, true), count += step]);
  }
  return cell.points;
}

// query opinion.rank: comparable is same class, poles and load band
function rankOf(data, reading, z) {
  const poles = reading.poles > 1 ? "several" : "one";
  const cell = data.ranks[`${reading.deviceClass} ${poles} ${loadBand(reading.load)}`];
  const comparableCount = cell ? cell.count : 0;
  const hotter = cell ? pointsOf(cell).filter(([pointZ]) => pointZ > z) : [];
  const hotterCount = hotter.length ? hotter[hotter.length - 1][1] : 0;
  return { hotterCount, comparableCount, pValue: (1 + hotterCount) / (1 + comparableCount) };
}

// query judging.warm_share: for readings without current
function warmShareOf(data, reading) {
  const poles = reading.poles > 1 ? "several" : "one";
  return data.warm[`${reading.deviceClass} ${poles} ${warmBand(reading.riseK - floorOf(data, reading))}`] ?? NaN;
}

// macro projected_k
const projectedK = (stillK, ownK, load, n, target) => stillK + ownK * (target / load) ** n;

// macro projected_sd_k
const projectedSdK = (ownK, ownSdK, load, n, nSd, target) =>
  (target / load) ** n * hypot(ownSdK, ownK * Math.log(target / load) * nSd);

// query judging.judgement: the least load from which is projected [1]
const LEAST_PROJECTED = 0.05;

// query judging.judgement: rise at another load with its 95 % interval
function projectionOf(data, reading, face, liftK, target) {
  if (!(reading.load >= LEAST_PROJECTED)) return { at: NaN, low: NaN, high: NaN };
  const { cameraK, airK, clampShare, clampFloorA } = data.constants;
  const own = liftK + face.loadRiseK;
  const share = hypot(clampShare, clampFloorA / greatest(reading.currentA, 0.1));
  const ownSd = hypot(hypot(cameraK, airK), own * face.exponent * share);
  const still = bandOf(face).expectedK - face.loadRiseK;
  const at = projectedK(still, own, reading.load, face.exponent, target);
  const sd = projectedSdK(own, ownSd, reading.load, face.exponent, data.fitted.exponentSd, target);
  return { at, low: at - 1.96 * sd, high: at + 1.96 * sd };
}

// macro line_of, query judging.lined: the policy with the lines that the reading's class has of its own
const linesOf = (data, reading) => ({ ...data.policy, ...data.own[reading.deviceClass] });

// query judging.judgement: the smallest heat ratio that would have been noticed with 80 % chance
function smallestRatioSeen(data, reading, face) {
  const width = face.spreadK * face.scale;
  const notice = data.notice[reading.deviceClass] ?? data.notice.shared;
  const threshold = notice[noticeBin(face.loadRiseK / width) + 24][noticeBin(width) + 24];
  return 1 + over(greatest(threshold + 0.84, 0) * width, face.loadRiseK);
}

// macro recalibrated
function recalibrated(chance, intercept, slope) {
  if (intercept === 0 && slope === 1) return chance;
  const logit = Math.log(greatest(chance, 1e-12)) - Math.log(greatest(1 - chance, 1e-12));
  return 1 / (1 + Math.exp(-(intercept + slope * logit)));
}

// query judging.judgement where a current was clamped
function heatOf(data, reading, face, terminal) {
  const band = bandOf(face);
  const liftK = reading.riseK - band.expectedK;
  const { odds, materialOdds: material } = evidenceOf(data, mixtureOf(data, reading), face, terminal);
  const { calibrationIntercept, calibrationSlope } = data.policy;
  return {
    ...band, liftK, odds, materialOdds: material,
    probability: recalibrated(material / (1 + odds), calibrationIntercept, calibrationSlope),
    localFdr: healthyChance(reading.poles > 1, odds, material),
    heatRatio: over(liftK + face.loadRiseK, face.loadRiseK),
    heatRatioHalf: over(1.96 * face.spreadK * face.scale, face.loadRiseK),
    smallestRatioSeen: smallestRatioSeen(data, reading, face),
    at80: projectionOf(data, reading, face, liftK, 0.8),
    at100: projectionOf(data, reading, face, liftK, 1),
    ...rankOf(data, reading, face.z),
  };
}

const NO_HEAT = {
  expectedK: NaN, lowerK: NaN, upperK: NaN, liftK: NaN, localFdr: NaN, heatRatio: NaN,
  heatRatioHalf: NaN, smallestRatioSeen: NaN, hotterCount: NaN, comparableCount: NaN, pValue: NaN,
  at80: { at: NaN, low: NaN, high: NaN }, at100: { at: NaN, low: NaN, high: NaN },
};

// query judging.verdict: how far the termination stands above the device and its wire, K
const terminalPeakK = (r) => r.terminationRiseK - greatest(r.riseK, or(r.conductorRiseK, r.riseK));

// macro verdict_over: how far each channel lies over what its standard allows, K
function overOf(data, reading, idleLiftK) {
  const p = data.policy;
  const times = greatest(or(reading.load, 0), 1) ** 2;
  const air = greatest(reading.ambientDegc - 40, 0);
  return {
    termination: reading.terminationRiseK + air - p.flagTerminationRiseK * times,
    face: reading.riseK + greatest(reading.ambientDegc - 25, 0) - p.flagFaceRiseK * times,
    insulation: reading.conductorRiseK + reading.ambientDegc - p.flagWireDegc,
    wire: reading.conductorRiseK + air - p.flagTerminationRiseK * times,
    idle: idleLiftK - p.flagLikeLiftK,
  };
}

// macro verdict_beyond, query judging.verdict: the limit it lies over and by how much, K
function beyondOf(data, reading, terminal, heat) {
  const p = data.policy;
  const isIdle = reading.load < p.worthIdleShare && ["standard", "main"].includes(reading.deviceClass);
  const idleLiftK = isIdle ? greatest(heat.liftK, terminal ? terminal.residualK : heat.liftK) : NaN;
  const over = overOf(data, reading, idleLiftK);
  const isExplained = reading.load > p.loadContinuousShare && reading.riseK <= heat.upperK;
  const beyond = Object.keys(over).find((name) => over[name] > 0 && !(name === "face" && isExplained));
  const likeMarginK = (terminal ? terminal.residualK : NaN)
    - p.flagLikeLiftK * greatest(or(reading.load, 0), 1) ** 2;
  const beyondMarginK = greatest(...Object.values(over), terminalPeakK(reading) - p.flagTerminalPeakK, likeMarginK);
  return { beyond: beyond ?? null, isFaceOver: over.face > 0, beyondMarginK, isOverLike: likeMarginK >= 0 };
}

// query judging.verdict: the marks that the verdict is made of
function flagsOf(data, reading, rows, heat) {
  const { face, terminal } = rows;
  const p = linesOf(data, reading);
  const limits = beyondOf(data, reading, terminal, heat);
  const terminalK = terminal ? terminal.residualK : NaN;
  const mostK = greatest(heat.liftK, terminal ? terminal.residualK : 0);
  const isHot = heat.probability >= p.flagProbability && mostK >= p.flagLiftK
    && (heat.heatRatio >= p.flagHeatRatio || Boolean(terminal))
    && reading.load >= p.flagLoadShare && isKnown(heat.expectedK);
  return {
    ...limits,
    isSuspect: isHot || terminalPeakK(reading) >= p.flagTerminalPeakK || limits.isOverLike
      || limits.beyond !== null,
    isFaceHot: heat.liftK >= p.flagLiftK && heat.heatRatio >= p.flagHeatRatio
      && (reading.riseK > heat.upperK || or(terminalK, 0) <= heat.liftK),
    terminalK,
    wireZ: rows.wire ? rows.wire.z : NaN,
    continuousShare: p.loadContinuousShare,
    isLoaded: reading.load > p.loadContinuousShare,
    isSuspectIfLoaded: heat.probability >= p.flagLoadedProbability && mostK > 0,
    isOverRating: reading.load > p.loadAnyShare,
    isIdleElectronic: reading.load < p.worthIdleShare
      && !["standard", "main"].includes(reading.deviceClass),
    isTooCold: Boolean(face) && face.z < -p.worthColdSpreads,
    isUnsettled: reading.minutes < p.worthSettledMinutes,
    isUnderGate: reading.load < p.loadGateShare,
  };
}

// query judging.verdict
function verdictOf(data, reading, heat, flags) {
  if (reading.isRecheck || (flags.isTooCold && flags.beyond === null)) return "recheck";
  if (!isKnown(reading.load) || !isKnown(heat.expectedK)) {
    return flags.isSuspect ? "suspect_connection" : "cannot_judge";
  }
  if (flags.isLoaded && (flags.isSuspect || flags.isSuspectIfLoaded)) return "overload_and_connection";
  if (flags.isSuspect) return "suspect_connection";
  if (flags.isLoaded) return "overload";
  if (flags.isIdleElectronic && reading.riseK <= heat.upperK) return "normal";
  if (flags.isUnsettled || reading.load < linesOf(data, reading).flagLoadShare) return "cannot_judge";
  return heat.smallestRatioSeen <= data.policy.worthSmallestRatio ? "normal" : "cannot_judge";
}

// query normalise.measure: what was typed as rises and a load fraction
function measured(reading) {
  return {
    ...reading,
    load: reading.currentA / reading.ratedA,
    riseK: reading.deviceDegc - reading.ambientDegc,
    terminationRiseK: reading.terminationDegc - reading.ambientDegc,
    conductorRiseK: reading.conductorDegc - reading.ambientDegc,
  };
}

// query normalise.channel and judging.residual: the channels that were read, laid on the baseline
function rowsOf(data, reading) {
  const row = (channel, riseK) =>
    isKnown(reading.load) && isKnown(riseK) ? laid(data, channel, reading, riseK, reading.load) : null;
  return {
    face: row("face", reading.riseK),
    terminal: row("termination", reading.terminationRiseK),
    wire: row("conductor", reading.conductorRiseK),
  };
}

// query screening.result: everything that is said of one reading
function judge(data, typed) {
  const reading = measured(typed);
  const rows = rowsOf(data, reading);
  const heat = rows.face
    ? heatOf(data, reading, rows.face, rows.terminal)
    : { ...NO_HEAT, probability: or(warmShareOf(data, reading), 1e-3) };
  heat.score = Math.log(greatest(heat.probability, 1e-12))
    - Math.log(greatest(1 - heat.probability, 1e-12));
  const flags = flagsOf(data, reading, rows, heat);
  const verdict = verdictOf(data, reading, heat, flags);
  const near = borderlineOf(data, reading, rows, heat, flags, verdict);
  const found = { reading, ...heat, ...flags, ...near, verdict, z: rows.face ? rows.face.z : NaN };
  return { ...found, reason: verdictReason(data, found), nextStep: verdictNextStep(found) };
}
