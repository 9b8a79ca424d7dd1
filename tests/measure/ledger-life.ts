import { ALARM_WORDS } from "../../controller/alarms/index.ts";
import type { Core } from "../../controller/rehearsal/controller.ts";
import { checkScenario, REAL_CORE, settingsOf } from "../../controller/rehearsal/index.ts";
import type { TankState } from "../../controller/rehearsal/plant/tank-state.ts";
import { SALT_G_PER_L, salinityOf } from "../../controller/rehearsal/plant/water.ts";
import { rehearseWith } from "../../controller/rehearsal/run.ts";
import type { Image, Request, ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { FORTNIGHT_H, type Fortnight, uniform } from "./ledger-fortnights.ts";

/** Lives a fortnight through: the real scan, the simulated tank, and a keeper who measures and answers. */

/** Of a refractometer in a steady hand, one standard deviation (*common practice*). */
const HAND_DEVIATION = 0.25;
/** An alarm that asks for a hand test, of the tank or of the reservoir, gets one on the same evening. */
const ANSWERS_AFTER_H = 10;
const ASKS_FOR_TANK = alarmsThatSay(/Measure the salinity (of the reservoir and of the tank )?by hand/);
const ASKS_FOR_RESERVOIR = alarmsThatSay(/Measure the (salinity of the )?reservoir/);
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
      const asks = record === null || tank === null ? [] : keeper.asks(ms / MS_PER_H, record, tank);
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
  const lastH = { "hand-test": Number.NEGATIVE_INFINITY, "reservoir-test": Number.NEGATIVE_INFINITY };
  const test = (kind: keyof typeof lastH, atH: number, truth: number): Request => {
    lastH[kind] = atH;
    made += 1;
    const [least, most] = kind === "hand-test" ? [5, 42] : [0, 42];
    const salinity = Math.min(most, Math.max(least, truth + HAND_DEVIATION * normal()));
    return { kind, id: `keeper-${made}`, at: "tank", salinity };
  };
  const rested = (kind: keyof typeof lastH, atH: number) => atH - lastH[kind] >= BETWEEN_TESTS_H;
  return {
    tests: () => made,
    asks: (atH: number, { alarms, topOff }: ScanRecord, tank: TankState): Request[] => {
      const asks: Request[] = [];
      const due = planned[0] !== undefined && atH >= planned[0];
      if (due) planned.shift();
      const standing = alarms.filter(({ active, forMs }) => active && forMs > ANSWERS_AFTER_H * MS_PER_H);
      const asksFor = (ids: ReadonlySet<string>) => standing.some(({ id }) => ids.has(id));
      const locked = topOff.latch?.reason === "excess-litres" ? topOff.latch : null;
      if (due || ((asksFor(ASKS_FOR_TANK) || locked !== null) && rested("hand-test", atH))) {
        asks.push(test("hand-test", atH, salinityOf(tank.water)));
      }
      if (asksFor(ASKS_FOR_RESERVOIR) && rested("reservoir-test", atH)) {
        asks.push(test("reservoir-test", atH, reservoirSalinityOf(tank)));
      }
      const sinceTestH = atH - lastH["hand-test"];
      if (locked?.clearable && sinceTestH > 0 && sinceTestH < 1) {
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

const reservoirSalinityOf = ({ plumbing: { reservoirL, reservoirSaltG } }: TankState): number =>
  reservoirL <= 0 ? 0 : reservoirSaltG / (reservoirL * SALT_G_PER_L);

function alarmsThatSay(words: RegExp): ReadonlySet<string> {
  return new Set(ALARM_WORDS.filter(({ whatToDo }) => words.test(whatToDo)).map(({ id }) => id));
}
