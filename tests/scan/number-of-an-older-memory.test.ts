import { describe, expect, test } from "vitest";
import { provenMemory, restored, toStore } from "../../controller/scan/memory.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/**
 * A copy of the memory from yesterday, put back on a disk that had newer ones. What is written next must have a higher
 * number than all of them, or the next start would find it older again; and a lock must have a number that no lock before
 * it had, or a clear that was meant for one that is long gone would open it.
 */
const FLOOD: Sight = { "high-float": "wet" };
const DRY: Sight = { "high-float": "dry" };

/** Flooded and cleared so often since that copy. */
function boxFlooded(times: number): Box {
  const box = Box.atRest();
  for (let occurrence = 1; occurrence <= times; occurrence++) {
    box.sees(FLOOD).afterSeconds(4).sees(DRY).after(1);
    box.asks({ kind: "clear", machine: "top-off", occurrence, at: "tank" });
    expect(box.accepted).toBe(true);
  }
  return box.after(1);
}

const numbers: [copy: number, known: number, expected: number][] = [
  [40, 90, 90],
  [90, 40, 90],
  [40, 0, 40],
];
test.each(numbers)(
  "a copy with number %d where %d is known to have been on disk: goes on from %d",
  (copy, known, number) => {
    const stored = toStore(provenMemory(SETTINGS));
    expect(restored({ ...stored, sequence: copy }, SETTINGS, known).durable.sequence).toBe(number);
  },
);

describe("the first copy put back after three floods", () => {
  const first = toStore(provenMemory(SETTINGS));

  test("the memory written next has a higher number than any before", () => {
    const box = boxFlooded(3);
    const newest = box.onDisk.sequence;
    box.starts(first, { memory: "older", offMs: null, witness: null }).scan();
    expect(box.memory.durable.sequence).toBeGreaterThan(newest);
  });

  test("a clear for one of the three floods, sent once more: refused, top-off stays locked", () => {
    const box = boxFlooded(3);
    box.starts(first, { memory: "older", offMs: null, witness: null }).after(16);
    expect(box.latch).toBe("memory-lost");
    for (let occurrence = 1; occurrence <= 3; occurrence++) {
      expect(box.asks({ kind: "clear", machine: "top-off", occurrence, at: "tank" }).accepted).toBe(false);
    }
    expect(box.latch).toBe("memory-lost");
  });
});
