// Evidence for a fault at the reading's own current: query judging.evidence.

// macro fault_likelihoods
function faultLikelihoods(mix, power, square, cross, size) {
  const distance = mix.freedom + square;
  return mix.ratios.map((r) => (distance / (distance - 2 * r * cross + r * r * size)) ** power);
}

const innerProduct = (a, b, from = 0) => {
  let sum = 0;
  for (let i = from; i < a.length; i += 1) sum += a[i] * b[i];
  return sum;
};

// macro material_odds; ratios are counted from 1 as in SQL
function materialOdds(likelihoods, weights, firstStep) {
  const whole = Math.ceil(2 - firstStep);
  const sum = innerProduct(weights, likelihoods, clamped(whole, 1, 28) - 1);
  const part = clamped(whole - 1, 0, 28);
  if (part < 1 || part > weights.length) return sum;
  return sum + (firstStep + whole - 2) * weights[part - 1] * likelihoods[part - 1];
}

// device_step and terminal_step: how many steps the least fault's lift lies above a material one
function stepOf(data, mix, loadRiseK) {
  const lift = greatest(mix.ratios[0] * loadRiseK, 1e-9) / data.policy.materialLiftK;
  return Math.log(lift) / Math.log(data.constants.ratioStep) + 0.5;
}

// the face alone: a fault is seen in one residual
function oneChannel(mix, face) {
  const unit = mix.tailScale * mix.tailScale;
  const power = mix.temper * (mix.freedom + 1) / 2;
  return faultLikelihoods(mix, power, face.z * face.z / unit, face.z * face.loadSize / unit,
    face.loadSize * face.loadSize / unit);
}

// face and termination: a fault that lifts them by faceSize and terminalSize a unit of its ratio
function twoChannels(mix, face, terminal, faceSize, terminalSize) {
  const unit = mix.tailScale * mix.tailScale;
  const rho = mix.channelCorrelation;
  return faultLikelihoods(mix, mix.temper * (mix.freedom + 2) / 2,
    jointSquare(face.z, terminal.z, rho) / unit,
    jointCross(face.z, terminal.z, faceSize, terminalSize, rho) / unit,
    jointSquare(faceSize, terminalSize, rho) / unit);
}

// likelihoods of a fault at the terminal, of one in the device, and of a crimp away from it
function placesOf(mix, face, terminal) {
  if (!terminal) {
    const alone = oneChannel(mix, face);
    return { atTerminal: alone, inDevice: alone, atCrimp: alone };
  }
  const size = face.loadRiseK / (terminal.spreadK * terminal.scale);
  const there = size / mix.facePerTerminal;
  return {
    atTerminal: twoChannels(mix, face, terminal, face.loadSize, there),
    inDevice: twoChannels(mix, face, terminal, face.loadSize, size * mix.terminalPerFace),
    atCrimp: twoChannels(mix, face, terminal, 0, there),
  };
}

// odds of any fault and of a material one, over the places where it may sit
function evidenceOf(data, mix, face, terminal) {
  const places = placesOf(mix, face, terminal);
  const crimp = data.constants.crimpShare;
  const shares = [mix.terminalShare * (1 - crimp), mix.terminalShare * crimp, 1 - mix.terminalShare];
  const found = [places.atTerminal, places.atCrimp, places.inDevice];
  const terminalStep = stepOf(data, mix, face.loadRiseK / mix.facePerTerminal);
  const steps = [terminalStep, terminalStep, stepOf(data, mix, face.loadRiseK)];
  const summed = (of) => found.reduce((sum, one, i) => sum + shares[i] * of(one, i), 0);
  const odds = summed((one) => innerProduct(mix.weights, one));
  const doubted = 1 + data.constants.doubt * odds;
  return {
    odds: odds / doubted,
    materialOdds: summed((one, i) => materialOdds(one, mix.faultWeights, steps[i])) / doubted,
  };
}

// fitting.mixture of the family, at a working load or not
function mixtureOf(data, reading) {
  const family = poleFamily(reading.deviceClass, reading.poles > 1);
  const isWorking = reading.load >= data.mixtures[`${family} idle`].workingShare;
  return data.mixtures[`${family} ${isWorking ? "working" : "idle"}`];
}

// macro healthy_chance
const healthyChance = (isMultiPole, odds, material) => 1 - (isMultiPole ? material : odds) / (1 + odds);
