import { describe, expect, test } from "vitest";
import { CALIBRATION } from "../../controller/decisions/calibration/key.ts";
import type { Calibrated } from "../../shared/contract/calibration.ts";
import { settingsSchema } from "../../shared/settings/schema.ts";
import { Box, SETTINGS, withStored } from "./box.ts";

/** What was calibrated under one settings file, and runs on under another that contradicts it. */

type Raw = { tank: Record<string, number>; topOff: Record<string, number> };

/** A box with these values calibrated, started again with a changed file. */
function startedWith(values: Partial<Record<Calibrated, number>>, change: (raw: Raw) => void): Box {
  const before = Box.atRest({ "working-float": "dry" });
  let calibration = before.durable(CALIBRATION);
  for (const [what, value] of Object.entries(values) as [Calibrated, number][]) {
    const number = calibration.numbers + 1;
    const entry = { ...calibration.entries[0]!, number, what, before: 0, after: value, beforeNumber: null };
    const entries = [...calibration.entries, entry];
    calibration = {
      ...calibration,
      entries,
      numbers: number,
      values: { ...calibration.values, [what]: { value, doubt: 0, number } },
    };
  }
  const raw = JSON.parse(JSON.stringify(SETTINGS));
  change(raw);
  const box = new Box(settingsSchema.parse(raw));
  const kept = JSON.parse(JSON.stringify(withStored(before.onDisk, CALIBRATION, calibration)));
  return box.sees({ "working-float": "dry" }).starts(kept, { memory: "sound", offMs: 1000 }).scan();
}

const inForce = (box: Box, what: Calibrated) => box.record.calibration.inForce[what];
const standing = (box: Box, what: Calibrated) =>
  box.record.calibration.entries.find((each) => each.what === what)?.standing;
const names = (box: Box) => box.record.proving.fallen.map(({ part }) => part);

describe("a calibration that contradicts the changed settings file", () => {
  test("pump-off level calibrated at 68 mm, high float moved down to 65 mm: falls, the file's 60 mm counts, level not proven, no pour", () => {
    const box = startedWith({ "pump-off-level-mm": 68, "low-float-mm": -55 }, (raw) => {
      raw.tank.highFloatMm = 65;
    });
    expect(inForce(box, "pump-off-level-mm")).toMatchObject({ value: 60, number: null });
    expect(standing(box, "pump-off-level-mm")).toBe("fallen");
    expect(names(box)).toEqual(["pump-off-level"]);
    expect(box.record.alarms.map(({ id }) => id)).toContain("proofs-fallen");
    // What has no part in it stays.
    expect(inForce(box, "low-float-mm").value).toBe(-55);
    expect(box.after(30).pumpMs).toBe(0);
    expect(box.record.topOff.blockers).toContain("not-proven");
  });

  test("flow calibrated at 0.2 L/min, slices of 240 mL that need more: falls, the file's 1.5 counts, pump not proven, no pour", () => {
    const box = startedWith({ "top-off-flow": 0.2 }, (raw) => {
      raw.topOff.sliceMl = 240;
    });
    expect(inForce(box, "top-off-flow")).toMatchObject({ value: 1.5, number: null });
    expect(names(box)).toEqual(["top-off-pump"]);
    expect(box.after(30).pumpMs).toBe(0);
  });

  test("pump-off level falls beside a flow of 2.4 above the file's: the flow goes on counting, only the level loses its proof", () => {
    const box = startedWith({ "pump-off-level-mm": 68, "top-off-flow": 2.4 }, (raw) => {
      raw.tank.highFloatMm = 65;
    });
    expect(inForce(box, "top-off-flow").value).toBe(2.4);
    expect(names(box)).toEqual(["pump-off-level"]);
  });
});

test("calibrated marks and flow that fit the changed file: stay in force, and every proof stays", () => {
  const box = startedWith({ "pump-off-level-mm": 63, "top-off-flow": 2.4 }, (raw) => {
    raw.topOff.sliceMl = 200;
  });
  expect(inForce(box, "pump-off-level-mm").value).toBe(63);
  expect(inForce(box, "top-off-flow").value).toBe(2.4);
  expect(names(box)).toEqual([]);
  expect(box.record.proving.parts["pump-off-level"].standing).toBe("proven");
});
