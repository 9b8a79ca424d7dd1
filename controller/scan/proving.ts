import type { Settings } from "../../shared/settings/schema.ts";
import { agreeingWith } from "../decisions/calibration/agreeing.ts";
import { type CalibrationMemory, calibrationUnder } from "../decisions/calibration/memory.ts";
import { type SessionMemory, type SessionReads, sessionStatus } from "../decisions/calibration/session.ts";
import { calibrationStatus } from "../decisions/calibration/status.ts";
import type { HeatVerdict } from "../decisions/heat/machine.ts";
import {
  ageOf,
  fallen,
  olderProofs,
  type ProofsMemory,
  type ProvingMemory,
  proofsUnder,
  voided,
} from "../decisions/proving/memory.ts";
import { eachPart } from "../decisions/proving/parts.ts";
import { followProving, type ProvingFacts, type RunOfMachine } from "../decisions/proving/run.ts";
import { looksAlike, provingStatus } from "../decisions/proving/status.ts";
import type { TopOffVerdict } from "../decisions/top-off/machine.ts";
import { heatFacts, topOffFacts } from "./facts.ts";
import type { BothHeated, Heated } from "./heat.ts";
import type { Durable, Memory, Shown, Volatile } from "./memory.ts";
import type { Answering, RequestFacts } from "./requests.ts";
import type { Moment } from "./sense.ts";
import { outOfWater } from "./trust.ts";

/** Proofs and calibrations under these settings: what was made under others falls, in the scan that first sees them. */
export function underSettings(memory: Memory, file: Settings): Memory {
  const { durable } = memory;
  const proofs = proofsUnder(durable.proofs, file);
  const under = calibrationUnder(durable.calibration, file);
  if (proofs === durable.proofs && under === durable.calibration) return memory;
  const calibration = agreeingWith(under, file);
  return { ...memory, durable: { ...durable, proofs: without(proofs, under, calibration), calibration } };
}

/** A part that was proven with a calibration that has just fallen is not proven any more, and said to be so. */
function without(proofs: ProofsMemory, before: CalibrationMemory, after: CalibrationMemory): ProofsMemory {
  const fell = (what: "top-off-flow" | "high-float-mm" | "pump-off-level-mm") =>
    before.values[what] !== null && after.values[what] === null;
  const pump = fell("top-off-flow") ? fallen(proofs, "top-off-pump") : proofs;
  return fell("high-float-mm") || fell("pump-off-level-mm") ? fallen(pump, "pump-off-level") : pump;
}

export function requestFacts(
  moment: Moment,
  durable: Durable,
  volatile: Volatile,
  settings: Settings,
  file: Settings,
): RequestFacts {
  const flow = moment.signals.contacts["return-sensor"];
  return {
    topOff: topOffFacts(moment, durable, volatile),
    heat: heatFacts(moment, durable, volatile, "heater-1", null),
    secondHeat: moment.plan.secondHeat === null ? null : heatFacts(moment, durable, volatile, "heater-2", null),
    watch: {
      holding: durable.hold.leftMs > 0,
      returnPump: flow.doubt === "not-fitted" ? "not-fitted" : flow.position,
    },
    outOfWater: outOfWater(moment.signalsMemory),
    reads: sessionReads(moment),
    settings,
    file,
  };
}

/** In the air a cell reads next to nothing, which is out of the signal's range; here that is what is looked for. */
export function sessionReads({ image, signals, corrections }: Moment): SessionReads {
  const { conductivity, conductivityTemperature, first, second } = signals;
  const bare = image.readings["conductivity-probe"]?.value?.conductivityMsPerCm ?? null;
  const inAir = bare !== null && Number.isFinite(bare) && conductivity.doubt === "out-of-range";
  return {
    cellMsPerCm: conductivity.value ?? (inAir ? bare * corrections.cellFactor : null),
    cellC: conductivityTemperature.value,
    firstC: first.value,
    secondC: second.value,
  };
}

export function provingFacts(
  { image, elapsed, signals }: Moment,
  volatile: Volatile,
  topOff: TopOffVerdict,
  { heat, secondHeat }: BothHeated,
): ProvingFacts {
  return {
    elapsed,
    contacts: signals.contacts,
    thermometers: [signals.first, signals.second],
    board: image.board,
    pump: {
      underWay: topOff.memory.state === "proving",
      ended: topOff.proved,
      on: volatile.commands["top-off-pump"],
      why: topOff.why,
      powered: image.seen["top-off-pump"],
    },
    heater: heaterRun(heat.verdict, volatile.commands["heater-1"], image.seen["heater-1"]),
    secondHeater:
      secondHeat === null ? null : heaterRun(secondHeat.verdict, volatile.commands["heater-2"], image.seen["heater-2"]),
  };
}

const heaterRun = ({ memory, proved, why }: HeatVerdict, on: boolean, powered: boolean | null): RunOfMachine => ({
  underWay: memory.durable.provingMs > 0,
  ended: proved,
  on,
  why,
  powered,
});

interface Followed {
  readonly proofs: ProofsMemory;
  readonly proving: ProvingMemory;
  readonly urgent: boolean;
}

export function followed({ durable, proving }: Answering, facts: ProvingFacts): Followed {
  const { memory, failed } = followProving(proving, facts);
  const older = olderProofs(durable.proofs, facts.elapsed.ms);
  const ended = older.running !== null && memory.run === null && memory.shown === null;
  if (failed === null && !ended) return { proofs: older, proving: memory, urgent: false };
  const proofs = failed === null ? older : voided(older, failed);
  return { proofs: { ...proofs, running: null }, proving: memory, urgent: true };
}

/** What is shown of it all, made anew only when something of it has changed. */
export function shownOf(
  before: Shown | null,
  decided: {
    readonly session: SessionMemory | null;
    readonly proofs: ProofsMemory;
    readonly proving: ProvingMemory;
    readonly durable: Durable;
    readonly topOff: TopOffVerdict;
    readonly heat: Heated;
    readonly secondHeat: Heated | null;
  },
  file: Settings,
): Shown {
  const { proofs, proving, session, durable, topOff, heat, secondHeat } = decided;
  const { calibration } = durable;
  const same = before !== null && before.parts === proofs.parts && before.entries === calibration.entries;
  if (same && before.session === session && looksAlike(before.from, proving)) return before;
  const state = topOff.memory;
  const waiting = state.state === "proving" && !topOff.pour;
  const heatsMs = [heat, secondHeat].map((each) => each?.verdict.memory.durable.provingMs ?? 0);
  const leftMs = state.state === "proving" ? state.provingMs - state.pourMs : Math.max(...heatsMs);
  return {
    parts: proofs.parts,
    from: proving,
    entries: calibration.entries,
    session,
    ages: eachPart((part) => ageOf(proofs, part)),
    proving: provingStatus(proofs, proving, waiting, Math.max(0, leftMs), file),
    calibration: calibrationStatus(calibration, session === null ? null : sessionStatus(session), file),
  };
}
