import { boxBudget, checkSettings, FLOW_MARGIN } from "../../../shared/settings/index.ts";
import type { Draft } from "./draft.ts";

/** What follows from the answers, and the sentences that say so. */
export function derive(draft: Draft): string[] {
  return [...bandsFrom(draft), ...lossFrom(draft), ...litresFrom(draft)];
}

/** The bands of the alarms fit a setpoint of 25 °C; another one takes them along. */
function bandsFrom(draft: Draft): string[] {
  const setpointC = draft.targets.temperatureC as number;
  const cutOutC = Math.min(34, Math.max(25, setpointC + 3.5));
  if (checkSettings({ targets: draft.targets }).settings !== null) return [];
  const band: [number, number] = [setpointC - 2, setpointC + 3];
  const limits: [number, number] = [setpointC - 5, Math.max(setpointC + 5, cutOutC + 1)];
  draft.heat.cutOutC = cutOutC;
  draft.alarms = { temperatureBandC: band, temperatureLimitsC: limits };
  return [
    `A setpoint of ${setpointC} °C moves the rest: warning outside ${band[0]} to ${band[1]} °C, alarm outside ` +
      `${limits[0]} to ${limits[1]} °C, cut-out at ${cutOutC} °C.`,
  ];
}

/** The reference tank of 140 L loses 15 W for each kelvin above the room; the loss grows with the surface. */
const REFERENCE_L = 140;
const REFERENCE_W_PER_K = 15;

function lossFrom(draft: Draft): string[] {
  if (draft.outputs["heater-1"] === undefined) return [];
  const loss = REFERENCE_W_PER_K * ((draft.tank.netVolumeL as number) / REFERENCE_L) ** (2 / 3);
  draft.heat.lossWPerK = Math.min(200, Math.max(1, Math.round(loss)));
  return [
    `Heat lost to the room, estimated from the volume: ${draft.heat.lossWPerK} W for each kelvin. A covered tank loses less.`,
  ];
}

const SMALLEST_L = 0.5;
const USUAL_L = 4;
const USUAL_BUDGET_L = 3;

/** Of a box with these volumes; what is written about its reservoir and its budget is not looked at. */
function boxTakesL({ tank, targets }: Draft): number {
  const { settings } = checkSettings({ tank, targets, topOff: { reservoirL: SMALLEST_L, dailyBudgetL: SMALLEST_L } });
  return settings === null ? SMALLEST_L : boxBudget(settings).largestReservoirL;
}

/** A day's budget is twice the evaporation, or what a day with the fan on is charged; slices are as large as pump and
 *  guard firmware allow. */
function litresFrom(draft: Draft): string[] {
  const { topOff } = draft;
  const mostL = Math.floor(boxTakesL(draft) * 10) / 10;
  if (draft.outputs["top-off-pump"] === undefined) {
    // Nothing is poured, but the usual reservoir would be refused for a small box all the same.
    if (mostL < USUAL_L) topOff.reservoirL = Math.max(SMALLEST_L, mostL);
    if (mostL < USUAL_BUDGET_L) topOff.dailyBudgetL = Math.max(SMALLEST_L, mostL);
    return [];
  }
  const wantedL = budgetFor(topOff);
  topOff.dailyBudgetL = topOff.largeReservoirAccepted == null ? Math.min(wantedL, mostL) : Math.min(100, wantedL);
  const { sliceMl, settleS } = bestSlice(draft);
  topOff.sliceMl = sliceMl;
  topOff.settleS = settleS;
  return [
    `A day's budget is twice the evaporation${topOff.fan === undefined ? "" : " or a day with the fan on"}, and no more ` +
      `than the box can take: ${topOff.dailyBudgetL} L. It pours ${sliceMl} mL at once and waits ${settleS} s between.`,
  ];
}

/** A budget beyond five times the evaporation without a fan is refused; a strong fan is topped up for part of a day. */
function budgetFor({ evaporationLPerDay, fan }: Draft["topOff"]): number {
  const stillL = evaporationLPerDay as number;
  const twiceL = Math.ceil(stillL * 20) / 10;
  if (typeof fan !== "object") return twiceL;
  const fannedL = Math.ceil(FLOW_MARGIN * fan.evaporationLPerDay * 10) / 10;
  return Math.max(twiceL, Math.min(fannedL, Math.floor(stillL * 50) / 10));
}

const SETTLE_S = [60, 120, 180, 300, 600];
const LARGE_ENOUGH_ML = 100;

function bestSlice(draft: Draft): { sliceMl: number; settleS: number } {
  let best = { sliceMl: 0, settleS: 60 };
  for (const settleS of SETTLE_S) {
    for (let sliceMl = 250; sliceMl > best.sliceMl && sliceMl >= 20; sliceMl -= 5) {
      if (fits({ ...draft, topOff: { ...draft.topOff, sliceMl, settleS } })) best = { sliceMl, settleS };
    }
    if (best.sliceMl >= LARGE_ENOUGH_ML) break;
  }
  return best.sliceMl === 0 ? { sliceMl: 20, settleS: 600 } : best;
}

const fits = (draft: Draft): boolean =>
  checkSettings(draft).faults.every(({ path }) => path !== "topOff.sliceMl" && path !== "topOff.dailyBudgetL");
