import { LOCK_OF, type Request, type ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { wipe } from "./plant/floor.ts";
import { refillReservoir } from "./plant/reservoir.ts";
import type { Tank } from "./plant/tank.ts";
import { lastLevelMm, salinityOf } from "./plant/water.ts";
import type { Hand } from "./scenario.ts";

/** A request as a keeper makes it, before it has a number. */
export type Ask = Request extends infer Each ? (Each extends Request ? Omit<Each, "id" | "at"> : never) : never;

/** What hands do now, and what they say; some of it comes later. */
export interface Done {
  readonly asks: readonly Ask[];
  readonly later: { readonly afterMs: number; readonly asks: readonly Ask[] } | null;
}

const NOTHING: Done = { asks: [], later: null };

/** Acts on the water, and returns what the keeper tells the controller. */
export function doHand(hand: Hand, tank: Tank, settings: Settings, last: ScanRecord | null): Done {
  const done = act(hand, tank, settings, last);
  return hand.told ? done : NOTHING;
}

function act(hand: Hand, tank: Tank, settings: Settings, last: ScanRecord | null): Done {
  const { state } = tank;
  switch (hand.do) {
    case "hold":
      return say({ kind: "hold", minutes: hand.minutes });
    case "end-hold":
      if (hand.answer === "salt-water-added") addSaltWaterToMark(tank, settings);
      return say({ kind: "end-hold", answer: hand.answer });
    case "refill": {
      const litres = hand.litres ?? Math.max(0, state.plumbing.reservoirFullL - state.plumbing.reservoirL);
      const overL = refillReservoir(state.plumbing, litres);
      state.accounts.reservoirSpilledL += overL;
      state.floor.standingL += overL;
      return litres > 0 ? say({ kind: "refill", litres }) : NOTHING;
    }
    case "water-change":
      return changeWater(tank, hand.litres, hand.salinity);
    case "hand-test":
      return say({ kind: "hand-test", salinity: hand.salinity ?? salinityOf(state.water) });
    case "acknowledge":
      return say({ kind: "acknowledge", alarm: "all" });
    case "clear":
      wipe(state.floor);
      return clearLatches(last);
  }
}

const say = (...asks: Ask[]): Done => ({ asks, later: null });

const MS_PER_MIN = 60_000;
const HAND_L_PER_MIN = 4;
/** Before the buckets come and after they have gone. */
const SPARE_MIN = 10;
const SETTLES_MIN = 1;

function changeWater(tank: Tank, litres: number, salinity: number): Done {
  const { state } = tank;
  const celsius = state.heat.restC - state.nextChangeColderK;
  state.nextChangeColderK = 0;
  state.jobs.push({ litresLeft: litres, outwards: true, salinity: 0, celsius: 0 });
  state.jobs.push({ litresLeft: litres, outwards: false, salinity, celsius });
  const workMin = (2 * litres) / HAND_L_PER_MIN;
  const minutes = Math.min(120, Math.ceil(workMin + SPARE_MIN));
  return {
    asks: [{ kind: "hold", minutes }],
    later: {
      afterMs: (workMin + SETTLES_MIN) * MS_PER_MIN,
      asks: [{ kind: "end-hold", answer: "salt-water-added" }],
    },
  };
}

/** Whoever says that salt water was added has added it, up to the mark. */
function addSaltWaterToMark(tank: Tank, settings: Settings): void {
  const { state } = tank;
  const missingL = -lastLevelMm(state.water, state.geometry) * state.geometry.lastM2;
  if (missingL <= 0.02 || state.jobs.length > 0) return;
  const salinity = settings.targets.salinity;
  state.jobs.push({ litresLeft: missingL, outwards: false, salinity, celsius: state.heat.restC });
}

/** Clears what the controller shows as locked, by the number that it shows. */
function clearLatches(last: ScanRecord | null): Done {
  const asks: Ask[] = [];
  const topOff = last?.topOff.latch ?? last?.topOff.waterGuardLatch;
  if (topOff) asks.push({ kind: "clear", machine: "top-off", occurrence: topOff.occurrence });
  for (const { heater, latch, finding } of last?.heaters ?? []) {
    const standing = latch ?? finding;
    if (standing !== null) asks.push({ kind: "clear", machine: LOCK_OF[heater], occurrence: standing.occurrence });
  }
  return { asks, later: null };
}
