import { beforeAll, describe, expect, it } from "vitest";
import { FIXED_SEED, FIXED_WEEKS } from "../campaign.ts";
import { liveOnAllCores } from "../cores.ts";
import { WHOLE, weeksOf } from "../shares.ts";
import { type JudgedFaultWeek, liveWeek } from "./judge.ts";

/** The same weeks on every commit; `npm run campaign -- --weeks N --seed S` lives others. */
const WEEKS = FIXED_WEEKS.faults;
const LASTS_MS = 1_800_000;

describe(`${WEEKS} fixed weeks with one or two faults`, () => {
  let judged: readonly JudgedFaultWeek[] = [];
  beforeAll(async () => {
    judged = await liveOnAllCores<JudgedFaultWeek>("faults", FIXED_SEED, weeksOf(WEEKS, WHOLE));
  }, LASTS_MS);

  it("every week, one fault or two: no violation", () => {
    const broken = judged.filter(({ violations }) => violations.length > 0);
    expect(
      broken.map(({ week, violations }) => ({
        replay: `npm run campaign -- --week ${week} --seed ${FIXED_SEED}`,
        violations,
      })),
    ).toEqual([]);
  });

  it(
    "a week lived again: the same bytes, in another thread too",
    () => {
      const { cpuS: _once, ...once } = judged[0] as JudgedFaultWeek;
      const { cpuS: _again, ...again } = liveWeek(FIXED_SEED, 0).judged;
      expect(again).toEqual(once);
    },
    LASTS_MS,
  );
});
