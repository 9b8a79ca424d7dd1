import type { ProofPart } from "../../../shared/contract/proving.ts";
import { HOLD } from "../hold/key.ts";
import { LEDGER } from "../ledger/key.ts";
import { isSeenOn, type ScanContext } from "../machine.ts";
import { PROVING } from "../proving/key.ts";
import { areProven, isOverdue } from "../proving/memory.ts";
import { isPumpWatched } from "../proving/run.ts";
import { isLevelSettled, isSteady, isSupplied, planStart } from "../start.ts";
import type { SalinityClass, TopOffFacts } from "./blockers.ts";
import { TOP_OFF } from "./key.ts";
import { planTopOff } from "./plan.ts";

/**
 * Top-off stands on these: two floats that read both ways, a high float that stays dry when the return pump stops, a
 * pump of known flow that does not run on, and a second switch. Settings that name a pump name all of them.
 */
export const PROVEN_BEFORE_TOP_OFF: readonly ProofPart[] = [
  "high-float",
  "working-float",
  "pump-off-level",
  "water-guard",
  "top-off-pump",
  "siphon",
];

/** Salinity that fell by more than this in six hours of valid readings, after pours. */
const FAST_FALL = 0.5;

/** Signals, quantities and what others remember, turned into the few things that top-off asks for. */
export function observeTopOff(context: ScanContext): TopOffFacts {
  const { image, elapsed, start, signals } = context;
  const { contacts } = signals;
  const plan = planStart(context.settings);
  const hold = context.keptOf(HOLD).durable;
  const proofs = context.keptOf(PROVING).durable;
  const { evaporation } = context.keptOf(LEDGER).volatile.ledger.status.classes;
  // As it was before anybody was heard: a word opens no way in the scan in which it is said.
  const pumpWatched = isPumpWatched(context.before(PROVING).volatile.proving);
  return {
    elapsed,
    working: contacts["working-float"],
    high: contacts["high-float"],
    low: contacts["low-float"],
    reservoir: contacts["reservoir-float"],
    floor: contacts["floor-sensor"],
    mains: contacts["mains-sensor"],
    returnPump: contacts["return-sensor"],
    levelSettled: isLevelSettled(start, plan),
    board: image.board,
    pumpLocked: image.pumpLocked === true,
    steady: isSteady(start, plan),
    supplied: isSupplied(start, plan) && !pumpWatched,
    pumpWatched,
    holding: hold.leftMs > 0,
    question: hold.question,
    disk: image.disk,
    durableSequence: image.durableSequence,
    nextSequence: context.nextSequence,
    pumpSeenOn: isSeenOn("top-off-pump", context),
    salinity: salinityClass(context),
    salinityRecovered: isRecovered(context),
    evaporation,
    fanBlows: context.fan === "on",
    proven: areProven(proofs, PROVEN_BEFORE_TOP_OFF),
    proofOverdue: isOverdue(proofs, "high-float"),
  };
}

function salinityClass(context: ScanContext): SalinityClass {
  const { salinity, salinityChangePer6h } = context.quantities;
  const { unexplained } = context.keptOf(LEDGER).volatile.ledger.status.classes;
  // Low salinity blocks only in agreement: here probe and ledger say the same.
  const low = salinity.value !== null && salinity.value < planTopOff(context.settings).lowSalinity;
  if (low && unexplained === "above") return "diluted";
  const fell = salinityChangePer6h !== null && salinityChangePer6h < -FAST_FALL;
  if (fell && context.keptOf(TOP_OFF).durable.excessUl > 0) return "diluted";
  // A box without a probe is kept by hand tests; a probe that fell silent, or reads low alone, restricts the budget.
  if (salinity.doubt === "not-fitted") return "credible";
  return salinity.value === null || low ? "doubtful" : "credible";
}

function isRecovered({ quantities, settings }: ScanContext): boolean {
  const { salinity, salinityChangePer6h } = quantities;
  const low = salinity.value === null || salinity.value < planTopOff(settings).lowSalinity;
  return !low && salinityChangePer6h !== null && salinityChangePer6h > -FAST_FALL / 2;
}
