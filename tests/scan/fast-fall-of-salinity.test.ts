import { describe, expect, test } from "vitest";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { conductivityFromSalinity } from "../../shared/seawater/index.ts";
import { celsius, practicalSalinityValue } from "../../shared/units/index.ts";
import { Box } from "./box.ts";

/**
 * Salinity that falls by more than 0.5 in six hours, after pours, agrees with them that fresh water came in that nothing
 * evaporated: top-off waits. In 140 L half a unit is two litres.
 */
const conductivityAt = (salinity: number): number =>
  conductivityFromSalinity(practicalSalinityValue(salinity), celsius(25)) as number;

/** Salinity falls evenly from 35 for so long that the six hours of the trend are full. */
function boxAfterFallOf(per6h: number, excessL: number): Box {
  const box = Box.atRest().remembers(TOP_OFF, { excessUl: excessL * 1e6 });
  for (let minute = 0; minute < 6.5 * 60; minute += 5) {
    box.sees({ conductivity: conductivityAt(35 - (per6h * minute) / 360) }).after(5);
  }
  return box;
}

describe("a probe that reads 35 and falls, the ledger undecided", () => {
  const rows: [per6h: number, excessL: number, blocks: boolean][] = [
    [0.7, 3, true],
    [0.4, 3, false],
    [0.7, 0, false],
  ];
  test.each(rows)("by %d in six hours with %d L poured beyond evaporation: blocks is %s", (per6h, excessL, blocks) => {
    const box = boxAfterFallOf(per6h, excessL);
    expect(box.record.quantities.salinityChangePer6h).toBeCloseTo(-per6h, 1);
    expect(box.record.ledger.classes.unexplained).not.toBe("above");
    expect(box.record.topOff.blockers.includes("salinity-falling")).toBe(blocks);
  });
});
