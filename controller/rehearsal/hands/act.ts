import type { Settings } from "../../../shared/settings/index.ts";
import { wipe } from "../plant/floor.ts";
import { refillReservoir } from "../plant/reservoir.ts";
import type { Tank } from "../plant/tank.ts";
import { lastLevelMm, salinityOf } from "../plant/water.ts";
import type { Hand, HandOf } from "./kinds.ts";

/** What hands found and how long they are at it: what their owner knows when it comes to telling. */
export interface Acted {
  /** Poured into the reservoir. */
  readonly refilledL: number;
  /** The water's salinity before they began, as a good test shows it. */
  readonly salinity: number;
  /** How long the work takes. */
  readonly workMin: number;
}

type Act<Do extends Hand["do"]> = (hand: HandOf<Do>, tank: Tank, settings: Settings) => Partial<Acted>;

const touchNothing = (): Partial<Acted> => ({});

/** What each hand does to the water and the parts. Nothing here is told to anybody. */
const ACTS: { readonly [Do in Hand["do"]]: Act<Do> } = {
  hold: touchNothing,
  "end-hold": ({ answer }, tank, settings) => {
    if (answer === "salt-water-added") addSaltWaterToMark(tank, settings);
    return {};
  },
  refill: ({ litres }, { state: { plumbing } }) => {
    const wantedL = litres ?? Math.max(0, plumbing.reservoirFullL - plumbing.reservoirL);
    return { refilledL: refillReservoir(plumbing, wantedL) };
  },
  "water-change": ({ litres, salinity }, tank) => ({ workMin: changeWater(tank, litres, salinity) }),
  "hand-test": touchNothing,
  "salinity-measured-wrong": touchNothing,
  "correct-measurement": touchNothing,
  "return-pump-rest": ({ minutes }, { state: { returnPump } }) => {
    returnPump.restLeftS = Math.max(returnPump.restLeftS, minutes * S_PER_MIN);
    return { workMin: minutes };
  },
  "lift-float": ({ part, seconds }, { state: { sensors } }) => {
    sensors[part].liftedS = Math.max(sensors[part].liftedS, seconds);
    return {};
  },
  absence: touchNothing,
  acknowledge: touchNothing,
  clear: (_, { state: { floor } }) => {
    wipe(floor);
    return {};
  },
};

/** Lets a hand do its work, or begin it: buckets take their time. */
export function act(hand: Hand, tank: Tank, settings: Settings): Acted {
  const salinity = salinityOf(tank.state.water);
  const done = (ACTS[hand.do] as Act<typeof hand.do>)(hand as never, tank, settings);
  return { refilledL: 0, workMin: 0, salinity, ...done };
}

const S_PER_MIN = 60;
const HAND_L_PER_MIN = 4;

function changeWater({ state }: Tank, litres: number, salinity: number): number {
  const celsius = state.heat.restC - state.nextChangeColderK;
  state.nextChangeColderK = 0;
  state.jobs.push({ litresLeft: litres, outwards: true, salinity: 0, celsius: 0 });
  state.jobs.push({ litresLeft: litres, outwards: false, salinity, celsius });
  return (2 * litres) / HAND_L_PER_MIN;
}

/** Whoever says that salt water was added has added it, up to the mark. */
function addSaltWaterToMark({ state }: Tank, { targets }: Settings): void {
  const missingL = -lastLevelMm(state.water, state.geometry) * state.geometry.lastM2;
  if (missingL <= 0.02 || state.jobs.length > 0) return;
  state.jobs.push({ litresLeft: missingL, outwards: false, salinity: targets.salinity, celsius: state.heat.restC });
}
