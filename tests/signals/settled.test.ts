import { describe, expect, test } from "vitest";
import { NOTHING_SETTLED, type SettledMemory, settle } from "../../controller/signals/settled.ts";
import type { Source, Trust, Vote } from "../../controller/signals/vote.ts";
import type { Witness, Witnesses } from "../../controller/signals/witness.ts";
import type { Signal } from "../../shared/contract/index.ts";

/** What is left after a loss is believed as usual ten minutes later, and not in the scan of the loss. */
const TEN_MIN_MS = 600_000;
const signal = (value: number | null, doubt: Signal["doubt"] = null) => ({ value, doubt }) as Signal;
const heard = (first: Signal, second: Signal, third: Signal): Witnesses => {
  const witness = (who: Witness["who"], one: Signal): Witness => ({ who, signal: one, answer: "unknown" });
  return { first: witness("first", first), second: witness("second", second), third: witness("third", third) };
};
const ALL = heard(signal(25), signal(25), signal(25));
const FIRST_LOST = heard(signal(null), signal(25), signal(25));
const THIRD_LOST = heard(signal(25), signal(25), signal(null));
const says = (source: Source, trust: Trust, celsius = 25) => ({ source, trust, control: signal(celsius) }) as Vote;

const FULL: SettledMemory = { source: "mean", heard: 7, forMs: TEN_MIN_MS, courseC: 25 };

describe("trust", () => {
  test("in two that agree is there at once, at the start and after a return", () => {
    expect(settle(NOTHING_SETTLED, says("mean", "full"), ALL, 250)).toMatchObject({ trust: "full", isSettled: true });
    const away = { ...FULL, source: "second-with-third", heard: 6, forMs: 5_000 } as const;
    expect(settle(away, says("mean", "full"), ALL, 250)).toMatchObject({ trust: "full", isSettled: true });
  });

  test("in two that agree loses nothing by the loss of a third that had no say", () => {
    expect(settle(FULL, says("mean", "full"), THIRD_LOST, 250)).toMatchObject({ trust: "full", isSettled: true });
  });

  test("in two that agree takes its time where it was the third that controlled and was lost", () => {
    const third = { ...FULL, source: "third-of-three" } as const;
    const lost = settle(third, says("mean", "full"), THIRD_LOST, 250);
    expect(lost).toMatchObject({ trust: "doubtful", isSettled: false });
    // And in the next scan, in which nobody is lost any more.
    expect(settle(lost.memory, says("mean", "full"), THIRD_LOST, 250).trust).toBe("doubtful");
    expect(settle({ ...lost.memory, forMs: TEN_MIN_MS - 250 }, says("mean", "full"), THIRD_LOST, 250).trust).toBe(
      "full",
    );
  });

  test.each(["agreed", "answered"] as const)(
    "that is only %s takes ten minutes after every loss and every change",
    (trust) => {
      const opinion = says("second-with-third", trust);
      const lost = settle(FULL, opinion, FIRST_LOST, 250);
      expect(lost).toMatchObject({ trust: "doubtful", memory: { forMs: 0 } });
      const before = (forMs: number) => ({ ...lost.memory, forMs });
      expect(settle(before(TEN_MIN_MS - 251), opinion, FIRST_LOST, 250).trust).toBe("doubtful");
      expect(settle(before(TEN_MIN_MS - 250), opinion, FIRST_LOST, 250)).toMatchObject({ trust, isSettled: true });
      const alone = heard(signal(null), signal(25), signal(null));
      expect(settle(before(TEN_MIN_MS), opinion, alone, 250)).toMatchObject({
        trust: "doubtful",
        memory: { forMs: 0 },
      });
      expect(settle(before(TEN_MIN_MS), says("second", trust), FIRST_LOST, 250).memory.forMs).toBe(0);
    },
  );

  test("is as it is where there is none to be had", () => {
    for (const trust of ["doubtful", "undecided", "none"] as const) {
      expect(settle(FULL, says("mean", trust), ALL, 250)).toMatchObject({ trust, isSettled: false });
    }
  });

  test("misses none that hangs in the air perhaps: it was not heard before either", () => {
    const before = { ...FULL, source: "second", heard: 2 } as const;
    const aired = heard(signal(20, "rate"), signal(25), signal(null));
    const bad = heard(signal(null), signal(25), signal(null));
    const { memory } = settle(before, says("second", "answered"), aired, 250);
    expect(memory).toMatchObject({ heard: 2, forMs: TEN_MIN_MS });
    expect(settle(memory, says("second", "answered"), bad, 250).trust).toBe("answered");
  });
});

describe("the course that was last agreed", () => {
  const single = (courseC: number | null, celsius: number) =>
    settle(
      { source: "first", heard: 1, forMs: TEN_MIN_MS, courseC },
      says("first", "answered", celsius),
      heard(signal(celsius), signal(null), signal(null)),
      3_600_000,
    );

  test("follows what two agree on at once", () => {
    expect(settle(FULL, says("mean", "full", 26.4), ALL, 250).memory.courseC).toBe(26.4);
  });
  test("leads a single witness by a kelvin, and follows it by half a kelvin in an hour", () => {
    expect(single(25, 26.4)).toMatchObject({ trust: "answered", memory: { courseC: 25.5 } });
    expect(single(25, 26.6)).toMatchObject({ trust: "doubtful", memory: { courseC: 25.5 } });
    expect(single(25, 23.4)).toMatchObject({ trust: "doubtful", memory: { courseC: 24.5 } });
    expect(single(25, 24.8).memory.courseC).toBe(24.8);
  });
  test("where nothing was agreed since the start is what a witness says that has followed the heater for its time", () => {
    expect(single(null, 24)).toMatchObject({ trust: "answered", memory: { courseC: 24 } });
    const soon = { source: "first", heard: 1, forMs: 0, courseC: null } as const;
    const only = heard(signal(24), signal(null), signal(null));
    expect(settle(soon, says("first", "answered", 24), only, 250)).toMatchObject({
      trust: "doubtful",
      memory: { courseC: null },
    });
  });
  test("says nothing against the warmer of two that both follow the heater", () => {
    const before = { ...FULL, source: "warmer" } as const;
    expect(settle(before, says("warmer", "answered", 26.8), ALL, 250).trust).toBe("answered");
  });
});
