import type { Elapsed } from "../../shared/contract/elapsed.ts";
import type { BoardState } from "../../shared/contract/image.ts";
import type { StartStatus } from "../../shared/contract/record.ts";
import type { ContactSignal } from "../../shared/contract/signal.ts";
import * as limits from "../../shared/settings/limits.ts";
import { oncePerSettings } from "../../shared/settings/once.ts";
import { waitMs } from "../../shared/settings/waits.ts";

/** How long each thing must have been good before anything is energised. */
export interface StartPlan {
  readonly steadyMs: number;
  readonly topOffAfterStartMs: number;
  readonly flowBeforeHeatMs: number;
  readonly returnPumpSettleMs: number;
  /** A thermometer shares the chamber of the first heater. */
  readonly sharesChamber: boolean;
}

export const planStart = oncePerSettings(
  (settings): StartPlan => ({
    steadyMs: waitMs(limits.STEADY_MS, settings),
    topOffAfterStartMs: waitMs(limits.TOP_OFF_AFTER_START_MS, settings),
    flowBeforeHeatMs: waitMs(limits.FLOW_BEFORE_HEAT_MS, settings),
    returnPumpSettleMs: waitMs(limits.RETURN_PUMP_SETTLE_MS, settings),
    sharesChamber: settings.heat.thermometerSharesHeaterChamber,
  }),
);

/**
 * What must have been good for how long before anything is energised. Volatile: every start begins anew.
 * A silent or restarted board begins the steady time anew; lost mains and a stopped return pump begin theirs.
 */
export interface StartMemory {
  /** For the water: board and floats. */
  readonly steadyMs: number;
  /** For the heat: board and a temperature. A broken float never keeps a tank cold. */
  readonly heatSteadyMs: number;
  /** The board has been there for this long. */
  readonly readyMs: number;
  /** Mains and return pump steady, towards the first top-off after a start. */
  readonly suppliedMs: number;
  /** The return pump has run for this long. */
  readonly flowMs: number;
  /** The return pump was last seen stopped, or the process started, this long ago. */
  readonly flowChangedMs: number;
  readonly flow: ContactSignal["position"] | "not-fitted";
}

export const FRESH_START: StartMemory = {
  steadyMs: 0,
  heatSteadyMs: 0,
  readyMs: 0,
  suppliedMs: 0,
  flowMs: 0,
  flowChangedMs: 0,
  flow: "unknown",
};

export interface StartFacts {
  readonly elapsed: Elapsed;
  readonly board: BoardState;
  /** Every input that top-off needs has a position. */
  readonly inputsKnown: boolean;
  /** Some thermometer gives a temperature. */
  readonly temperatureKnown: boolean;
  readonly mains: ContactSignal;
  readonly returnPump: ContactSignal;
}

export function followStart(memory: StartMemory, facts: StartFacts, plan: StartPlan): StartMemory {
  const { elapsed, board, mains, returnPump } = facts;
  const { creditMs } = elapsed;
  const flow = returnPump.doubt === "not-fitted" ? "not-fitted" : returnPump.position;
  const running = flow === "on" || flow === "not-fitted";
  const supplied = running && (mains.position === "on" || mains.doubt === "not-fitted");
  const good = board === "ready" && facts.inputsKnown;
  const there = board === "ready" && !elapsed.gap;
  return {
    steadyMs: there ? steadyAfter(memory.steadyMs, facts.inputsKnown, creditMs, plan) : 0,
    heatSteadyMs: there ? steadyAfter(memory.heatSteadyMs, facts.temperatureKnown, creditMs, plan) : 0,
    readyMs: board === "ready" ? upTo(plan.flowBeforeHeatMs, memory.readyMs + creditMs) : 0,
    suppliedMs: supplied ? upTo(plan.topOffAfterStartMs, memory.suppliedMs + (good ? creditMs : 0)) : 0,
    flowMs: running ? upTo(plan.flowBeforeHeatMs, memory.flowMs + creditMs) : 0,
    flowChangedMs: changed(memory.flow, flow) ? 0 : upTo(plan.returnPumpSettleMs, memory.flowChangedMs + creditMs),
    flow,
  };
}

/** One failed input begins the count towards steady anew, and does not undo a steady time once served. */
function steadyAfter(steadyMs: number, good: boolean, creditMs: number, plan: StartPlan): number {
  if (good) return upTo(plan.steadyMs, steadyMs + creditMs);
  return steadyMs >= plan.steadyMs ? steadyMs : 0;
}

const upTo = (most: number, amount: number): number => Math.min(most, amount);

/** Unknown counts as a change: nobody can say that the pump did not stop meanwhile. */
const changed = (before: StartMemory["flow"], now: StartMemory["flow"]): boolean => before !== now;

export const isSteady = (memory: StartMemory, plan: StartPlan): boolean => memory.steadyMs >= plan.steadyMs;
export const isHeatSteady = (memory: StartMemory, plan: StartPlan): boolean => memory.heatSteadyMs >= plan.steadyMs;
export const isSupplied = (memory: StartMemory, plan: StartPlan): boolean =>
  memory.suppliedMs >= plan.topOffAfterStartMs;
/**
 * The return pump has run long enough. Where a thermometer shares the heater's chamber the flow is not needed, only the
 * wait: else a sensor that fails while the flow is awaited would turn the heater on.
 */
export const hasFlow = (memory: StartMemory, plan: StartPlan, sharesChamber: boolean): boolean =>
  (sharesChamber ? memory.readyMs : memory.flowMs) >= plan.flowBeforeHeatMs;
/** The level has had its time since the return pump last stopped or started. */
export const isLevelSettled = (memory: StartMemory, plan: StartPlan): boolean =>
  memory.flow === "not-fitted" || memory.flowChangedMs >= plan.returnPumpSettleMs;

export const startStatus = (memory: StartMemory, plan: StartPlan): StartStatus => ({
  steady: isSteady(memory, plan),
  steadyLeftMs: plan.steadyMs - memory.steadyMs,
  topOffLeftMs: Math.max(plan.steadyMs - memory.steadyMs, plan.topOffAfterStartMs - memory.suppliedMs),
  heatLeftMs: Math.max(
    plan.steadyMs - memory.heatSteadyMs,
    plan.flowBeforeHeatMs - (plan.sharesChamber ? memory.readyMs : memory.flowMs),
  ),
});
