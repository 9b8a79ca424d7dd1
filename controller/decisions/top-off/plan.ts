import { allowedDilutionL } from "../../../shared/settings/budget.ts";
import * as limits from "../../../shared/settings/limits.ts";
import { oncePerSettings } from "../../../shared/settings/once.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { waitMs } from "../../../shared/settings/waits.ts";

/**
 * The settings turned into the amounts that top-off counts in: whole milliseconds, microlitres, and plain numbers. The
 * exploration makes plans of its own, with waits of a few ticks.
 */
export interface TopOffPlan {
  readonly confirmMs: number;
  readonly settleMs: number;
  readonly restMs: number;
  readonly restAfterFailureMs: number;
  /** Microlitres per millisecond, as proven. */
  readonly flowUlPerMs: number;
  /** The same with the margin by which the pump may be stronger. */
  readonly chargedFlowUlPerMs: number;
  readonly sliceUl: number;
  readonly coastUl: number;
  /** What a slice may cost at most, coast included: charged before the pump runs. */
  readonly chargeUl: number;
  readonly bucketSizeUl: number;
  readonly bucketUlPerMs: number;
  /** The refill of the bucket while salinity is in doubt, and the excess that evaporation surely takes back. */
  readonly lowestEvaporationUlPerMs: number;
  readonly evaporationUlPerMs: number;
  /** The same while the fan blows. It is owed by then; no budget grows with it. */
  readonly fanEvaporationUlPerMs: number;
  readonly excessLimitUl: number;
  readonly hysteresisUl: number;
  readonly unansweredMarginUl: number;
  readonly highFloatLatchMs: number;
  readonly floorLatchMs: number;
  readonly contradictionLatchMs: number;
  readonly longestPourMs: number;
  readonly durableWaitMs: number;
  readonly handTestEveryMs: number;
  readonly hourMs: number;
  readonly reservoirUl: number;
  /** Empty with more than this left by the count is empty too early. */
  readonly earlyUl: number;
  /** How long it must be seen empty before anybody asks where the water went. */
  readonly emptyJudgedMs: number;
  /** How long the working float may read low after the return pump stopped. */
  readonly freeProofMs: number;
  /** For how long after a stop the water stands over its mark for sure. */
  readonly surgeMs: number;
  readonly clearFromADistance: boolean;
  readonly targetSalinity: number;
  /** Below this, a reading restricts the budget to the lowest credible evaporation. */
  readonly lowSalinity: number;
  readonly netVolumeUl: number;
}

export const planTopOff = oncePerSettings(makePlan);

const UL_PER_L = 1_000_000;
const MS_PER_DAY = 86_400_000;

function makePlan(settings: Settings): TopOffPlan {
  const wait = (ms: number) => waitMs(ms, settings);
  const { topOff, tank, targets, alarms } = settings;
  const flowUlPerMs = (topOff.provenFlowLPerMin * UL_PER_L) / 60_000;
  const perMs = (litresPerDay: number) => (litresPerDay * UL_PER_L) / MS_PER_DAY;
  const sliceUl = Math.round(topOff.sliceMl * 1000);
  const coastUl = Math.round(topOff.coastMl * 1000);
  return {
    confirmMs: wait(topOff.confirmS * 1000),
    settleMs: wait(topOff.settleS * 1000),
    restMs: wait(topOff.restS * 1000),
    restAfterFailureMs: wait(limits.REST_AFTER_FAILURE_MS),
    flowUlPerMs,
    chargedFlowUlPerMs: flowUlPerMs * limits.FLOW_MARGIN,
    sliceUl,
    coastUl,
    chargeUl: Math.ceil((sliceUl + coastUl) * limits.FLOW_MARGIN),
    bucketSizeUl: Math.round(topOff.dailyBudgetL * UL_PER_L),
    bucketUlPerMs: perMs(topOff.dailyBudgetL),
    lowestEvaporationUlPerMs: perMs(topOff.evaporationLPerDay * topOff.lowestEvaporationShare),
    evaporationUlPerMs: perMs(topOff.evaporationLPerDay),
    fanEvaporationUlPerMs: perMs((topOff.fan ?? topOff).evaporationLPerDay),
    excessLimitUl: Math.round(allowedDilutionL(settings) * UL_PER_L),
    hysteresisUl: Math.round(tank.floatHysteresisMm * tank.lastChamberM2 * UL_PER_L),
    unansweredMarginUl: limits.UNANSWERED_MARGIN_UL,
    highFloatLatchMs: limits.HIGH_FLOAT_LATCH_MS,
    floorLatchMs: limits.FLOOR_LATCH_MS,
    contradictionLatchMs: wait(limits.CONTRADICTION_LATCH_MS),
    longestPourMs: limits.LONGEST_POUR_MS,
    durableWaitMs: limits.DURABLE_WAIT_MS,
    handTestEveryMs: wait(limits.HAND_TEST_EVERY_MS),
    hourMs: limits.HOUR_MS,
    reservoirUl: Math.round(topOff.reservoirL * UL_PER_L),
    earlyUl: Math.round(topOff.reservoirL * limits.EARLY_EMPTY_SHARE * UL_PER_L),
    emptyJudgedMs: wait(limits.EMPTY_JUDGED_MS),
    freeProofMs: limits.FREE_PROOF_MS,
    surgeMs: surgeMsOf(tank, topOff),
    clearFromADistance: topOff.clearingAFloodFromADistance,
    targetSalinity: targets.salinity,
    lowSalinity: targets.salinity - alarms.salinityWithin,
    netVolumeUl: Math.round(tank.netVolumeL * UL_PER_L),
  };
}

/** Half of the time in which the water that ran back can have evaporated; the other half is for dry days. A fan, whether
 *  it blows or not, is taken to blow: by no reading does a float have to stand up for longer. */
function surgeMsOf(tank: Settings["tank"], topOff: Settings["topOff"]): number {
  const { evaporationLPerDay } = topOff.fan ?? topOff;
  const surgeL = (tank.pumpOffLevelMm - tank.floatHysteresisMm) * tank.lastChamberM2;
  const ms = (0.5 * surgeL * MS_PER_DAY) / evaporationLPerDay;
  return Math.round(Math.max(limits.FREE_PROOF_MS, Math.min(limits.AMOUNT_MOST_MS, ms)));
}
