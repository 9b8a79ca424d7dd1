import { expect, test } from "vitest";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** What clears by itself does so with the rest served: it counts from when the hindrance is gone. */
const MINUTE_MS = 60_000;
const REST_MIN = 30;
const SLOW = { ...SETTINGS, topOff: { ...SETTINGS.topOff, restS: REST_MIN * 60 } };
const LOW: Sight = { "working-float": "dry" };

/** Has just poured, and rests for half an hour. */
function boxAtRestAfterPour(): Box {
  const box = Box.atRest(LOW, SLOW);
  box.untilPouring(60);
  return box.sees({ "working-float": "wet" }).after(2).sees(LOW);
}

const rows: [what: string, lost: Sight, back: Sight][] = [
  ["mains", { "mains-sensor": "gone" }, { "mains-sensor": "there" }],
  ["the report of the mains", { "mains-sensor": "nothing" }, { "mains-sensor": "there" }],
  ["the high float", { "high-float": "nothing" }, { "high-float": "dry" }],
];
test.each(rows)(
  "lost for an hour in a rest of 30 min: %s; the pump waits 30 min from its return",
  (_what, lost, back) => {
    const box = boxAtRestAfterPour().sees(lost).after(60).sees(back);
    const waitedMs = box.untilPouring(60);
    expect(waitedMs).toBeGreaterThanOrEqual(REST_MIN * MINUTE_MS);
    expect(waitedMs).toBeLessThan((REST_MIN + 2) * MINUTE_MS);
  },
);

test("nothing lost in a rest of 30 min: the pump waits 30 min from its pour", () => {
  const waitedMs = boxAtRestAfterPour().untilPouring(60);
  expect(waitedMs).toBeGreaterThan((REST_MIN - 4) * MINUTE_MS);
  expect(waitedMs).toBeLessThan((REST_MIN + 2) * MINUTE_MS);
});
