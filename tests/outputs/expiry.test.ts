import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { EXPIRED, passed, renewed } from "../../controller/outputs/expiry.ts";
import { stepsBetween } from "../../controller/outputs/relays.ts";
import { type Commands, EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { OUTPUT_PARTS } from "../../shared/contract/parts.ts";
import { OUTPUT_EXPIRY_MS } from "../../shared/settings/limits.ts";

const pumping: Commands = { ...EVERYTHING_OFF, "top-off-pump": true, "water-guard": true };
const anyCommands = fc.record(
  Object.fromEntries(OUTPUT_PARTS.map((part) => [part, fc.boolean()])),
) as fc.Arbitrary<Commands>;

describe("permit of the outputs after a renewal", () => {
  it.each([
    ["at once", 0, true],
    ["one millisecond before its end", OUTPUT_EXPIRY_MS - 1, true],
    ["at its end", OUTPUT_EXPIRY_MS, false],
    ["long after", 1e9, false],
    ["with a clock that runs backwards", -1, false],
    ["with a clock that is no number", Number.NaN, false],
  ])("%s, %d ms: holds %s", (_, elapsedMs, lasts) => {
    expect(passed(renewed(pumping), elapsedMs).commands).toEqual(lasts ? pumping : EVERYTHING_OFF);
  });

  it("50 ms each until its end: expired", () => {
    let permit = renewed(pumping);
    for (let spent = 0; spent < OUTPUT_EXPIRY_MS; spent += 50) permit = passed(permit, 50);
    expect(permit).toEqual(EXPIRED);
  });

  it("expired, any times after: expired", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 5000 })), (times) => {
        expect(times.reduce(passed, EXPIRED)).toEqual(EXPIRED);
      }),
    );
  });

  it("renewed 100 times 1 ms before its end: commands hold", () => {
    let permit = EXPIRED;
    for (let scan = 0; scan < 100; scan += 1) {
      permit = passed(renewed(pumping), OUTPUT_EXPIRY_MS - 1);
      expect(permit.commands).toEqual(pumping);
    }
  });
});

describe("steps of switching between two commands", () => {
  it("pump on: guard first, then relay", () => {
    expect(stepsBetween(EVERYTHING_OFF, pumping)).toEqual([["water-guard"], ["top-off-pump"]]);
  });

  it("pump off: both at once", () => {
    expect(stepsBetween(pumping, EVERYTHING_OFF)).toEqual([["top-off-pump", "water-guard"]]);
  });

  it("pump off and heater on: pump, its guard and the heat guard, then the heater", () => {
    const heating: Commands = { ...EVERYTHING_OFF, "heater-1": true, "heat-guard": true };
    expect(stepsBetween(pumping, heating)).toEqual([["top-off-pump", "water-guard", "heat-guard"], ["heater-1"]]);
  });

  it("any two commands: each change once, nothing else", () => {
    fc.assert(
      fc.property(anyCommands, anyCommands, (before, after) => {
        const changed = OUTPUT_PARTS.filter((part) => before[part] !== after[part]);
        expect(stepsBetween(before, after).flat().sort()).toEqual([...changed].sort());
      }),
    );
  });
});
