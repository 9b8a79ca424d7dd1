import type { HeaterPart } from "../../shared/contract/parts.ts";
import type { ProofPart } from "../../shared/contract/proving.ts";
import { allowedDilutionL } from "../../shared/settings/budget.ts";
import * as limits from "../../shared/settings/limits.ts";
import { type HeaterSettings, heaterOf, type Settings } from "../../shared/settings/schema.ts";
import { gatesHeat } from "./proving/parts.ts";

/**
 * The settings turned into the amounts that the decisions count in: whole milliseconds, microlitres, and plain numbers.
 * Made once for each settings object. The exploration makes plans of its own, with waits of a few ticks.
 */
export interface Plan {
  readonly creditMostMs: number;
  readonly steadyMs: number;
  readonly topOffAfterStartMs: number;
  readonly flowBeforeHeatMs: number;
  readonly returnPumpSettleMs: number;
  /** Parts without whose proof a heater stays off. */
  readonly provenBeforeHeat: Readonly<Record<HeaterPart, readonly ProofPart[]>>;
  readonly topOff: TopOffPlan;
  readonly heat: HeatPlan;
  /** Of the second heater; null where there is none. */
  readonly secondHeat: HeatPlan | null;
  readonly turns: TurnsPlan;
}

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

export interface HeatPlan {
  readonly onBelowC: number;
  readonly offAboveC: number;
  readonly setpointC: number;
  readonly cutOutC: number;
  readonly lowC: number;
  readonly minimumOnMs: number;
  readonly minimumOffMs: number;
  readonly cutOutMs: number;
  readonly recentHeatMs: number;
  readonly effectWindowMs: number;
  readonly longestOnMs: number;
  readonly slopeCheckMs: number;
  readonly guardOpenMs: number;
  readonly weldCheckAfterOffMs: number;
  readonly cautiousCycleMs: number;
  /** Kelvin per millisecond that the heater alone makes. */
  readonly heaterKPerMs: number;
  readonly pumpKPerMs: number;
  /** Per kelvin above the room. */
  readonly lossPerMs: number;
  readonly roomC: number;
  readonly coverNeeded: boolean;
  readonly sharesChamber: boolean;
  readonly clearFromADistance: boolean;
}

/** How two heaters share the work. */
export interface TurnsPlan {
  readonly onBelowC: number;
  readonly offAboveC: number;
  readonly lowC: number;
  readonly joinsAfterMs: number;
  readonly apartMs: number;
}

const plans = new WeakMap<Settings, Plan>();

export function planOf(settings: Settings): Plan {
  const known = plans.get(settings);
  if (known !== undefined) return known;
  const plan = makePlan(settings);
  plans.set(settings, plan);
  return plan;
}

function makePlan(settings: Settings): Plan {
  const shorter = settings.bench.waitsDividedBy;
  const wait = (ms: number) => Math.max(1, Math.round(ms / shorter));
  const heat = heatPlan(settings, settings.heat, wait);
  const second = heaterOf(settings, "heater-2");
  return {
    creditMostMs: 2 * settings.scanMs,
    steadyMs: wait(limits.STEADY_MS),
    topOffAfterStartMs: wait(limits.TOP_OFF_AFTER_START_MS),
    flowBeforeHeatMs: wait(limits.FLOW_BEFORE_HEAT_MS),
    returnPumpSettleMs: wait(limits.RETURN_PUMP_SETTLE_MS),
    provenBeforeHeat: {
      "heater-1": gatesHeat(settings, "heater-1"),
      "heater-2": gatesHeat(settings, "heater-2"),
    },
    topOff: topOffPlan(settings, wait),
    heat,
    secondHeat: second === null ? null : heatPlan(settings, second, wait),
    turns: {
      onBelowC: heat.onBelowC,
      offAboveC: heat.offAboveC,
      lowC: heat.lowC,
      joinsAfterMs: wait(limits.HEATER_JOINS_MS),
      apartMs: wait(limits.HEATERS_APART_MS),
    },
  };
}

const UL_PER_L = 1_000_000;
const MS_PER_DAY = 86_400_000;

function topOffPlan(settings: Settings, wait: (ms: number) => number): TopOffPlan {
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

function heatPlan(settings: Settings, heater: HeaterSettings, wait: (ms: number) => number): HeatPlan {
  const { heat, tank, targets, alarms, topOff } = settings;
  const jPerK = tank.netVolumeL * limits.SEA_WATER_J_PER_L_K;
  const kPerMs = (watts: number) => watts / jPerK / 1000;
  return {
    onBelowC: targets.temperatureC - heat.deadbandK / 2,
    offAboveC: targets.temperatureC + heat.deadbandK / 2,
    setpointC: targets.temperatureC,
    cutOutC: heat.cutOutC,
    lowC: alarms.temperatureBandC[0],
    minimumOnMs: wait(limits.HEAT_MINIMUM_ON_MS),
    minimumOffMs: wait(limits.HEAT_MINIMUM_OFF_MS),
    cutOutMs: limits.CUT_OUT_MS,
    recentHeatMs: limits.RECENT_HEAT_MS,
    effectWindowMs: limits.EFFECT_WINDOW_MS,
    longestOnMs: limits.LONGEST_ON_MS,
    slopeCheckMs: limits.SLOPE_CHECK_MS,
    guardOpenMs: limits.HEAT_GUARD_OPEN_MS,
    weldCheckAfterOffMs: limits.WELD_CHECK_AFTER_OFF_MS,
    cautiousCycleMs: wait(limits.CAUTIOUS_CYCLE_MS),
    heaterKPerMs: kPerMs(heater.heaterW),
    pumpKPerMs: kPerMs(heat.returnPumpW),
    lossPerMs: kPerMs(heat.lossWPerK),
    roomC: heat.roomC,
    coverNeeded: heater.heaterPlace === "last-chamber",
    sharesChamber: heater.thermometerSharesHeaterChamber,
    clearFromADistance: topOff.clearingAFloodFromADistance,
  };
}
