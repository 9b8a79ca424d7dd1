import { describe, expect, test } from "vitest";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { Box } from "./box.ts";

/** Where repeated ids are judged, and what a refusal may cost. */

describe("an id asked for a second time", () => {
  test("refused before, same request: the same refusal, although it would be granted by now", () => {
    const box = Box.atRest().sees({ "high-float": "wet" }).afterSeconds(3);
    const clear = { id: "again", kind: "clear", machine: "top-off", occurrence: 1, at: "tank" } as const;
    expect(box.asks(clear).accepted).toBe(false);
    const first = box.record.outcomes;
    box.sees({ "high-float": "dry" }).after(10);
    expect(box.asks(clear).record.outcomes).toEqual(first);
    expect(box.latch).toBe("high-float-wet");
  });

  test("refused before, another request: refused, nothing changed", () => {
    const box = Box.atRest().asks({ id: "b", kind: "clear", machine: "heat", occurrence: 1, at: "network" });
    box.asks({ id: "b", kind: "hold", minutes: 5, at: "network" });
    expect(box.record.outcomes).toMatchObject([{ id: "b", accepted: false }]);
    expect(box.record.hold.active).toBe(false);
  });

  test("the same words from another place are another request: refused", () => {
    const box = Box.atRest().asks({ id: "c", kind: "hold", minutes: 5, at: "network" });
    expect(box.asks({ id: "c", kind: "hold", minutes: 5, at: "tank" }).accepted).toBe(false);
    expect(box.record.hold.withHeat).toBe(false);
  });
});

describe("what must be on disk", () => {
  const saves = (box: Box, ask: () => void): boolean => {
    const before = box.memory.durable.sequence;
    ask();
    return box.memory.durable.sequence > before;
  };

  test("a request that is granted is saved in the same scan", () => {
    const box = Box.atRest();
    expect(saves(box, () => box.asks({ kind: "hold", minutes: 5, at: "network" }))).toBe(true);
  });

  test("a hundred refused requests: nothing is saved for any", () => {
    const box = Box.atRest();
    const durable = box.memory.durable.answered;
    expect(
      saves(box, () => {
        for (let turn = 0; turn < 100; turn++)
          box.asks({ id: `no-${turn}`, kind: "clear", machine: "heat", occurrence: 1, at: "network" });
      }),
    ).toBe(false);
    expect(box.memory.durable.answered).toBe(durable);
    expect(box.memory.volatile.refused.length).toBe(64);
  });

  test("a granted request asked a hundred times: saved once", () => {
    const box = Box.atRest();
    const ask = () => void box.asks({ id: "same", kind: "hold", minutes: 30, at: "network" });
    ask();
    expect(
      saves(box, () => {
        for (let turn = 0; turn < 100; turn++) ask();
      }),
    ).toBe(false);
  });

  test("a refusal that voids a proof is saved: water that ran on after the stop is a siphon", () => {
    const box = Box.atRest().asks({ kind: "prove", at: "tank", part: "siphon", seconds: 30 });
    box.until(() => box.record.proving.run === null, 3);
    box.after(1);
    expect(box.durable(PROVING).parts.siphon.ageMs).not.toBeNull();
    expect(saves(box, () => box.asks({ kind: "proven", at: "tank", part: "siphon", ml: 500 }))).toBe(true);
    expect(box.accepted).toBe(false);
    expect(box.durable(PROVING).parts.siphon.ageMs).toBeNull();
  });
});
