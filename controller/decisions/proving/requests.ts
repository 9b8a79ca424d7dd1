import {
  PROOF_WORDS,
  type ProofPart,
  type ProofReading,
  RUN_LEAST_S,
  RUN_MOST_S,
} from "../../../shared/contract/proving.ts";
import type { ProvenRequest, ProveRequest } from "../../../shared/contract/requests.ts";
import { checkSettings } from "../../../shared/settings/check.ts";
import { FLOW_AGREES, JUG_LEAST_ML, SIPHON_MOST_ML } from "../../../shared/settings/limits.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { settingOf, settingsWith } from "../calibration/effective.ts";
import { type CalibrationMemory, calibrated } from "../calibration/memory.ts";
import { type MarkRequest, markMeasured } from "../calibration/requests.ts";
import { type ProofsMemory, type ProvingMemory, type Run, setProof, voided } from "./memory.ts";
import { stopped } from "./run.ts";
import { isReady, isSeenBothWays, nextWords } from "./status.ts";

/** All that a proving request may change. */
export interface Proven {
  readonly proofs: ProofsMemory;
  readonly proving: ProvingMemory;
  readonly calibration: CalibrationMemory;
}

export interface ProvenAnswer extends Proven {
  readonly accepted: boolean;
  readonly why: string;
}

/** Why this run may not begin, whatever part it is of; null = it may. */
export function runRefused(memory: ProvingMemory, { part, seconds }: ProveRequest): string | null {
  if (memory.run !== null) return `A run is under way: ${PROOF_WORDS[memory.run.part]}. Let it end, or end it.`;
  const [least, most] = [RUN_LEAST_S[part], RUN_MOST_S[part]];
  if (seconds >= least && seconds <= most) return null;
  const span = least === most ? `${most}` : `from ${least} to ${most}`;
  return `A run of this part lasts ${span} seconds.`;
}

export interface WatchFacts {
  readonly holding: boolean;
  readonly returnPump: "on" | "off" | "unknown" | "not-fitted";
}

/** Why this watch may not begin; null = it may. */
export function watchRefused(part: ProofPart, { holding, returnPump }: WatchFacts): string | null {
  if (part === "pump-off-level") {
    return returnPump === "on" || returnPump === "unknown"
      ? "Stop the return pump first: the watch begins when it is seen to stand still."
      : null;
  }
  return holding ? null : "Start a hold first: a thermometer that a hand warms would look like one that failed.";
}

/** `isSwitched`: pump or heater are switched by their own machine; every other run only watches. */
export function begun(memory: ProvingMemory, { part, seconds }: ProveRequest, isSwitched: boolean): ProvingMemory {
  const phase = isSwitched ? "running" : "watching";
  const leftMs = Math.round(seconds * 1000);
  const run: Run = { part, phase, leftMs, ranMs: 0, startC: null, otherC: null, sensedMs: 0 };
  return { ...memory, run, lastRun: null, shown: null };
}

export function endRun(memory: ProvingMemory): { proving: ProvingMemory; accepted: boolean; why: string } {
  if (memory.run === null) return { proving: memory, accepted: false, why: "There is no run to end." };
  const why = "The run was ended by hand. Nothing is proven by it and nothing is lost.";
  return { proving: stopped(memory, memory.run.part, why), accepted: true, why };
}

/** A person says that a part works; believed only of what was seen within the last minutes. */
export function proven(state: Proven, request: ProvenRequest, settings: Settings): ProvenAnswer {
  const { part } = request;
  const refuse = (why: string, changed: Partial<Proven> = {}): ProvenAnswer => ({
    ...state,
    ...changed,
    accepted: false,
    why,
  });
  if (!isReady(part, state.proving)) return refuse(nextWords(part, state.proving, false));
  if (part === "top-off-pump") return flowProven(state, request, settings);
  if (part === "siphon") return siphonProven(state, request);
  if (part === "pump-off-level") return levelProven(state, request, settings);
  const { shown } = state.proving;
  return accepted(state, request, shown?.part === part ? shown.reading : null, "Proven.");
}

function accepted(state: Proven, { part, by }: ProvenRequest, reading: ProofReading | null, why: string): ProvenAnswer {
  const { proofs, proving } = state;
  return {
    ...state,
    proofs: setProof(proofs, part, { ageMs: -proofs.sinceMs, by: by ?? null, reading, changed: null }),
    proving: used(proving, part),
    accepted: true,
    why,
  };
}

/** What was seen counts for one proof. */
function used(proving: ProvingMemory, part: ProofPart): ProvingMemory {
  if (!isSeenBothWays(part)) return proving.shown?.part === part ? { ...proving, shown: null } : proving;
  const seen = { ...proving.contacts[part], turns: 0, leftMs: 0 };
  return { ...proving, contacts: { ...proving.contacts, [part]: seen } };
}

function siphonProven(state: Proven, request: ProvenRequest): ProvenAnswer {
  const { ml, backward } = request;
  const failed = (why: string): ProvenAnswer => ({
    ...state,
    proofs: voided(state.proofs, "siphon"),
    proving: used(state.proving, "siphon"),
    accepted: false,
    why,
  });
  if (backward === true) {
    return failed("Not proven: water ran back into the reservoir. Lift the tube's end above the water and try again.");
  }
  if (ml === undefined) {
    return { ...state, accepted: false, why: "Say how many millilitres ran into the jug after the pump had stopped." };
  }
  if (!(ml <= SIPHON_MOST_ML)) {
    return failed(
      `Not proven: ${ml} mL after the stop are a siphon. End the tube in the air above the highest water, or fit a siphon break.`,
    );
  }
  return accepted(state, request, { value: ml, unit: "mL" }, "Proven: it stops when it is told to.");
}

/** The level that the chamber has reached becomes its mark, where somebody has measured it. */
function levelProven(state: Proven, request: ProvenRequest, settings: Settings): ProvenAnswer {
  const { mm, at, id, by } = request;
  if (mm === undefined) return accepted(state, request, null, "Proven.");
  const asked: MarkRequest = {
    kind: "calibrate",
    step: "mark",
    mark: "pump-off-level-mm",
    mm,
    at,
    id,
    ...(by === undefined ? {} : { by }),
  };
  const { calibration, accepted: fits, why } = markMeasured(state.calibration, asked, settings);
  if (!fits) return { ...state, accepted: false, why };
  return accepted({ ...state, calibration }, request, { value: mm, unit: "mm" }, `Proven. ${why}`);
}

/** Two runs into a jug that agree; what they say is the flow from now on, as a calibration that can be taken back. */
function flowProven(state: Proven, request: ProvenRequest, settings: Settings): ProvenAnswer {
  const { ml } = request;
  const refuse = (why: string, proving = state.proving): ProvenAnswer => ({ ...state, proving, accepted: false, why });
  const ranMs = state.proving.shown?.ranMs ?? 0;
  if (ml === undefined) return refuse("Say how many millilitres are in the jug.");
  if (!(ml >= JUG_LEAST_ML)) {
    return refuse(
      `Less than ${JUG_LEAST_ML} mL show no flow: run it for longer, and look at the tube for kinks and air.`,
    );
  }
  const mlPerS = (ml * 1000) / ranMs;
  const first = state.proving.firstMlPerS;
  const after = { ...used(state.proving, "top-off-pump"), firstMlPerS: mlPerS };
  const noted = `${ml} mL in ${(ranMs / 1000).toFixed(1)} s are ${mlPerS.toFixed(1)} mL/s.`;
  if (first === null) {
    return { ...state, proving: after, accepted: true, why: `${noted} Empty the jug and run it once more.` };
  }
  const apart = Math.abs(mlPerS - first) / Math.max(mlPerS, first);
  if (apart > FLOW_AGREES) {
    return refuse(
      `${noted} The run before gave ${first.toFixed(1)} mL/s: ${Math.round(apart * 100)} % apart. Let the air out of the tube and run it once more.`,
      after,
    );
  }
  return flowTaken(state, request, (mlPerS + first) / 2, settings);
}

const L_PER_MIN_OF_ML_PER_S = 60 / 1000;

function flowTaken(state: Proven, request: ProvenRequest, mlPerS: number, settings: Settings): ProvenAnswer {
  const flowLPerMin = mlPerS * L_PER_MIN_OF_ML_PER_S;
  const before = state.calibration.values["top-off-flow"]?.value ?? settingOf("top-off-flow", settings);
  const calibration = calibrated(state.calibration, {
    what: "top-off-flow",
    before,
    after: flowLPerMin,
    by: request.by ?? null,
    lot: null,
    temperatureC: null,
    standards: [],
    doubt: flowLPerMin * FLOW_AGREES,
  });
  const [fault] = checkSettings(settingsWith(settings, calibration.values)).faults;
  if (fault !== undefined) {
    const why = `This flow does not go with the settings: ${fault.path} must be ${fault.expected}. Change that, then prove the pump again.`;
    return { ...state, proving: { ...used(state.proving, "top-off-pump"), firstMlPerS: null }, accepted: false, why };
  }
  const why = `Proven: ${mlPerS.toFixed(1)} mL/s, ${flowLPerMin.toFixed(2)} L/min from now on (before: ${before.toFixed(2)}).`;
  const proving = { ...state.proving, firstMlPerS: null };
  return accepted({ ...state, proving, calibration }, request, { value: mlPerS, unit: "mL/s" }, why);
}
