import type { HeaterPart } from "../../../shared/contract/parts.ts";
import * as limits from "../../../shared/settings/limits.ts";
import { oncePerSettings } from "../../../shared/settings/once.ts";
import { type HeaterSettings, heaterOf, type Settings } from "../../../shared/settings/schema.ts";
import { waitMs } from "../../../shared/settings/waits.ts";

/** The settings turned into the amounts that the heat of one heater counts in. */
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
  /** The same where only one contact opens, and how long an off may wait to be confirmed. */
  readonly oneContactCycleMs: number;
  readonly offConfirmMs: number;
  /** A weld that was disproved is not looked for again for this long. */
  readonly disprovedMs: number;
  /** The working float stands in for a lost low float after this long. */
  readonly coverByFloatMs: number;
  /** Kelvin per millisecond that the heater alone makes. */
  readonly heaterKPerMs: number;
  readonly pumpKPerMs: number;
  readonly lampKPerMs: number;
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

/** Null where the box has no such heater. */
export const planHeat = (settings: Settings, heater: HeaterPart): HeatPlan | null => PLANS[heater](settings);

const plansOf = (heater: HeaterPart) =>
  oncePerSettings((settings): HeatPlan | null => {
    const own = heaterOf(settings, heater);
    return own === null ? null : makePlan(settings, own);
  });
const PLANS = { "heater-1": plansOf("heater-1"), "heater-2": plansOf("heater-2") } satisfies Record<
  HeaterPart,
  unknown
>;

export const planTurns = oncePerSettings((settings): TurnsPlan => {
  const { onBelowC, offAboveC, lowC } = makePlan(settings, settings.heat);
  return {
    onBelowC,
    offAboveC,
    lowC,
    joinsAfterMs: waitMs(limits.HEATER_JOINS_MS, settings),
    apartMs: waitMs(limits.HEATERS_APART_MS, settings),
  };
});

function makePlan(settings: Settings, heater: HeaterSettings): HeatPlan {
  const wait = (ms: number) => waitMs(ms, settings);
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
    oneContactCycleMs: limits.ONE_CONTACT_CYCLE_MS,
    offConfirmMs: limits.OFF_CONFIRM_MS,
    disprovedMs: limits.WELD_DISPROVED_MS,
    coverByFloatMs: wait(limits.COVER_BY_FLOAT_MS),
    heaterKPerMs: kPerMs(heater.heaterW),
    pumpKPerMs: kPerMs(heat.returnPumpW),
    lampKPerMs: kPerMs(limits.STRONG_LAMP_W),
    lossPerMs: kPerMs(heat.lossWPerK),
    roomC: heat.roomC,
    coverNeeded: heater.heaterPlace === "last-chamber",
    sharesChamber: heater.thermometerSharesHeaterChamber,
    clearFromADistance: topOff.clearingAFloodFromADistance,
  };
}
