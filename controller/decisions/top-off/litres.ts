import type { TopOffFacts } from "./blockers.ts";
import type { TopOffMemory } from "./memory.ts";
import type { TopOffPlan } from "./plan.ts";

/** The arithmetic of what may be poured. Credits take credited time in healthy scans; charges take all of it. */

type Amounts = Pick<TopOffMemory, "bucketUl" | "excessUl" | "dueUl" | "sinceHandTestMs">;

const MOST_DUE_UL = 50_000_000;

/** Time passes: the bucket refills, evaporation takes the excess back, and water falls due. */
export function accrue(memory: TopOffMemory, facts: TopOffFacts, plan: TopOffPlan): Amounts {
  const healthy = isHealthy(facts);
  const creditMs = healthy ? facts.elapsed.creditMs : 0;
  return {
    bucketUl: Math.min(plan.bucketSizeUl, memory.bucketUl + creditMs * bucketRate(facts, plan)),
    excessUl: Math.max(0, memory.excessUl - creditMs * plan.lowestEvaporationUlPerMs),
    dueUl: Math.min(MOST_DUE_UL, memory.dueUl + facts.elapsed.ms * evaporationRate(facts, plan)),
    sinceHandTestMs: Math.min(plan.handTestEveryMs, memory.sinceHandTestMs + creditMs),
  };
}

/** What evaporates by the settings while things are as they are now. */
export const evaporationRate = ({ fanBlows }: Pick<TopOffFacts, "fanBlows">, plan: TopOffPlan): number =>
  fanBlows ? plan.fanEvaporationUlPerMs : plan.evaporationUlPerMs;

/** No reading enlarges a budget: the full rate where nothing is in doubt; the lowest credible evaporation where salinity
 *  or a proof is, or where less has been seen to evaporate than that. */
function bucketRate({ salinity, proofOverdue, evaporation }: TopOffFacts, plan: TopOffPlan): number {
  const full = salinity === "credible" && !proofOverdue && evaporation !== "below";
  return full ? plan.bucketUlPerMs : Math.min(plan.bucketUlPerMs, plan.lowestEvaporationUlPerMs);
}

/** A scan in which the floats speak and the board is there: only such scans earn anything. */
export const isHealthy = (facts: TopOffFacts): boolean =>
  facts.board === "ready" && facts.working.position !== "unknown" && facts.high.position !== "unknown";

/** The full cost of a slice is taken before the pump may run, and must be on disk first. */
export const charged = (memory: TopOffMemory, plan: TopOffPlan, sequence: number): TopOffMemory => ({
  ...memory,
  state: "confirming",
  chargeUl: plan.chargeUl,
  chargeSequence: sequence,
  chargeWaitMs: 0,
  bucketUl: memory.bucketUl - plan.chargeUl,
  excessUl: memory.excessUl + plan.chargeUl,
});

/** What was charged and not poured comes back once the water has settled. */
export function refunded(memory: TopOffMemory, spentUl: number, plan: TopOffPlan): TopOffMemory {
  const refundUl = memory.chargeUl - spentUl;
  return {
    ...memory,
    provingMs: 0,
    chargeUl: 0,
    pourUl: 0,
    pourMs: 0,
    bucketUl: Math.min(plan.bucketSizeUl, memory.bucketUl + refundUl),
    excessUl: Math.max(0, memory.excessUl - refundUl),
  };
}

/** What a finished pour has cost at the charged flow, with the coast of the pump. More than its charge only when a
 *  scan came so late that the pump ran on; then the rest is taken too. */
export const costOf = (memory: TopOffMemory, plan: TopOffPlan): number =>
  memory.pourUl + (plan.coastUl * plan.chargedFlowUlPerMs) / plan.flowUlPerMs;

/** The pump has run since the last scan. */
export function poured(memory: TopOffMemory, elapsedMs: number, plan: TopOffPlan): TopOffMemory {
  const provenUl = elapsedMs * plan.flowUlPerMs;
  return {
    ...memory,
    pourMs: memory.pourMs + elapsedMs,
    pourUl: memory.pourUl + elapsedMs * plan.chargedFlowUlPerMs,
    // A proving run pours into a jug: its litres are charged, and a rise of the water is not answered by them.
    sinceFullUl: memory.sinceFullUl + (memory.provingMs > 0 ? 0 : provenUl),
    pouredTotalUl: memory.pouredTotalUl + provenUl,
    reservoirUl: memory.reservoirUl === null ? null : Math.max(0, memory.reservoirUl - provenUl),
  };
}

/** True when one more late scan would pour beyond the slice. */
export const sliceIsFull = (memory: TopOffMemory, plan: TopOffPlan, creditMostMs: number): boolean =>
  memory.pourUl + creditMostMs * plan.chargedFlowUlPerMs > (plan.sliceUl * plan.chargedFlowUlPerMs) / plan.flowUlPerMs;

/** More was poured since the water was last full than can be missing: the level does not answer. */
export const isUnanswered = (memory: TopOffMemory, { evaporation }: TopOffFacts, plan: TopOffPlan): boolean =>
  memory.sinceFullUl > owedUl(memory, evaporation) + plan.hysteresisUl + plan.unansweredMarginUl;

/** Learned evaporation is clamped to half of the commissioned, and only that side of it tightens. */
const owedUl = ({ dueUl }: TopOffMemory, evaporation: TopOffFacts["evaporation"]): number =>
  evaporation === "below" ? dueUl / 2 : dueUl;
