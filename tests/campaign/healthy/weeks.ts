import { checkScenario, type Scenario } from "../../../controller/rehearsal/index.ts";
import { createRandom } from "../../../controller/rehearsal/plant/random.ts";
import { rehearsalSettings } from "../../../shared/settings/index.ts";
import { type Chance, chanceFrom } from "../chance.ts";
import { refills, waterChange } from "../faults/keeper.ts";
import { type Drawn, drawBox } from "../rooms.ts";

/** Seeded weeks in which nothing fails: any box, any room, a return pump that rests, water changes, refills in time. */
export interface HealthyWeek {
  readonly week: number;
  readonly campaignSeed: number;
  /** Of the plant's own noise. */
  readonly seed: number;
  /** What the table counts it by. */
  readonly marks: Marks;
  readonly box: string;
  readonly scenario: Scenario;
}

/** What one week has and another has not. */
export interface Marks {
  readonly volumeL: number;
  readonly roomC: number;
  readonly probe: boolean;
  readonly fan: boolean;
  readonly everyPart: boolean;
  readonly rest: "told" | "untold";
  readonly change: "told" | "untold";
}

export const WEEK_H = 168;
const TRIES = 200;
/** What is measured with care in the first weeks is right to a twelfth. */
const COMMISSIONED_WITHIN = 0.08;

export function healthyWeekOf(campaignSeed: number, week: number): HealthyWeek {
  const chance = chanceFrom(createRandom(campaignSeed * 3_000_017 + week));
  for (let tried = 0; tried < TRIES; tried++) {
    const drawn = drawBox(chance, {
      coldestC: 16,
      warmestC: 30,
      swingMostK: 4,
      commissionedWithin: COMMISSIONED_WITHIN,
      needs: [],
      needsFan: false,
    });
    const { raw, rest, change } = rawWeek(campaignSeed, week, drawn, chance);
    const { scenario } = checkScenario(raw, rehearsalSettings());
    if (scenario === null) continue;
    const marks = { ...marksOf(drawn), rest, change };
    return { week, campaignSeed, seed: campaignSeed * 1000 + week, marks, box: drawn.words, scenario };
  }
  throw new Error(`no good scenario for healthy week ${week} of campaign ${campaignSeed}`);
}

const REST_MIN = 10;

function rawWeek(campaignSeed: number, week: number, drawn: Drawn, chance: Chance) {
  const rest = chance.of(0.4) ? "told" : "untold";
  const change = chance.of(0.6) ? "told" : "untold";
  const { room, start, settings } = drawn;
  const hands = [
    { do: "return-pump-rest", atH: chance.between(0, 24), everyH: 24, minutes: REST_MIN, told: rest === "told" },
    waterChange(chance, drawn, chance.between(30, WEEK_H - 24), change === "told", 0.1),
    ...refills(chance, drawn, WEEK_H),
  ];
  const name = `healthy week ${week} of campaign ${campaignSeed}: ${drawn.words}`.slice(0, NAME_MOST);
  return { raw: { name, hours: WEEK_H, room, start, settings, hands }, rest, change } as const;
}

const NAME_MOST = 120;

const marksOf = ({ volumeL, room, settings: { without }, fan }: Drawn) => ({
  volumeL,
  roomC: room.temperatureC,
  probe: !without.includes("conductivity-probe"),
  fan,
  everyPart: without.length === 0,
});
