import { describe, expect, it } from "vitest";
import type { Watched } from "../../controller/alarms/condition.ts";
import { type WatchResult, watchConditions } from "../../controller/alarms/engine.ts";
import {
  type AlarmMemory,
  type AlarmsMemory,
  atRest,
  freshAlarms,
  resumedAlarms,
  SHELVED_MOST_MS,
  shelvedAlarm,
  storedAlarms,
} from "../../controller/alarms/memory.ts";
import { advance, stateOf } from "../../controller/alarms/state.ts";

/**
 * The state model of ANSI/ISA-18.2-2016 and IEC 62682:2022, from memory of their state diagrams: states and
 * transitions only, no text. Letters in the tables are those of the 2009 edition, from memory.
 */

interface Facts {
  readonly causes: readonly string[];
  readonly suppressed?: readonly string[];
  readonly locked?: readonly string[];
}
type Alarm = Watched<Facts, null> & { priority: "low" | "medium" | "high" };

const alarm = (id: string, more: Partial<Alarm> = {}): Alarm => ({
  id,
  priority: "medium",
  onDelayMs: 1_000,
  offDelayMs: 2_000,
  clears: "acknowledged",
  stands: ({ causes }) => causes.includes(id),
  suppressed: ({ suppressed = [] }) => suppressed.includes(id),
  lockedOut: ({ locked = [] }) => locked.includes(id),
  ...more,
});

const PLAIN = alarm("plain");
const LATCHING = alarm("latching", { clears: "cleared" });
const QUIET = alarm("quiet", { clears: "by-itself" });
const LIST = [PLAIN, LATCHING, QUIET];

class Story {
  memory: AlarmsMemory = freshAlarms();
  last: WatchResult = { memory: this.memory, alarms: [], changed: false };
  private readonly list: readonly Alarm[];
  constructor(list: readonly Alarm[] = LIST) {
    this.list = list;
  }
  scan(causes: readonly string[], forMs: number, more: Partial<Facts> & { ack?: readonly string[] } = {}): this {
    const { ack = [], ...facts } = more;
    this.last = watchConditions(this.list, this.memory, { causes, ...facts }, null, ack, forMs);
    this.memory = this.last.memory;
    return this;
  }
  run(causes: readonly string[], forMs: number, more: Partial<Facts> = {}): this {
    for (let leftMs = forMs; leftMs > 0; leftMs -= 250) this.scan(causes, Math.min(250, leftMs), more);
    return this;
  }
  state(id: string): string {
    return this.last.alarms.find((one) => one.id === id)?.state ?? "normal";
  }
}

describe("transitions of an alarm", () => {
  const normal = atRest(PLAIN);
  const active: AlarmMemory = { ...normal, active: true, acknowledged: false, onLeftMs: 0 };
  const acked: AlarmMemory = { ...active, acknowledged: true };
  const returned: AlarmMemory = { ...normal, acknowledged: false, offLeftMs: 0 };
  const latched: AlarmMemory = { ...active, latched: true };
  const latchedAcked: AlarmMemory = { ...latched, acknowledged: true };
  const latchedGone: AlarmMemory = { ...latchedAcked, active: false, offLeftMs: 0 };
  const [seen, gone] = [true, false];
  // Scans of the whole delay, in one go; the cut at one second is tested apart.
  const rows: [string, Alarm, AlarmMemory, boolean, boolean, boolean, string | null][] = [
    // name, alarm, before, cause seen, machine locked, acknowledged → state
    ["A normal stays normal", PLAIN, normal, gone, false, false, null],
    ["A→B when the cause stood for the on-delay", PLAIN, normal, seen, false, false, "unacknowledged"],
    ["A→B although acknowledged in the same scan", PLAIN, normal, seen, false, true, "unacknowledged"],
    ["B stays B", PLAIN, active, seen, false, false, "unacknowledged"],
    ["B→C when acknowledged", PLAIN, active, seen, false, true, "acknowledged"],
    ["B→D when the cause went", PLAIN, { ...active, offLeftMs: 500 }, gone, false, false, "returned"],
    ["B→A when acknowledged as the cause goes", PLAIN, { ...active, offLeftMs: 500 }, gone, false, true, null],
    ["C→A when the cause went", PLAIN, { ...acked, offLeftMs: 500 }, gone, false, false, null],
    ["C stays C within the off-delay", PLAIN, acked, gone, false, false, "acknowledged"],
    ["D→A when acknowledged", PLAIN, returned, gone, false, true, null],
    ["D stays D", PLAIN, returned, gone, false, false, "returned"],
    ["D→B when it comes again", PLAIN, returned, seen, false, false, "unacknowledged"],
    ["D→B although acknowledged in the same scan", PLAIN, returned, seen, false, true, "unacknowledged"],
    ["by itself: B→A when the cause went", QUIET, { ...active, offLeftMs: 500 }, gone, false, false, null],
    ["by itself: not while the cause stands", QUIET, active, seen, false, false, "unacknowledged"],
    [
      "E stays when the cause went and nobody looked",
      LATCHING,
      { ...latched, offLeftMs: 500 },
      gone,
      true,
      false,
      "unacknowledged",
    ],
    [
      "E stays though the machine was cleared",
      LATCHING,
      { ...latched, offLeftMs: 500 },
      gone,
      false,
      false,
      "unacknowledged",
    ],
    [
      "E→F when acknowledged, cause gone, not cleared",
      LATCHING,
      { ...latched, active: false },
      gone,
      true,
      true,
      "latched",
    ],
    ["E→A when acknowledged, cause gone and cleared", LATCHING, { ...latched, active: false }, gone, false, true, null],
    ["F stays until cleared", LATCHING, latchedGone, gone, true, false, "latched"],
    ["F→A when cleared", LATCHING, latchedGone, gone, false, false, null],
    ["acknowledged and cleared, cause there: stays", LATCHING, latchedAcked, seen, false, false, "acknowledged"],
    ["F→E when the cause comes again", LATCHING, latchedGone, seen, true, false, "unacknowledged"],
    ["a lockout is shown at once, without its cause", LATCHING, atRest(LATCHING), gone, true, false, "unacknowledged"],
  ];
  it.each(rows)("%s", (_name, one, before, cause, locked, acknowledge, state) => {
    const facts = { causes: cause ? [one.id] : [], locked: locked ? [one.id] : [] };
    const after = advance(one, { ...before, id: one.id }, facts, null, acknowledge, 1_000);
    expect(stateOf(after)).toBe(state);
  });

  it("acknowledged in the scan before it begins: unacknowledged", () => {
    const story = new Story().scan([], 250, { ack: ["plain"] }).run(["plain"], 2_000);
    expect(story.state("plain")).toBe("unacknowledged");
  });

  it("all acknowledged in the scan in which another begins: the standing one acknowledged, the new one not", () => {
    const story = new Story().run(["plain"], 1_000).run(["plain", "quiet"], 750);
    expect(story.state("quiet")).toBe("normal");
    story.scan(["plain", "quiet"], 250, { ack: ["all"] });
    expect([story.state("plain"), story.state("quiet")]).toEqual(["acknowledged", "unacknowledged"]);
  });

  it("one id and an unknown one acknowledged: that alarm only", () => {
    const story = new Story()
      .run(["plain", "quiet"], 1_000)
      .scan(["plain", "quiet"], 250, { ack: ["plain", "unheard-of"] });
    expect([story.state("plain"), story.state("quiet")]).toEqual(["acknowledged", "unacknowledged"]);
  });
});

describe("delays", () => {
  const SLOW = alarm("slow", { onDelayMs: 60_000, offDelayMs: 60_000 });

  it("on-delay of 60 s: normal after 59.75 s, unacknowledged after 60", () => {
    const story = new Story([SLOW]).run(["slow"], 59_750);
    expect(story.state("slow")).toBe("normal");
    expect(story.run(["slow"], 250).state("slow")).toBe("unacknowledged");
  });

  it.each([
    [1, 3, true],
    [1, 5, false],
    [20, 60, true],
    [20, 120, false],
  ])("cause seen for %i scans and gone for %i, two hours: alarm %s", (on, off, fires) => {
    const story = new Story([SLOW]);
    let fired = false;
    for (let scans = 0; scans < 28_800; scans += on + off) {
      story.run(["slow"], on * 250);
      fired ||= story.state("slow") !== "normal";
      story.run([], off * 250);
    }
    expect(fired).toBe(fires);
    if (!fires) expect(story.memory).toEqual(freshAlarms());
  });

  it("cause back for 1 s in every minute, off-delay of 60 s: one alarm in 30 min", () => {
    const story = new Story([SLOW]).run(["slow"], 60_000);
    for (let minute = 0; minute < 30; minute++) story.run([], 59_000).run(["slow"], 1_000);
    expect(story.last.alarms[0]).toMatchObject({ state: "unacknowledged", timesInHour: 1, forMs: 30 * 60_000 });
  });

  it("cause gone for 59.75 s of its off-delay: unacknowledged; for 60: returned", () => {
    const story = new Story([SLOW]).run(["slow"], 60_000).run([], 59_750);
    expect(story.state("slow")).toBe("unacknowledged");
    expect(story.run([], 250).state("slow")).toBe("returned");
  });

  it("returned, cause back for 59.75 s: still returned; for 60: unacknowledged", () => {
    const story = new Story([SLOW]).run(["slow"], 60_000).run([], 60_000).run(["slow"], 59_750);
    expect(story.state("slow")).toBe("returned");
    expect(story.run(["slow"], 250).state("slow")).toBe("unacknowledged");
  });

  it("scan of an hour: counts as 1 s of cause seen or gone", () => {
    const story = new Story([SLOW]).scan(["slow"], 3_600_000);
    expect(story.memory.restless[0]?.onLeftMs).toBe(59_000);
    story.run(["slow"], 59_000).scan([], 3_600_000);
    expect(story.state("slow")).toBe("unacknowledged");
  });

  it("delays of 0: unacknowledged and returned each in the same scan", () => {
    const story = new Story([alarm("now", { onDelayMs: 0, offDelayMs: 0 })]).scan(["now"], 250);
    expect(story.state("now")).toBe("unacknowledged");
    expect(story.scan([], 250).state("now")).toBe("returned");
  });

  it("20 days standing and odd scan lengths: ten days at most, whole ms", () => {
    const story = new Story([SLOW]).run(["slow"], 60_000);
    for (let day = 0; day < 20; day++) story.scan(["slow"], 86_400_000);
    expect(story.last.alarms[0]?.forMs).toBe(864_000_000);
    for (const elapsedMs of [1, 3, 7, 251]) story.scan([], elapsedMs);
    for (const amount of Object.values(story.memory.restless[0] as AlarmMemory)) {
      if (typeof amount === "number") expect(Number.isSafeInteger(amount)).toBe(true);
    }
  });
});

describe("suppression by design", () => {
  const hide = { suppressed: ["plain"] };

  it("cause for 2 s, suppressed: listed as suppressed, active, never first", () => {
    const story = new Story().run(["plain"], 2_000, hide);
    expect(story.last.alarms).toMatchObject([{ id: "plain", state: "suppressed", active: true, first: false }]);
    expect(story.memory.firstUp).toBeNull();
  });

  it("suppressed without a cause: not listed", () => {
    expect(new Story().run([], 2_000, hide).last.alarms).toEqual([]);
  });

  it("suppression over, cause stands: announced as new after its on-delay", () => {
    const story = new Story().run(["plain"], 10_000, hide).run(["plain"], 750);
    expect(story.state("plain")).toBe("normal");
    expect(story.run(["plain"], 250).last.alarms[0]).toMatchObject({ state: "unacknowledged", forMs: 0, first: true });
  });

  it("suppression over, cause gone: no alarm", () => {
    const story = new Story().run(["plain"], 10_000, hide).run([], 250);
    expect(story.last.alarms).toEqual([]);
  });

  it("acknowledged, then suppressed, then over with its cause: unacknowledged", () => {
    const story = new Story().run(["plain"], 1_000).scan(["plain"], 250, { ack: ["plain"] });
    story.run(["plain"], 5_000, hide);
    expect(story.state("plain")).toBe("suppressed");
    expect(story.run(["plain"], 1_000).state("plain")).toBe("unacknowledged");
  });

  it("announced, then suppressed, cause gone: returned", () => {
    const story = new Story().run(["plain"], 1_000).run(["plain"], 5_000, hide).run([], 250);
    expect(story.state("plain")).toBe("returned");
  });

  it("acknowledged while suppressed: still unacknowledged, returned when its cause goes", () => {
    const story = new Story().run(["plain"], 1_000).scan(["plain"], 250, hide);
    story.scan(["plain"], 250, { ...hide, ack: ["all"] }).run([], 250);
    expect(story.state("plain")).toBe("returned");
  });

  it("latching alarm suppressed all along: not listed afterwards", () => {
    const story = new Story().run(["latching"], 5_000, { suppressed: ["latching"] }).run([], 250);
    expect(story.last.alarms).toEqual([]);
  });

  it("latching alarm acknowledged, suppressed, cause gone: unacknowledged", () => {
    const story = new Story().run(["latching"], 1_000).scan(["latching"], 250, { ack: ["latching"] });
    story.run(["latching"], 5_000, { suppressed: ["latching"] }).run([], 250);
    expect(story.last.alarms).toMatchObject([{ id: "latching", state: "unacknowledged", active: false }]);
  });

  it("suppressed alarm whose machine locks: unacknowledged", () => {
    const both = { suppressed: ["latching"], locked: ["latching"] };
    const story = new Story().run(["latching"], 5_000, { suppressed: ["latching"] }).scan(["latching"], 250, both);
    expect(story.state("latching")).toBe("unacknowledged");
  });
});

describe("shelving and out of service", () => {
  const shelved = (story: Story, id: string, forMs: number) => {
    const memory = shelvedAlarm(LIST, story.memory, id, forMs);
    if (memory !== null) story.memory = memory;
    return memory;
  };

  it("shelved for 99 h: eight hours at most, suppressed until then, unacknowledged after", () => {
    const story = new Story().run(["plain"], 1_000);
    shelved(story, "plain", 99 * 3_600_000);
    expect(story.memory.restless[0]?.shelvedLeftMs).toBe(SHELVED_MOST_MS);
    story.scan(["plain"], SHELVED_MOST_MS - 250);
    expect(story.state("plain")).toBe("suppressed");
    story.run(["plain"], 1_250);
    expect(story.state("plain")).toBe("unacknowledged");
  });

  it("shelved without a cause for 10 s: listed as suppressed, memory as fresh afterwards", () => {
    const story = new Story();
    shelved(story, "quiet", 10_000);
    expect(story.scan([], 250).last.alarms).toMatchObject([{ id: "quiet", state: "suppressed", active: false }]);
    expect(story.scan([], 10_000).memory).toEqual(freshAlarms());
  });

  it("shelving an alarm of a lock, or an unknown id: refused", () => {
    expect(shelved(new Story(), "latching", 1_000)).toBeNull();
    expect(shelved(new Story(), "unheard-of", 1_000)).toBeNull();
  });

  it("out of service with its cause for 50 s, also after a restart: suppressed", () => {
    const story = new Story();
    story.memory = { restless: [{ ...atRest(PLAIN), outOfService: true }], firstUp: null };
    expect(story.run(["plain"], 50_000).state("plain")).toBe("suppressed");
    story.memory = resumedAlarms(LIST, JSON.parse(JSON.stringify(story.memory)));
    expect(story.scan([], 250).state("plain")).toBe("suppressed");
  });
});

describe("the alarm that is first", () => {
  const first = (story: Story) => story.last.alarms.find((one) => one.first)?.id;
  const LATER = [alarm("a", { onDelayMs: 0 }), alarm("b", { onDelayMs: 0 }), alarm("c", { onDelayMs: 0 })];

  it("c, then a, then b, of rising rank: c", () => {
    const story = new Story(LATER).scan(["c"], 250).scan(["a", "c"], 250).scan(["a", "b", "c"], 250);
    expect(first(story)).toBe("c");
  });

  it("c and b in one scan: b, of higher rank", () => {
    expect(first(new Story(LATER).scan(["c", "b"], 250))).toBe("b");
  });

  it("c acknowledged, then a: a", () => {
    const story = new Story(LATER).scan(["c"], 250).scan(["c"], 250, { ack: ["all"] });
    expect(first(story)).toBe("c");
    expect(first(story.scan(["a", "c"], 250))).toBe("a");
  });

  it("first one suppressed: passes to the standing one, then to a new one", () => {
    const story = new Story(LATER).scan(["c"], 250).scan(["b", "c"], 250, { ack: ["c"] });
    const hide = { suppressed: ["b"] };
    expect(first(story)).toBe("b");
    expect(first(story.scan(["b", "c"], 250, hide))).toBe("c");
    expect(first(story.scan(["a", "b", "c"], 250, hide))).toBe("a");
  });

  it("first one normal again: passes to the one that stands longest", () => {
    const story = new Story(LATER).scan(["c"], 250).scan(["b", "c"], 250).scan(["a", "b", "c"], 250);
    story.scan(["a", "b", "c"], 250, { ack: ["c"] }).run(["a", "b"], 2_250);
    expect(first(story)).toBe("b");
  });

  it("two in one scan, then a third: exactly one is first", () => {
    const story = new Story(LATER).scan(["c", "b"], 250).run(["a"], 5_000);
    expect(story.last.alarms.filter((one) => one.first)).toHaveLength(1);
  });
});

describe("times in an hour", () => {
  const QUICK = alarm("quick", { onDelayMs: 0, offDelayMs: 0, clears: "by-itself" });
  it("four times in half an hour: 4; an hour later at most 4 with a new one; after six hours: memory as fresh", () => {
    const story = new Story([QUICK]);
    for (let time = 0; time < 3; time++) story.scan(["quick"], 250).scan([], 600_000);
    expect(story.scan(["quick"], 250).last.alarms[0]?.timesInHour).toBe(4);
    story.scan([], 3_600_000).scan(["quick"], 250);
    expect(story.last.alarms[0]?.timesInHour).toBeLessThanOrEqual(4);
    story.scan([], 6 * 3_600_000);
    expect(story.memory).toEqual(freshAlarms());
  });
});

describe("the alarms' memory", () => {
  it("nothing changes: the very same memory and list, changed false", () => {
    const memory = freshAlarms();
    const one = watchConditions(LIST, memory, { causes: [] }, null, [], 250);
    const two = watchConditions(LIST, memory, { causes: [] }, null, [], 250);
    expect(one.memory).toBe(memory);
    expect(one.alarms).toBe(two.alarms);
    expect(one.changed).toBe(false);
  });

  it("watched with an acknowledgement: memory before unchanged", () => {
    const story = new Story().run(["plain"], 1_000);
    const before = JSON.stringify(story.memory);
    watchConditions(LIST, story.memory, { causes: [] }, null, ["all"], 250);
    expect(JSON.stringify(story.memory)).toBe(before);
  });

  it("changed, to be on disk: true on a change of state or acknowledgement, false on time alone", () => {
    const story = new Story().run(["plain"], 750);
    expect(story.last.changed).toBe(false);
    expect(story.scan(["plain"], 250).last.changed).toBe(true);
    expect(story.scan(["plain"], 250).last.changed).toBe(false);
    expect(story.scan(["plain"], 250, { ack: ["plain"] }).last.changed).toBe(true);
    expect(story.run([], 1_750).last.changed).toBe(false);
    expect(story.scan([], 250).last.changed).toBe(true);
  });

  it("stored and read in the middle of two alarms: the same results as without", () => {
    const one = new Story().run(["plain", "latching"], 1_500);
    const other = new Story();
    other.memory = JSON.parse(JSON.stringify(one.memory));
    for (const story of [one, other]) story.run([], 3_000).scan([], 250, { ack: ["plain"] });
    expect(other.last).toEqual(one.last);
  });

  it("resumed: acknowledged stays, latched is unacknowledged; shelving and half-run delays are gone", () => {
    const story = new Story().run(["plain", "latching"], 1_000, { locked: ["latching"] });
    story.scan(["plain", "latching"], 250, { ack: ["all"], locked: ["latching"] }).run(["plain", "quiet"], 500);
    story.memory = shelvedAlarm(LIST, story.memory, "quiet", 3_600_000) as AlarmsMemory;
    const resumed = resumedAlarms(LIST, JSON.parse(JSON.stringify(story.memory)));
    expect(resumed.restless.map(({ id }) => id)).toEqual(["plain", "latching"]);
    const next = new Story();
    next.memory = resumed;
    next.scan(["plain"], 250, { locked: ["latching"] });
    expect([next.state("plain"), next.state("latching")]).toEqual(["acknowledged", "unacknowledged"]);
    expect(next.last.alarms[0]?.forMs).toBe(1_000);
  });

  it("stored under another list of alarms: sorted by this one, unknown ids dropped", () => {
    const quiet = { ...atRest(QUIET), active: true, acknowledged: false };
    const memory = {
      restless: [quiet, { ...quiet, id: "no-more" }, { ...quiet, id: "plain" }],
      firstUp: "no-more",
    };
    const result = watchConditions(LIST, memory, { causes: ["plain", "quiet"] }, null, [], 250);
    expect(result.alarms.map(({ id }) => id)).toEqual(["plain", "quiet"]);
    expect(result.changed).toBe(true);
    expect(resumedAlarms(LIST, memory).restless.map(({ id }) => id)).toEqual(["plain", "quiet"]);
  });

  it.each([
    { forMs: null },
    { forMs: "5" },
    { recentMs: -5.5 },
    { onLeftMs: 864_000_001 },
    { active: 1 },
    { id: null },
  ])("stored with %j in one alarm is not believed: all are at rest, and told anew", (change) => {
    const whole = { restless: [atRest(PLAIN)], firstUp: "plain" };
    expect(storedAlarms.parse(whole)).toEqual(whole);
    const broken = { ...whole, restless: [{ ...atRest(PLAIN), ...change }] };
    expect(storedAlarms.parse(broken)).toEqual({ restless: [], firstUp: null });
  });
});
