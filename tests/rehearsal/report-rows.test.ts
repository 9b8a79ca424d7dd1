import { describe, expect, it } from "vitest";
import { watchAskRows } from "../../controller/rehearsal/ask-rows.ts";
import { watchEpisodes } from "../../controller/rehearsal/episode-rows.ts";
import { checkScenario, type Report, rehearse, summaryOf } from "../../controller/rehearsal/index.ts";
import { watchThrottle } from "../../controller/rehearsal/throttled-time.ts";
import type { AlarmStatus, Latch, ScanRecord } from "../../shared/contract/index.ts";
import { SETTINGS } from "./still-tank.ts";

/** Records of which only what is looked at is filled in. */
type Said = { alarms?: readonly [id: string, state: AlarmStatus["state"], first?: boolean][]; question?: boolean } & {
  latch?: string;
  heatLatch?: string;
  why?: string;
};
const latchOf = (reason: string | undefined): Latch | null =>
  reason === undefined ? null : ({ reason, occurrence: 1, clearable: true, atTank: false } as Latch);

const record = ({ alarms = [], question = false, latch, heatLatch, why = "water-at-mark" }: Said): ScanRecord =>
  ({
    alarms: alarms.map(([id, state, first = false]) => ({ id, state, first, priority: "low" })),
    hold: { question },
    topOff: { latch: latchOf(latch), why },
    heaters: [{ heater: "heater-1", latch: latchOf(heatLatch) }],
  }) as unknown as ScanRecord;

describe("what wants a person", () => {
  const asksOf = (...said: Said[]) => {
    const watch = watchAskRows();
    for (const [atH, each] of said.entries()) watch.see(record(each), atH);
    return watch.rows();
  };

  it("alarm raised, acknowledged, gone, raised again: two asks", () => {
    const raised: Said = { alarms: [["reservoir-low", "unacknowledged"]] };
    const seen: Said = { alarms: [["reservoir-low", "acknowledged"]] };
    expect(asksOf({}, raised, seen, {}, raised)).toEqual([
      { atH: 1, what: "reservoir-low" },
      { atH: 4, what: "reservoir-low" },
    ]);
  });

  it("alarm returned or suppressed: no ask", () => {
    expect(asksOf({ alarms: [["floor-wet", "returned"]] }, { alarms: [["floor-wet", "suppressed"]] })).toEqual([]);
  });

  it("question after a hold, then its alarm: one ask", () => {
    expect(asksOf({ question: true }, { question: true, alarms: [["hold-question", "unacknowledged"]] })).toEqual([
      { atH: 0, what: "hold-question" },
    ]);
  });

  it("top-off and heat locked: an ask each", () => {
    expect(asksOf({}, { latch: "failed-pours", heatLatch: "heat-cut-out" })).toEqual([
      { atH: 1, what: "clear top-off" },
      { atH: 1, what: "clear heat" },
    ]);
  });
});

describe("an episode", () => {
  const episodesOf = (...said: Said["alarms"][]) => {
    const watch = watchEpisodes();
    for (const [atH, alarms = []] of said.entries()) watch.see(record({ alarms }), atH);
    return watch.rows();
  };

  it("three alarms that overlap: one episode, caused by the first", () => {
    expect(
      episodesOf(
        [],
        [
          ["top-off-withheld", "unacknowledged"],
          ["float-failed", "unacknowledged", true],
        ],
        [["salinity-high", "unacknowledged"]],
        [],
      ),
    ).toEqual([{ cause: "float-failed", atH: 1, alarms: ["top-off-withheld", "float-failed", "salinity-high"] }]);
  });

  it("all returned, then one more: two episodes", () => {
    const stood: Said["alarms"] = [["floor-wet", "latched", true]];
    expect(episodesOf(stood, [["floor-wet", "returned", true]], stood).map(({ atH }) => atH)).toEqual([0, 2]);
  });
});

describe("the hours of throttling", () => {
  it.each([
    ["the day's litres are used up", { why: "daily-budget-used" }, 3],
    ["unexplained litres stand at their limit", { why: "excess-litres" }, 3],
    ["the lock of those litres is no throttling but a lock", { why: "excess-litres", latch: "excess-litres" }, 0],
    ["nothing is due", { why: "water-at-mark" }, 0],
  ])("%s: %o for three hours counts %d", (_, said, hours) => {
    const watch = watchThrottle();
    for (const atH of [0, 1, 2, 3]) watch.see(record(said), atH);
    expect(watch.hours()).toBe(hours);
  });
});

describe("a report of a reservoir that runs low", () => {
  it("reservoir of 1 L: one ask, one episode, no throttled hour", () => {
    const raw = { name: "low", hours: 0.5, start: { reservoirL: 1 } };
    const { scenario } = checkScenario(raw, SETTINGS);
    if (scenario === null) throw new Error("refused");
    const report: Report = rehearse(scenario, { seed: 1, settings: SETTINGS, scans: "adaptive" });
    expect(report.asks.map(({ what }) => what)).toEqual(["reservoir-low"]);
    expect(report.episodes).toEqual([{ cause: "reservoir-low", atH: report.asks[0]?.atH, alarms: ["reservoir-low"] }]);
    expect(report.throttledH).toBe(0);
    expect(summaryOf(report)).not.toContain("throttled");
    expect(summaryOf({ ...report, throttledH: 3.25 })).toContain("For 3.25 h top-off was throttled");
  });
});
