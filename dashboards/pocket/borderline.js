// How near a verdict is to another one, and what would settle it: query judging.borderline.

// query judging.borderline: standard uncertainties of the air [K], the clamp [A, K], the lift [K]
function uncertaintyOf(data, reading, face) {
  const { cameraK, airK, clampShare, clampFloorA } = data.constants;
  const currentSdA = hypot(clampShare * reading.currentA, clampFloorA);
  const airSdK = least(airK, Math.sqrt(greatest(face.spreadK * face.spreadK - face.varianceK2, 0)));
  const clampSdK = face.exponent * face.loadRiseK / greatest(reading.currentA, 0.1) * currentSdA;
  return { currentSdA, airSdK, clampSdK, liftSdK: hypot(hypot(cameraK, airSdK), clampSdK) };
}

// macro evidence_over
const evidenceOver = (odds, materialOdds, line, doubt) =>
  Math.log(greatest(materialOdds - (1 + doubt) * line * odds, 1e-12))
  - Math.log(greatest(line, 1e-12)) - Math.log(greatest(1 - doubt * odds, 1e-12));

// macro chance_margin_k
function chanceMarginK(data, reading, { face, terminal }, heat, stated) {
  const { calibrationIntercept: a, calibrationSlope: b } = data.policy;
  const mix = mixtureOf(data, reading);
  const square = mix.freedom * mix.tailScale * mix.tailScale;
  const power = mix.temper * (mix.freedom + (terminal ? 2 : 1)) / 2;
  const z = greatest(face.z, terminal ? terminal.z : face.z);
  const over = evidenceOver(heat.odds, heat.materialOdds, recalibrated(stated, -a / b, 1 / b),
    data.constants.doubt);
  const there = greatest((square + z * z) * Math.exp(-over / power) - square, 0);
  return face.spreadK * face.scale * (z - Math.sqrt(there));
}

// query judging.borderline: kelvins to the nearest line about heat
function heatMarginK(data, reading, rows, heat, flags) {
  const { face, terminal } = rows;
  const p = linesOf(data, reading);
  const to = (line) => chanceMarginK(data, reading, rows, heat, line);
  const lift = greatest(heat.liftK, terminal ? terminal.residualK : heat.liftK);
  const ratio = terminal ? NaN : (heat.heatRatio - p.flagHeatRatio) * face.loadRiseK;
  const any = least(to(p.flagProbability), lift - p.flagLiftK, ratio);
  const loaded = flags.isLoaded ? least(to(p.flagLoadedProbability), lift) : NaN;
  return greatest(flags.beyondMarginK, any, loaded);
}

// query judging.borderline: chances that the instruments' errors carry it over a line
function chancesOf(data, reading, rows, heat, flags) {
  const sd = uncertaintyOf(data, reading, rows.face);
  const margin = heatMarginK(data, reading, rows, heat, flags);
  const loadMargin = (reading.load - data.policy.loadContinuousShare) * reading.ratedA / sd.currentSdA;
  return {
    ...sd,
    heatChance: normalCdf(-Math.abs(margin) / sd.liftSdK),
    loadChance: normalCdf(-Math.abs(loadMargin)),
  };
}

// query judging.borderline: the one re-measurement that would settle it
function settledBy(data, reading, terminal, verdict, chances) {
  const { cameraK } = data.constants;
  const isSuspect = ["suspect_connection", "overload_and_connection"].includes(verdict);
  if (reading.poles > 1 && isSuspect) return "other_leg";
  const isClampWorst = chances.clampSdK > greatest(cameraK, chances.airSdK);
  if (chances.loadChance > chances.heatChance || isClampWorst) return "current";
  if (!terminal) return "termination";
  return chances.airSdK > cameraK ? "ambient" : "surface";
}

// query judging.borderline: where the heat sits
function heatPattern(data, reading, { face, terminal, wire }, heat) {
  const { flagLiftK, flagTerminalPeakK } = linesOf(data, reading);
  if (terminalPeakK(reading) >= flagTerminalPeakK) return "peaks_at_terminal";
  if (!terminal) return null;
  const isAtTerminal = terminal.residualK >= greatest(heat.liftK, flagLiftK) && terminal.z > 2
    && (!wire || wire.z < terminal.z);
  if (isAtTerminal) return "peaks_at_terminal";
  if (wire && Math.abs(terminal.z) <= 2.5 && Math.abs(wire.z) <= 2.5) return "even";
  const isInDevice = heat.liftK > greatest(terminal.residualK, flagLiftK) && face.z > 2;
  return isInDevice ? "peaks_in_device" : null;
}

// query judging.borderline for a verdict that says something of the reading
function borderlineOf(data, reading, rows, heat, flags, verdict) {
  const { face, terminal } = rows;
  const pattern = heatPattern(data, reading, rows, heat);
  if (!face || ["recheck", "cannot_judge"].includes(verdict)) {
    return { flipChance: NaN, settledBy: null, heatPattern: pattern };
  }
  const chances = chancesOf(data, reading, rows, heat, flags);
  return {
    flipChance: 1 - (1 - or(chances.heatChance, 0)) * (1 - or(chances.loadChance, 0)),
    settledBy: settledBy(data, reading, terminal, verdict, chances),
    heatPattern: pattern,
  };
}
