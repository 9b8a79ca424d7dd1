import { describe, expect, it } from "vitest";
import { askedBy, FRESH_BUTTON, followButton, type Press } from "../../controller/inputs/tank-button.ts";
import type { ContactReading } from "../../shared/contract/reading.ts";
import { wellRecord, withHeater } from "../record/scan-record.ts";

const SCAN_MS = 250;
const says = (value: boolean): ContactReading => ({ value, fault: null, ageMs: 80, sample: 1 });
const UP = says(false);
const DOWN = says(true);
const GONE: ContactReading = { value: null, fault: "disconnected", ageMs: 60_000, sample: 1 };
const OLD: ContactReading = { value: false, fault: null, ageMs: 2_001, sample: 1 };

type Spell = [reading: ContactReading, seconds: number];

/** Spells of scans with the same reading; answers with every press that was seen. */
function seenOf(...spells: readonly Spell[]): Press[] {
  let memory = FRESH_BUTTON;
  const presses: Press[] = [];
  for (const [reading, seconds] of spells) {
    for (let ms = 0; ms < seconds * 1000; ms += SCAN_MS) {
      const followed = followButton(memory, reading, SCAN_MS);
      memory = followed.memory;
      if (followed.press !== null) presses.push(followed.press);
    }
  }
  return presses;
}

describe("the button at the tank", () => {
  const rows: [string, Spell[], Press[]][] = [
    ["never pressed", [[UP, 60]], []],
    [
      "a tap",
      [
        [UP, 1],
        [DOWN, 0.25],
        [UP, 1],
      ],
      ["short"],
    ],
    [
      "three seconds",
      [
        [UP, 1],
        [DOWN, 3],
        [UP, 1],
      ],
      ["short"],
    ],
    [
      "between short and long",
      [
        [UP, 1],
        [DOWN, 4],
        [UP, 1],
      ],
      [],
    ],
    [
      "five seconds",
      [
        [UP, 1],
        [DOWN, 5],
        [UP, 1],
      ],
      ["long"],
    ],
    [
      "not before it is let go",
      [
        [UP, 1],
        [DOWN, 8],
      ],
      [],
    ],
    [
      "stuck, or wet inside, and dry again",
      [
        [UP, 1],
        [DOWN, 15],
        [UP, 1],
      ],
      [],
    ],
    [
      "stuck for a day",
      [
        [UP, 1],
        [DOWN, 86_400],
        [UP, 1],
      ],
      [],
    ],
    [
      "twice",
      [
        [UP, 1],
        [DOWN, 1],
        [UP, 1],
        [DOWN, 6],
        [UP, 1],
      ],
      ["short", "long"],
    ],
    [
      "down since the start",
      [
        [DOWN, 6],
        [UP, 1],
      ],
      [],
    ],
    [
      "down when its board was lost, let go when it came back",
      [
        [UP, 1],
        [DOWN, 1],
        [GONE, 1],
        [UP, 1],
      ],
      [],
    ],
    [
      "down when its board came back",
      [
        [UP, 1],
        [GONE, 1],
        [DOWN, 6],
        [UP, 1],
      ],
      [],
    ],
    [
      "a report that is old",
      [
        [UP, 1],
        [DOWN, 1],
        [OLD, 1],
        [UP, 1],
      ],
      [],
    ],
  ];
  it.each(rows)("%s: $2", (_, spells, presses) => expect(seenOf(...spells)).toEqual(presses));

  it("down, then a gap of 2 s or no number of ms: forgotten, no press", () => {
    const down = followButton({ state: "up", downMs: 0 }, DOWN, SCAN_MS).memory;
    expect(followButton(down, UP, 2_001)).toEqual({ memory: FRESH_BUTTON, press: null });
    expect(followButton(down, UP, Number.NaN)).toEqual({ memory: FRESH_BUTTON, press: null });
  });
});

describe("what a press of the button asks for", () => {
  const well = wellRecord();
  const latch = { reason: "high-float-wet", occurrence: 4, clearable: true, atTank: true } as const;
  const asked = (press: Press, record = well) => {
    let ids = 0;
    return askedBy(press, record, () => `id-${++ids}`);
  };

  it("short: hold of 30 min at the tank; in a hold: its end", () => {
    expect(asked("short")).toEqual([{ kind: "hold", id: "id-1", at: "tank", minutes: 30 }]);
    const holding = wellRecord({ hold: { ...well.hold, active: true } });
    expect(asked("short", holding)).toEqual([{ kind: "end-hold", id: "id-1", at: "tank", answer: null }]);
  });

  it("long: all alarms acknowledged, each lock cleared by its number", () => {
    expect(asked("long")).toEqual([{ kind: "acknowledge", id: "id-1", at: "tank", alarm: "all" }]);
    const { heaters } = withHeater({ latch: { ...latch, reason: "heat-cut-out", occurrence: 2 } });
    const locked = wellRecord({ topOff: { ...well.topOff, latch }, heaters });
    expect(asked("long", locked).slice(1)).toEqual([
      { kind: "clear", id: "id-2", at: "tank", machine: "top-off", occurrence: 4 },
      { kind: "clear", id: "id-3", at: "tank", machine: "heat", occurrence: 2 },
    ]);
    const guard = wellRecord({ topOff: { ...well.topOff, waterGuardLatch: latch } });
    expect(asked("long", guard)).toHaveLength(2);
  });
});
