import type { Core } from "../../controller/rehearsal/controller.ts";
import { checkScenario, REAL_CORE, settingsOf } from "../../controller/rehearsal/index.ts";
import type { TankState } from "../../controller/rehearsal/plant/tank-state.ts";
import { salinityOf } from "../../controller/rehearsal/plant/water.ts";
import { rehearseWith } from "../../controller/rehearsal/run.ts";
import type { Image, Request, ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { FORTNIGHT_H, type Fortnight, uniform } from "./ledger-fortnights.ts";

/** Lives a fortnight through: the real scan, the simulated tank, and a keeper who measures and answers. */

/** Of a refractometer in a steady hand, one standard deviation (*common practice*). */
const HAND_DEVIATION = 0.25;
/** An alarm that asks for a hand test gets one on the same evening. */
const ANSWERS_AFTER_H = 10;
const BETWEEN_TESTS_H = 24;
const MS_PER_H = 3_600_000;

export interface Life {
  readonly settings: Settings;
  readonly handTests: number;
}

/** `atHour` sees what the last scan of every hour has said, and what was true then. */
export function liveFortnight(
  fortnight: Fortnight,
  atHour: (hour: number, record: ScanRecord, tank: TankState) => void,
  core: Core = REAL_CORE,
): Life {
  const base = rehearsalSettings();
  const { scenario, errors } = checkScenario(fortnight.scenario, base);
  if (scenario === null) throw new Error(`fortnight ${fortnight.seed}: ${JSON.stringify(errors)}`);
  const keeper = createKeeper(fortnight);
  let record: ScanRecord | null = null;
  let tank: TankState | null = null;
  let ms = 0;
  const watched: Core = {
    ...core,
    step: (memory, image, settings) => {
      const asks = record === null || tank === null ? [] : keeper.asks(ms / MS_PER_H, record, salinityOf(tank.water));
      const asked: Image = asks.length === 0 ? image : { ...image, requests: [...image.requests, ...asks] };
      const stepped = core.step(memory, asked, settings);
      record = stepped.record;
      return stepped;
    },
  };
  const watch = ({ state }: { readonly state: TankState }) => {
    tank = state;
    ms += base.scanMs;
    if (ms % MS_PER_H === 0 && record !== null) atHour(ms / MS_PER_H, record, state);
  };
  rehearseWith(watched, scenario, { seed: fortnight.seed, settings: base, scans: "adaptive", watch });
  return { settings: settingsOf(scenario, base), handTests: keeper.tests() };
}

function createKeeper({ seed, testsH }: Fortnight) {
  const random = uniform(seed + 5000);
  const normal = () => Math.sqrt(-2 * Math.log(random() + 1e-12)) * Math.cos(2 * Math.PI * random());
  const planned = testsH.filter((hour) => hour < FORTNIGHT_H);
  let made = 0;
  let lastH = Number.NEGATIVE_INFINITY;
  const test = (atH: number, truth: number): Request => {
    lastH = atH;
    made += 1;
    const salinity = Math.min(42, Math.max(5, truth + HAND_DEVIATION * normal()));
    return { kind: "hand-test", id: `keeper-${made}`, at: "tank", salinity };
  };
  return {
    tests: () => made,
    asks: (atH: number, record: ScanRecord, truth: number): Request[] => {
      const asks: Request[] = [];
      const due = planned[0] !== undefined && atH >= planned[0];
      if (due) planned.shift();
      const asksForOne = record.alarms.some(
        ({ id, active, forMs }) => id === "excess-litres-rising" && active && forMs > ANSWERS_AFTER_H * MS_PER_H,
      );
      const locked = record.topOff.latch?.reason === "excess-litres" ? record.topOff.latch : null;
      const rested = atH - lastH >= BETWEEN_TESTS_H;
      if (due || ((asksForOne || locked !== null) && rested)) asks.push(test(atH, truth));
      if (locked?.clearable && atH - lastH > 0 && atH - lastH < 1) {
        asks.push({
          kind: "clear",
          id: `clear-${locked.occurrence}`,
          at: "tank",
          machine: "top-off",
          occurrence: locked.occurrence,
        });
      }
      return asks;
    },
  };
}
