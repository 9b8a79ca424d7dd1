import type { ProofPart, ProvingRun } from "../../../shared/contract/proving.ts";
import type { ProvenRequest, ProveRequest } from "../../../shared/contract/requests.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { settingsWith } from "../calibration/effective.ts";
import { CALIBRATION } from "../calibration/key.ts";
import type { CalibrationMemory } from "../calibration/memory.ts";
import { HOLD } from "../hold/key.ts";
import {
  type Answer,
  accept,
  type Kept,
  type Machine,
  type Others,
  refuse,
  type ScanContext,
  type WatchContext,
} from "../machine.ts";
import { isAtTank, NOT_AT_TANK, PRESENCE } from "../presence.ts";
import { PROVING, type ProvingVolatile, type Shown } from "./key.ts";
import {
  ageOf,
  everythingProven,
  FRESH_PROVING,
  fallen,
  nothingProven,
  olderProofs,
  type ProofsMemory,
  type ProofsTestimony,
  type ProvingMemory,
  proofsAfterRestart,
  proofsUnder,
  proofsVoid,
  provingAfterRestart,
  storedProofs,
  storedProofsTestimony,
  voided,
} from "./memory.ts";
import { eachPart, POURING_RUNS } from "./parts.ts";
import { begun, endRun, proven, runRefused, watchRefused } from "./requests.ts";
import { followProving, type SwitchedRun } from "./run.ts";
import { looksAlike, provingStatus } from "./status.ts";
import { begunWords } from "./words.ts";

type Own = Kept<ProofsMemory, ProvingVolatile>;
type OwnAnswer = Answer<ProofsMemory, ProvingVolatile>;

/**
 * Which parts have been seen to work, and the runs that show it. It notes a run and judges it; what switches the part
 * is the machine that has it, under all of its own trips.
 */
export const proving: Machine<ProofsMemory, ProvingVolatile, null, ProofsTestimony> = {
  key: PROVING,
  fresh: (settings) => ({ durable: everythingProven(settings), volatile: { proving: FRESH_PROVING, shown: null } }),
  lost,
  afterRestart({ durable, volatile }, restart, settings) {
    if (restart.memory === "older") return { durable: lost(settings, restart), volatile };
    const proving = provingAfterRestart(volatile.proving, durable.running);
    return {
      durable: { ...proofsAfterRestart(durable, restart.offMs), running: null },
      volatile: { ...volatile, proving },
    };
  },
  schema: storedProofs,
  testimony: { schema: storedProofsTestimony, of: testify },

  underSettings(kept, context) {
    const durable = withoutFallen(proofsUnder(kept.durable, context.file), context);
    return durable === kept.durable ? kept : { durable, volatile: kept.volatile };
  },

  request(kept, request, context) {
    switch (request.kind) {
      case "prove":
        return answerProve(kept, request, context);
      case "proven":
        return answerProven(kept, request, context);
      case "end-run":
        return isAtTank(request.at, context) ? answerEndRun(kept) : refuse(kept, NOT_AT_TANK);
      case "hold":
        return endPouring(kept);
      case "calibrate":
        return voidNarrowed(kept, context);
      case "undo-calibration":
        return voidUndone(kept, context);
      default:
        return null;
    }
  },

  watch(kept, context) {
    const { durable, proving, urgent } = follow(kept, context);
    return {
      kept: { durable, volatile: { proving, shown: showAnew(kept.volatile.shown, durable, proving, context) } },
      urgent,
    };
  },

  show(draft, { volatile }) {
    const { ages, status } = volatile.shown as Shown;
    draft.proofs = ages;
    draft.proving = status;
  },
};

function lost(settings: Settings, { testimony }: { readonly testimony: ProofsTestimony | null }): ProofsMemory {
  return testimony === null ? nothingProven(settings) : proofsVoid(settings, testimony);
}

function testify({ parts, prints }: ProofsMemory): ProofsTestimony {
  const proven = (Object.keys(parts) as ProofPart[]).filter((part) => parts[part].ageMs !== null);
  return { proven: Object.fromEntries(proven.map((part) => [part, prints[part]])) };
}

/** A part that was proven with a calibration that has just fallen is not proven any more, and said to be so. */
function withoutFallen(proofs: ProofsMemory, others: Others): ProofsMemory {
  const before = others.before(CALIBRATION).durable.values;
  const after = others.keptOf(CALIBRATION).durable.values;
  if (before === after) return proofs;
  const fell = (what: keyof typeof before) => before[what] !== null && after[what] === null;
  const pump = fell("top-off-flow") ? fallen(proofs, "top-off-pump") : proofs;
  return fell("high-float-mm") || fell("pump-off-level-mm") ? fallen(pump, "pump-off-level") : pump;
}

const withProving = (kept: Own, proving: ProvingMemory): Own => ({
  durable: kept.durable,
  volatile: { ...kept.volatile, proving },
});

/** A run of pump or heater begins where their own machine takes it too; every other run is a watch of the scan. */
function answerProve(kept: Own, request: ProveRequest, context: ScanContext): OwnAnswer {
  if (!isAtTank(request.at, context)) return refuse(kept, NOT_AT_TANK);
  const { proving } = kept.volatile;
  const isSwitched = context.isSwitched(request.part);
  const no = runRefused(proving, request) ?? (isSwitched ? null : watchRefused(request.part, watchFacts(context)));
  if (no !== null) return refuse(kept, no);
  const begins = withProving(kept, begun(proving, request, isSwitched));
  const durable = { ...kept.durable, running: request.part };
  return accept({ ...begins, durable }, begunWords(request.part, request.seconds));
}

function watchFacts(context: ScanContext) {
  const flow = context.signals.contacts["return-sensor"];
  return {
    holding: context.keptOf(HOLD).durable.leftMs > 0,
    returnPump: flow.doubt === "not-fitted" ? ("not-fitted" as const) : flow.position,
  };
}

function answerProven(kept: Own, request: ProvenRequest, context: ScanContext): OwnAnswer {
  if (!isAtTank(request.at, context)) return refuse(kept, NOT_AT_TANK);
  const calibrated = context.keptOf(CALIBRATION);
  const before = { proofs: kept.durable, proving: kept.volatile.proving, calibration: calibrated.durable };
  const { proofs, proving, calibration, accepted, why } = proven(before, request, context.file);
  const after = withProving({ durable: proofs, volatile: kept.volatile }, proving);
  if (!accepted) return refuse(after, why);
  if (calibration === calibrated.durable) return accept(after, why);
  // The flow of the pump and the level of the chamber are calibrations, found by proving.
  return { ...accept(after, why), also: { key: CALIBRATION, kept: { ...calibrated, durable: calibration } } };
}

function answerEndRun(kept: Own): OwnAnswer {
  const { proving, accepted, why } = endRun(kept.volatile.proving);
  if (!accepted) return refuse(kept, why);
  return accept(withProving({ ...kept, durable: { ...kept.durable, running: null } }, proving), why);
}

/** A hold stops the pump at once, in a proving run too: that may be begun anew in the hold, by whoever stands there. */
function endPouring(kept: Own): OwnAnswer | null {
  const { run } = kept.volatile.proving;
  const pours = run?.phase === "running" && (POURING_RUNS as readonly ProvingRun[]).includes(run.part);
  return pours ? { ...answerEndRun(kept), why: null } : null;
}

const NARROWER = "Less room is left over the water with the return pump off: prove that level again.";

/** Less room between the water with the return pump off and the high float than was seen to be enough. */
function voidNarrowed(kept: Own, context: ScanContext): OwnAnswer | null {
  const roomMm = ({ values }: CalibrationMemory) => {
    const { highFloatMm, pumpOffLevelMm } = settingsWith(context.file, values).tank;
    return highFloatMm - pumpOffLevelMm;
  };
  const narrower = roomMm(context.keptOf(CALIBRATION).durable) < roomMm(context.before(CALIBRATION).durable);
  return narrower ? accept({ ...kept, durable: voided(kept.durable, "pump-off-level") }, NARROWER) : null;
}

/** The pump was proven with the flow that is taken back, the level with its mark. */
function voidUndone(kept: Own, context: ScanContext): OwnAnswer | null {
  const before = context.before(CALIBRATION).durable.values;
  const after = context.keptOf(CALIBRATION).durable.values;
  const isOther = (what: keyof typeof before) => before[what]?.number !== after[what]?.number;
  const pump = isOther("top-off-flow") ? voided(kept.durable, "top-off-pump") : kept.durable;
  const level = isOther("pump-off-level-mm") || isOther("high-float-mm");
  return accept({ ...kept, durable: level ? voided(pump, "pump-off-level") : pump }, null);
}

function follow({ durable, volatile }: Own, context: WatchContext) {
  const { run } = volatile.proving;
  const { memory, failed } = followProving(volatile.proving, {
    elapsed: context.elapsed,
    contacts: context.signals.contacts,
    thermometers: [context.signals.first, context.signals.second],
    board: context.image.board,
    switched: run === null ? null : switchedRun(run.part, context),
  });
  const older = olderProofs(durable, context.elapsed.ms);
  const ended = older.running !== null && memory.run === null && memory.shown === null;
  if (failed === null && !ended) return { durable: older, proving: memory, urgent: false };
  const proofs = failed === null ? older : voided(older, failed);
  return { durable: { ...proofs, running: null }, proving: memory, urgent: true };
}

function switchedRun(part: ProvingRun, context: WatchContext): SwitchedRun | null {
  const run = context.runOf(part);
  if (run === null) return null;
  const { relay, underWay, ended, why } = run;
  return { underWay, ended, why, on: context.commanded[relay], powered: context.image.seen[relay] };
}

const MINUTE_MS = 60_000;

function showAnew(before: Shown | null, proofs: ProofsMemory, proving: ProvingMemory, context: WatchContext): Shown {
  const { atTankMs } = context.keptOf(PRESENCE).volatile;
  const calibrated = context.keptOf(CALIBRATION);
  const { session } = calibrated.volatile;
  const { entries } = calibrated.durable;
  const inMinutes = (ms: number) => Math.ceil(ms / MINUTE_MS);
  const same =
    before !== null &&
    before.parts === proofs.parts &&
    before.entries === entries &&
    before.session === session &&
    inMinutes(before.atTankMs) === inMinutes(atTankMs) &&
    looksAlike(before.from, proving);
  if (same) return before;
  const run = proving.run === null ? null : context.runOf(proving.run.part);
  const told = { run, atTankMs, gateOf: (part: ProofPart) => context.gateOf(part) };
  return {
    parts: proofs.parts,
    from: proving,
    atTankMs,
    entries,
    session,
    ages: eachPart((part) => ageOf(proofs, part)),
    status: provingStatus(proofs, proving, told, context.file),
  };
}
