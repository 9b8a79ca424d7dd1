import { CALIBRATED_UNITS, type Calibrated, type StandardTaken } from "../../../shared/contract/calibration.ts";
import type { CalibrateRequest } from "../../../shared/contract/requests.ts";
import { CALIBRATED_WORDS } from "../../../shared/contract/walk.ts";
import {
  DRY_MOST_MS_PER_CM,
  FACTOR_BETWEEN,
  FACTOR_REFUSED,
  FACTOR_REPEAT,
  FACTORS_AGREE,
  OFFSET_MOST_K,
} from "../../../shared/settings/limits.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { settingOf } from "./effective.ts";
import { AFTER_REFERENCE_K, type CalibrationMemory, calibrated } from "./memory.ts";
import { type MarkRequest, markMeasured } from "./requests.ts";
import {
  isDry,
  newSession,
  type SessionMemory,
  type SessionReads,
  steadiness,
  steadyReads,
  watchedAnew,
} from "./session.ts";
import { expectedOf, readsLike, STANDARD_WORDS, type StandardRequest, standardDoubtPercent } from "./standards.ts";

/** All that a step of a calibration may change. */
export interface Calibrating {
  readonly calibration: CalibrationMemory;
  readonly session: SessionMemory | null;
}

export interface CalibratingAnswer extends Calibrating {
  readonly accepted: boolean;
  readonly why: string;
}

const yes = (state: Calibrating, why: string): CalibratingAnswer => ({ ...state, accepted: true, why });
const no = (state: Calibrating, why: string): CalibratingAnswer => ({ ...state, accepted: false, why });

export function calibrate(
  state: Calibrating,
  request: CalibrateRequest,
  reads: SessionReads,
  file: Settings,
): CalibratingAnswer {
  const { session } = state;
  if (request.step === "mark") return answerMark(state, request, file);
  if (request.step === "begin") return begin(state, request, reads);
  if (session === null) return no(state, "No calibration is under way: begin one first.");
  if (request.step === "abandon") return yes({ ...state, session: null }, "Abandoned. Nothing has changed.");
  if (request.step === "watch") return yes({ ...state, session: watchedAnew(session) }, "Watched anew from now on.");
  if (request.step === "reference") return reference(state, session, request.referenceC, file);
  if (session.session !== "conductivity") return no(state, "That is a step of the conductivity, not of a thermometer.");
  switch (request.step) {
    case "dry":
      return dry(state, session);
    case "standard":
      return standard(state, session, request);
    case "accept":
      return accept(state, session, file);
  }
}

function answerMark(state: Calibrating, request: MarkRequest, file: Settings): CalibratingAnswer {
  const { calibration, accepted, why } = markMeasured(state.calibration, request, file);
  return { ...state, calibration, accepted, why };
}

type BeginRequest = Extract<CalibrateRequest, { readonly step: "begin" }>;

function begin(state: Calibrating, { session, by }: BeginRequest, reads: SessionReads): CalibratingAnswer {
  if (state.session !== null) return no(state, "A calibration is under way: accept or abandon it first.");
  const needed = {
    conductivity: [reads.cellMsPerCm],
    "thermometer-1": [reads.firstC],
    "thermometer-2": [reads.secondC],
    thermometers: [reads.firstC, reads.secondC],
  }[session];
  if (needed.includes(null)) return no(state, "It gives no value now: look at its wire before it is calibrated.");
  const begun = { ...state, session: newSession(session, by ?? null, reads) };
  return yes(begun, "Begun. It ends by itself after an hour, and changes nothing before it is accepted.");
}

function dry(state: Calibrating, session: SessionMemory): CalibratingAnswer {
  const { cellMsPerCm } = session.reads;
  if (cellMsPerCm === null) return no(state, "The cell gives no value; look at its wire.");
  if (!isDry(session.reads)) {
    const reads = `It reads ${cellMsPerCm.toFixed(2)} mS/cm in the air`;
    return no(
      state,
      `${reads}, more than ${DRY_MOST_MS_PER_CM}: rinse it, dry it, and look for salt between its plates.`,
    );
  }
  return yes({ ...state, session: { ...session, dry: true } }, "Dry. Now the first standard.");
}

const MOVING =
  "It still moves: a reading counts only when it has stood still. Wait, stir gently, and keep it from the sun.";

function standard(state: Calibrating, session: SessionMemory, request: StandardRequest): CalibratingAnswer {
  if (!session.dry)
    return no(state, "First the dry cell in the air (dry): salt between the plates would be calibrated in.");
  if (isDry(session.reads)) return no(state, "It reads as in the air: hang it in the standard first.");
  if (!steadiness(session).steady) return no(state, MOVING);
  const { cellMsPerCm, cellC } = steadyReads(session);
  const temperatureC = cellC ?? request.temperatureC;
  if (cellMsPerCm === null || temperatureC === undefined) {
    return no(state, "Say the temperature of the standard (temperatureC): the probe has no thermometer of its own.");
  }
  if (cellC !== null && request.temperatureC !== undefined && Math.abs(cellC - request.temperatureC) > 1) {
    return no(
      state,
      `The probe says ${cellC.toFixed(1)} °C and you ${request.temperatureC} °C: find out which is right.`,
    );
  }
  const expected = expectedOf(request, temperatureC);
  if (typeof expected === "string") return no(state, expected);
  const taken: StandardTaken = {
    standard: request.standard,
    lot: request.lot ?? null,
    temperatureC,
    expectedMsPerCm: expected,
    readMsPerCm: cellMsPerCm,
  };
  return standardTaken(state, session, taken);
}

const ratioOf = ({ expectedMsPerCm, readMsPerCm }: StandardTaken): number => expectedMsPerCm / readMsPerCm;

function standardTaken(state: Calibrating, session: SessionMemory, taken: StandardTaken): CalibratingAnswer {
  const { standard: which, temperatureC, expectedMsPerCm, readMsPerCm } = taken;
  const reads = `It reads ${readMsPerCm.toFixed(2)} where ${expectedMsPerCm.toFixed(2)} mS/cm are expected (${temperatureC.toFixed(1)} °C)`;
  const ratio = ratioOf(taken);
  if (!(Math.abs(ratio - 1) <= FACTOR_REFUSED)) {
    const like = readsLike(readMsPerCm, temperatureC, which);
    return no(
      state,
      like === null
        ? `${reads}: more than ${FACTOR_REFUSED * 100} % apart. Clean the cell, drive out bubbles, take fresh standard; if it stays, the probe is worn.`
        : `${reads}: that is what ${like} reads. Are the standards mixed up?`,
    );
  }
  const others = session.taken.filter((each) => each.standard !== which);
  const other = others.at(-1);
  if (other !== undefined && Math.abs(ratio / ratioOf(other) - 1) > FACTORS_AGREE) {
    const apart = (Math.abs(ratio / ratioOf(other) - 1) * 100).toFixed(1);
    return no(
      state,
      `${reads}: it and ${STANDARD_WORDS[other.standard]} disagree by ${apart} %. Are they mixed up, or is one spoilt? Take fresh ones.`,
    );
  }
  const next = { ...session, taken: [...others.slice(-1), taken] };
  const then = other === undefined ? "Accept, or take a second standard." : "Both agree: accept.";
  return yes({ ...state, session: next }, `${reads}. ${then}`);
}

function accept(state: Calibrating, session: SessionMemory, file: Settings): CalibratingAnswer {
  const { taken, repeat } = session;
  if (taken.length === 0) return no(state, "No standard has been taken yet.");
  const before = state.calibration.values.conductivity?.value ?? settingOf("conductivity", file);
  const ratios = taken.map(ratioOf);
  const mean = ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length;
  const after = before * mean;
  const percent = (Math.abs(mean - 1) * 100).toFixed(1);
  const [least, most] = FACTOR_BETWEEN;
  if (!(after >= least && after <= most)) {
    return no(state, `A factor of ${after.toFixed(3)} is no drift any more: the probe, or how it is set up, is wrong.`);
  }
  const repeated = repeat !== null && Math.abs(after / repeat - 1) <= FACTORS_AGREE;
  if (Math.abs(mean - 1) > FACTOR_REPEAT && !repeated) {
    const again = { ...state, session: { ...session, dry: false, taken: [], repeat: after } };
    return no(
      again,
      `That is a change of ${percent} %. Clean the cell and do it once more with fresh standard: it counts when it says the same.`,
    );
  }
  const spread = (Math.max(...ratios) - Math.min(...ratios)) * 50;
  const doubts = taken.map((each) => standardDoubtPercent(each.standard, each.expectedMsPerCm));
  const calibration = calibrated(state.calibration, {
    what: "conductivity",
    before,
    after,
    by: session.by,
    lot: taken.at(-1)?.lot ?? null,
    temperatureC: taken.at(-1)?.temperatureC ?? null,
    standards: taken,
    // The nearest to sea water says most; what the two disagree by is doubt as well.
    doubt: Math.hypot(Math.min(...doubts), spread),
  });
  const why = `Calibrated: factor ${after.toFixed(4)}, before ${before.toFixed(4)}, a change of ${percent} %.`;
  return yes({ calibration, session: null }, why);
}

/** What is left of two that were set to their mean: half-width at k = 2, common practice. */
const AFTER_MEAN_K = 0.35;

function reference(
  state: Calibrating,
  session: SessionMemory,
  referenceC: number | undefined,
  file: Settings,
): CalibratingAnswer {
  const { firstC, secondC } = steadyReads(session);
  if (session.session === "conductivity") return no(state, "That is a step of a thermometer, not of the conductivity.");
  if (!steadiness(session).steady) return no(state, MOVING);
  if (session.session === "thermometers") {
    if (referenceC === undefined && firstC !== null && secondC !== null)
      return together(state, session, firstC, secondC, file);
    return no(state, "Both are set to each other: send no value, or begin with one thermometer.");
  }
  if (referenceC === undefined) return no(state, "Say what the reference reads (referenceC).");
  const reads = session.session === "thermometer-1" ? firstC : secondC;
  if (reads === null) return no(state, "It gives no value now.");
  return moved(state, session, [{ what: session.session, byK: referenceC - reads, doubt: AFTER_REFERENCE_K }], file);
}

/** The relative offset is removed: towards the one that was set to a reference, else both to their mean. */
function together(
  state: Calibrating,
  session: SessionMemory,
  firstC: number,
  secondC: number,
  file: Settings,
): CalibratingAnswer {
  const { values } = state.calibration;
  const isKnown = (what: "thermometer-1" | "thermometer-2") => (values[what]?.doubt ?? Infinity) <= AFTER_REFERENCE_K;
  const [first, second] = [isKnown("thermometer-1"), isKnown("thermometer-2")];
  const trueC = first === second ? (firstC + secondC) / 2 : first ? firstC : secondC;
  const doubt = first || second ? AFTER_REFERENCE_K : AFTER_MEAN_K;
  const both = [
    { what: "thermometer-1" as const, byK: trueC - firstC, doubt },
    { what: "thermometer-2" as const, byK: trueC - secondC, doubt },
  ];
  return moved(state, session, first === second ? both : both.filter(({ what }) => !isKnown(what)), file);
}

interface Move {
  readonly what: Calibrated;
  readonly byK: number;
  readonly doubt: number;
}

function moved(state: Calibrating, session: SessionMemory, moves: readonly Move[], file: Settings): CalibratingAnswer {
  let { calibration } = state;
  const words: string[] = [];
  for (const { what, byK, doubt } of moves) {
    const before = calibration.values[what]?.value ?? settingOf(what, file);
    const after = before + byK;
    if (!(Math.abs(after) <= OFFSET_MOST_K)) {
      const off = `${after.toFixed(2)} K would be added`;
      return no(
        state,
        `${off}, more than ${OFFSET_MOST_K}: it is broken, or it and the reference are not in the same water.`,
      );
    }
    const { by } = session;
    const reads = steadyReads(session);
    const temperatureC = what === "thermometer-1" ? reads.firstC : reads.secondC;
    calibration = calibrated(calibration, { what, before, after, by, lot: null, temperatureC, standards: [], doubt });
    words.push(`${CALIBRATED_WORDS[what]}: ${after.toFixed(2)} ${CALIBRATED_UNITS[what]}, before ${before.toFixed(2)}`);
  }
  return yes({ calibration, session: null }, `Calibrated. ${words.join("; ")}.`);
}
