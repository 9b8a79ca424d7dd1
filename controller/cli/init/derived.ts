import { boxBudget, checkSettings, FLOW_MARGIN, settingsSchema } from "../../../shared/settings/index.ts";
import { formatTemperature } from "../../../shared/units/index.ts";
import { speakIn } from "../values/keeper.ts";
import type { Draft } from "./draft.ts";
import { mergeWithExisting } from "./existing.ts";
import type { Sitting } from "./sitting.ts";

/** What follows from the answers, and the sentences that say so. What an existing file has and still fits is kept. */
export const derive = (sitting: Sitting): string[] => [...deriveBands(sitting), ...deriveLitres(sitting)];

const USUAL = settingsSchema.parse({});

/** Where the heater's band ends: a fan that blew below it would blow against the heater. */
export const bandEndC = ({ targets }: Draft): number =>
  Math.ceil(((targets.temperatureC as number) + USUAL.heat.deadbandK / 2) * 10 + 0.5) / 10;

/** The bands of the alarms fit a setpoint of 25 °C; another one takes them along. */
function bandsFor({ targets }: Draft): Required<Pick<Draft, "alarms">>["alarms"] & { cutOutC: number } {
  const setpointC = targets.temperatureC as number;
  const cutOutC = Math.min(34, Math.max(25, setpointC + 3.5));
  return {
    cutOutC,
    temperatureBandC: [setpointC - 2, setpointC + 3],
    temperatureLimitsC: [setpointC - 5, Math.max(setpointC + 5, cutOutC + 1)],
  };
}

const BANDS = ["alarms.temperatureBandC", "targets.temperatureC", "heat.cutOutC"];

/** Of a file that has bands of its own, if they fit; else the usual ones, if those do. */
export const upperBandC = (sitting: Sitting): number => {
  const { draft, existing } = sitting;
  if (!isAccepted(sitting, BANDS)) return bandsFor(draft).temperatureBandC[1];
  return existing?.raw.alarms?.temperatureBandC?.[1] ?? USUAL.alarms.temperatureBandC[1];
};

function deriveBands(sitting: Sitting): string[] {
  const { draft } = sitting;
  if (isAccepted(sitting, BANDS)) return [];
  const { cutOutC, temperatureBandC, temperatureLimitsC } = bandsFor(draft);
  draft.heat.cutOutC = cutOutC;
  draft.alarms = { temperatureBandC, temperatureLimitsC };
  const words = (valueC: number) => formatTemperature(valueC, draft.units);
  const [low, high] = temperatureBandC;
  return [
    `A setpoint of ${words(draft.targets.temperatureC as number)} moves the rest: warning outside ${words(low)} to ` +
      `${words(high)}, alarm outside ${words(temperatureLimitsC[0])} to ${words(temperatureLimitsC[1])}, cut-out at ${words(cutOutC)}.`,
  ];
}

/** The reference tank of 140 L loses 15 W for each kelvin above the room; the loss grows with the surface. */
const REFERENCE_L = 140;
const REFERENCE_W_PER_K = 15;

export function deriveLoss({ draft, existing, say }: Sitting): void {
  const known = existing?.raw.heat?.lossWPerK;
  if (typeof known === "number") {
    draft.heat.lossWPerK = known;
    return;
  }
  const loss = REFERENCE_W_PER_K * ((draft.tank.netVolumeL as number) / REFERENCE_L) ** (2 / 3);
  draft.heat.lossWPerK = Math.min(200, Math.max(1, Math.round(loss)));
  say(
    `\nHeat lost to the room, estimated from the volume: ${draft.heat.lossWPerK} W for each kelvin. A covered tank loses less.`,
  );
}

const SMALLEST_L = 0.5;
const USUAL_L = 4;
const USUAL_BUDGET_L = 3;

/** A day's budget is twice the evaporation, or what a day with the fan on is charged; slices are as large as pump and
 *  guard firmware allow. */
function deriveLitres(sitting: Sitting): string[] {
  const { draft } = sitting;
  const { topOff } = draft;
  if (draft.outputs["top-off-pump"] === undefined) {
    // Nothing is poured, but the usual reservoir would be refused for a small box all the same.
    const mostL = boxTakesL(draft);
    if (mostL < USUAL_L) topOff.reservoirL = Math.max(SMALLEST_L, mostL);
    if (mostL < USUAL_BUDGET_L) topOff.dailyBudgetL = Math.max(SMALLEST_L, mostL);
    return [];
  }
  if ([topOff.evaporationLPerDay, topOff.provenFlowLPerMin, topOff.reservoirL].includes(undefined)) return [];
  if (sitting.existing?.raw.topOff?.dailyBudgetL !== undefined && isAccepted(sitting, POURING)) return [];
  topOff.dailyBudgetL = Math.min(wantedBudgetL(topOff), mostBudgetL(draft));
  const { sliceMl, settleS } = bestSlice(sitting);
  topOff.sliceMl = sliceMl;
  topOff.settleS = settleS;
  const { volume } = speakIn(draft.units);
  return [
    `A day's budget is twice the evaporation${topOff.fan === undefined ? "" : " or a day with the fan on"}, and no more ` +
      `than the box can take: ${volume.format(topOff.dailyBudgetL as number)}. It pours ${sliceMl} mL at once and waits ${settleS} s between.`,
  ];
}

const POURING = ["topOff.sliceMl", "topOff.dailyBudgetL", "topOff.allowedDilution"];

function boxOf({ tank, targets }: Draft) {
  const { settings } = checkSettings({ tank, targets, topOff: { reservoirL: SMALLEST_L, dailyBudgetL: SMALLEST_L } });
  return settings === null ? null : boxBudget(settings);
}

const floorTenth = (value: number): number => Math.floor(value * 10) / 10;
const boxTakesL = (draft: Draft): number => floorTenth(boxOf(draft)?.largestReservoirL ?? SMALLEST_L);

/** With a large reservoir half of the free volume a day; else no more than the box takes at once. */
function mostBudgetL(draft: Draft): number {
  const box = boxOf(draft);
  if (box === null) return SMALLEST_L;
  const most =
    draft.topOff.largeReservoir === undefined ? box.largestReservoirL : Math.max(box.largestReservoirL, box.byRimL / 2);
  return Math.min(100, floorTenth(most));
}

/** A budget beyond five times the evaporation without a fan is refused; a strong fan is topped up for part of a day. */
function wantedBudgetL({ evaporationLPerDay, fan }: Draft["topOff"]): number {
  const stillL = evaporationLPerDay as number;
  const twiceL = Math.ceil(stillL * 20) / 10;
  if (fan === undefined) return twiceL;
  const fannedL = Math.ceil(FLOW_MARGIN * (fan as { evaporationLPerDay: number }).evaporationLPerDay * 10) / 10;
  return Math.max(twiceL, Math.min(fannedL, floorTenth(stillL * 5)));
}

const SETTLE_S = [60, 120, 180, 300, 600];
const LARGE_ENOUGH_ML = 100;

function bestSlice(sitting: Sitting): { sliceMl: number; settleS: number } {
  let best = { sliceMl: 0, settleS: 60 };
  const { topOff } = sitting.draft;
  for (const settleS of SETTLE_S) {
    for (let sliceMl = 250; sliceMl > best.sliceMl && sliceMl >= 20; sliceMl -= 5) {
      Object.assign(topOff, { sliceMl, settleS });
      if (isAccepted(sitting, POURING)) best = { sliceMl, settleS };
    }
    if (best.sliceMl >= LARGE_ENOUGH_ML) break;
  }
  return best.sliceMl === 0 ? { sliceMl: 20, settleS: 600 } : best;
}

/** Nothing is wrong at these paths. */
const isAccepted = ({ draft, existing }: Sitting, paths: readonly string[]): boolean =>
  checkSettings(mergeWithExisting(draft, existing)).faults.every(({ path }) => !paths.includes(path));
