// The sentences of a verdict: macros verdict_reason and verdict_next_step, word by word.

const percentOf = (load) => fixed(100 * load, 0);

function evenInteger(value) {
  return Number(fixed(value, 0));
}

function unjudgedReason(found) {
  const { reading } = found;
  if (!isKnown(reading.load)) return "No current was clamped, so its heat cannot be set against its load.";
  if (!isKnown(found.expectedK)) return "The baseline knows no device of this class yet.";
  if (found.isUnsettled) {
    return `Only ${evenInteger(reading.minutes)} minutes after the loads came on: not settled.`;
  }
  if (found.isIdleElectronic) {
    return "Warmer with no load than others of its class: no sign of its connections, which no load tests.";
  }
  if (or(found.smallestRatioSeen, 1e9) > 50) {
    return `At ${percentOf(reading.load)} % of rating hardly any fault would show.`;
  }
  return `At ${percentOf(reading.load)} % of rating only a fault of `
    + `${fixed(found.smallestRatioSeen, 1)} times the usual heat would show.`;
}

function normalReason(found) {
  if (found.isIdleElectronic) {
    return "Warm with no load is usual for a device with electronics of its own; "
      + "with no load this says nothing of its connections.";
  }
  const heat = found.heatRatio < 0.1
    ? "no more than with no load" : `${fixed(found.heatRatio, 1)} times the usual heat`;
  return `Usual for its class at ${percentOf(found.reading.load)} % of rating `
    + `(${heat}); a fault of `
    + `${fixed(found.smallestRatioSeen, 1)} times the usual heat would have been noticed.`;
}

function overloadReason(found) {
  const limit = found.isOverRating
    ? "" : `, over the ${percentOf(found.continuousShare)} % for a load of three hours or more`;
  const even = found.heatPattern === "even"
    ? ", and wire and termination are evenly warm, as current makes them" : "";
  const over = found.isFaceOver
    ? ", yet hotter than its standard allows a breaker at full load" : "";
  const early = found.isUnsettled
    ? `; ${evenInteger(found.reading.minutes)} minutes after the loads came on it is not settled` : "";
  return `Carries ${percentOf(found.reading.load)} % of rating${limit}; `
    + `its heat is explained by its current${even}${over}${early}.`;
}

const counted = (count) => count.toLocaleString("en-US");

function rankedWords({ hotterCount, comparableCount }) {
  if (!(comparableCount > 0)) return "no reading is comparable yet";
  const ran = hotterCount > 0 ? `${counted(hotterCount)} ran hotter for their` : "none ran hotter for its";
  return `of ${counted(comparableCount)} comparable readings ${ran} current`;
}

// macro verdict_beyond_reason
function beyondReason(data, found) {
  const p = data.policy;
  const over = (k) => `(${fixed(k, 0)} K or ${fixed(1.8 * k, 0)} °F over the air)`;
  const sentence = {
    termination: `Its termination is hotter than its standard allows a breaker at full load ${over(p.flagTerminationRiseK)}`,
    face: `Its face is hotter than its standard allows a breaker at full load ${over(p.flagFaceRiseK)}`,
    insulation: "Its wire is hotter than common insulation is rated for "
      + `(${fixed(p.flagWireDegc, 0)} °C or ${fixed(1.8 * p.flagWireDegc + 32, 0)} °F at most)`,
    wire: `Its wire is hotter than its standard allows a termination at full load ${over(p.flagTerminationRiseK)}`,
    idle: `With no load it is more than ${fixed(p.flagLikeLiftK, 0)} K or ${fixed(1.8 * p.flagLikeLiftK, 0)} °F `
      + "over what is usual, and without current it has no heat of its own",
  }[found.beyond];
  return `${sentence}${found.isLoaded ? `; it carries ${percentOf(found.reading.load)} % of rating` : ""}.`;
}

function suspectReason(data, found) {
  if (found.beyond !== null) return beyondReason(data, found);
  if (found.heatPattern === "peaks_at_terminal" && !found.isFaceHot) {
    return "Its heat peaks at the termination, well above the device, as a bad connection’s does; "
      + "the face alone would not show it.";
  }
  if (found.terminalK > 0 && !found.isFaceHot) {
    const share = found.verdict === "overload_and_connection"
      ? `, which is ${percentOf(found.reading.load)} % of rating` : "";
    return `${found.wireZ > 2 ? "Its termination and wire are" : "Its termination is"} warmer than its `
      + `current explains${share}; the face alone would not show it.`;
  }
  const load = found.verdict === "overload_and_connection"
    ? `, and carries ${percentOf(found.reading.load)} % of rating` : "";
  const where = {
    peaks_at_terminal: ", and its heat peaks at the termination, as a bad connection’s does",
    peaks_in_device: ", and it is hottest in the device, as a fault inside it makes it",
  }[found.heatPattern] ?? "";
  return `Runs ${fixed(greatest(found.heatRatio, 0), 1)} times as hot for its current as usual${load}; `
    + `${rankedWords(found)}${where}.`;
}

// macro verdict_reason
function verdictReason(data, found) {
  switch (found.verdict) {
    case "recheck":
      return found.reading.recheckSentence
        ?? "Far colder than any device of its class: something was misread.";
    case "cannot_judge": return unjudgedReason(found);
    case "normal": return normalReason(found);
    case "overload": return overloadReason(found);
    default: return suspectReason(data, found);
  }
}

function unjudgedStep(found) {
  const isTerminalOpen = !isKnown(found.reading.terminationRiseK);
  if (!isKnown(found.reading.load)) {
    return isTerminalOpen
      ? "Clamp its current and scan again; read its termination too, which needs no clamp."
      : "Clamp its current and scan again.";
  }
  if (!isKnown(found.expectedK)) return "Collect readings of this class.";
  if (found.isUnsettled) return "Wait until the loads have run for half an hour and scan again.";
  const scan = found.isUnderGate
    ? "Scan again when its usual loads run, at 40 % of rating or more"
    : "Scan again when more of its usual loads run";
  return scan + (isTerminalOpen ? ", and read its termination too." : ".");
}

function normalStep(found) {
  const isTerminalOpen = !isKnown(found.reading.terminationRiseK);
  if (found.isIdleElectronic) {
    return `Scan again when its usual loads run${isTerminalOpen ? ", and read its termination too." : "."}`;
  }
  return isTerminalOpen && found.smallestRatioSeen >= 2
    ? `Read its termination too: its face shows only a fault of ${fixed(found.smallestRatioSeen, 1)} times the usual heat.`
    : "Keep the load with the reading, to compare with at the next visit.";
}

const LEAVE = "Leave it; do not go back in to clamp it. ";

const BORDERLINE_STEPS = {
  current: " Borderline: clamp its current again to settle it.",
  termination: " Borderline: read its termination and wire too.",
  ambient: " Borderline: read the ambient air again to settle it.",
  surface: " Borderline: scan its surface again to settle it.",
};

function borderlineStep(found) {
  if (found.beyond !== null) return "";
  if (found.settledBy === "other_leg") {
    return " Clamp the other leg too: it may carry more than the one that was clamped.";
  }
  if (or(found.flipChance, 0) < 0.2) return "";
  return BORDERLINE_STEPS[found.settledBy] ?? "";
}

function overloadStep(found) {
  if (found.isFaceOver) {
    return "Leave it and refer it to a licensed electrician: no standard allows a face so hot at full load.";
  }
  if (found.isOverRating || found.reading.minutes >= 180) { // three hours: NEC Article 100
    return "Refer the circuit’s load to a licensed electrician.";
  }
  return "If this load runs three hours or more at a time, refer it to a licensed electrician; "
    + "if not, keep its current with the reading.";
}

function firstStep(found) {
  const leave = found.beyond === null ? "" : LEAVE;
  switch (found.verdict) {
    case "recheck": return "Read ambient, device and current again, and check the units."
      + (found.beyond === null ? "" : " If it is as hot as read, leave it and refer it to a licensed electrician.");
    case "cannot_judge": return unjudgedStep(found);
    case "normal": return normalStep(found);
    case "overload": return overloadStep(found);
    case "suspect_connection":
      return `${leave}Refer to a licensed electrician: suspected connection or device fault.`;
    default: return `${leave}Refer to a licensed electrician: load and suspected connection or device fault.`;
  }
}

// macro verdict_next_step
const verdictNextStep = (found) => firstStep(found) + borderlineStep(found);
