import { describe, expect, it } from "vitest";
import { eventsBetween } from "../../controller/record/index.ts";
import type { AlarmStatus, Latch, ScanRecord } from "../../shared/contract/index.ts";
import { wellRecord, withHeater } from "./scan-record.ts";

const well = wellRecord();
const alarm = (changes: Partial<AlarmStatus> = {}): AlarmStatus => ({
  id: "floor-wet",
  priority: "high",
  state: "unacknowledged",
  active: true,
  forMs: 0,
  first: true,
  timesInHour: 1,
  ...changes,
});
const latch = (occurrence: number): Latch => ({ reason: "floor-wet", occurrence, clearable: false, atTank: true });
const topOff = (changes: Partial<ScanRecord["topOff"]>) => wellRecord({ topOff: { ...well.topOff, ...changes } });
const holding = { ...well.hold, active: true, leftMs: 60_000 };

describe("events between two scans", () => {
  const rows: [name: string, before: ScanRecord | null, after: ScanRecord, expected: [string, string | null][]][] = [
    ["nothing happened", well, wellRecord({ scan: 2 }), []],
    ["the first scan", null, well, [["started", null]]],
    ["an alarm is raised", well, wellRecord({ alarms: [alarm()] }), [["alarm-raised", "floor-wet"]]],
    ["it stands on", wellRecord({ alarms: [alarm()] }), wellRecord({ alarms: [alarm({ forMs: 250 })] }), []],
    [
      "it is acknowledged",
      wellRecord({ alarms: [alarm()] }),
      wellRecord({ alarms: [alarm({ state: "acknowledged" })] }),
      [["alarm-acknowledged", "floor-wet"]],
    ],
    [
      "it is over but latched",
      wellRecord({ alarms: [alarm()] }),
      wellRecord({ alarms: [alarm({ active: false, state: "latched" })] }),
      [["alarm-cleared", "floor-wet"]],
    ],
    ["it is gone", wellRecord({ alarms: [alarm()] }), well, [["alarm-cleared", "floor-wet"]]],
    ["what was over goes", wellRecord({ alarms: [alarm({ active: false })] }), well, []],
    ["a trip latches", well, topOff({ latch: latch(3) }), [["latched", "top-off"]]],
    ["a latch stands", topOff({ latch: latch(3) }), topOff({ latch: latch(3) }), []],
    ["a latch is cleared", topOff({ latch: latch(3) }), well, [["unlatched", "top-off"]]],
    [
      "cleared and tripped again at once",
      topOff({ latch: latch(3) }),
      topOff({ latch: latch(4) }),
      [
        ["unlatched", "top-off"],
        ["latched", "top-off"],
      ],
    ],
    ["the water guard latches", well, topOff({ waterGuardLatch: latch(1) }), [["latched", "water-guard"]]],
    ["heat latches", well, withHeater({ latch: latch(1) }), [["latched", "heat"]]],
    ["a pour begins", well, topOff({ state: "pouring", why: "pouring-low" }), [["pour-began", "top-off"]]],
    ["a pour ends", topOff({ state: "pouring" }), topOff({ state: "settling" }), [["pour-ended", "top-off"]]],
    ["a hold begins", well, wellRecord({ hold: holding }), [["hold-began", null]]],
    [
      "a hold ends with a question",
      wellRecord({ hold: holding }),
      wellRecord({ hold: { ...well.hold, question: true } }),
      [
        ["hold-ended", null],
        ["hold-question", null],
      ],
    ],
    [
      "a request is answered",
      well,
      wellRecord({ outcomes: [{ id: "a1", accepted: false, why: "No latch has that number." }] }),
      [["request-answered", "a1"]],
    ],
    ["the board falls silent", well, wellRecord({ board: "silent" }), [["board", "board"]]],
    ["the disk fails", well, wellRecord({ disk: "failed" }), [["disk", "disk"]]],
    [
      "a start with an alarm, a latch and a silent board",
      null,
      wellRecord({ alarms: [alarm()], board: "silent", topOff: { ...well.topOff, latch: latch(1) } }),
      [
        ["started", null],
        ["latched", "top-off"],
        ["alarm-raised", "floor-wet"],
        ["board", "board"],
      ],
    ],
  ];

  it.each(rows)("%s: $3", (_, before, after, expected) => {
    const events = eventsBetween(before, after);
    expect(events.map(({ kind, subject }) => [kind, subject])).toEqual(expected);
    for (const { words } of events) expect(words).toMatch(/^[A-Z].+\.$/);
  });
});
