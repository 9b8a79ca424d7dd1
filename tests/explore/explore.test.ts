import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { stepHeat } from "../../controller/decisions/heat/machine.ts";
import { FRESH_HEAT_DURABLE, FRESH_HEAT_VOLATILE, type HeatMemory } from "../../controller/decisions/heat/memory.ts";
import type { HeatPlan } from "../../controller/decisions/heat/plan.ts";
import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import { stepTopOff } from "../../controller/decisions/top-off/machine.ts";
import { provenTopOff, type TopOffMemory } from "../../controller/decisions/top-off/memory.ts";
import type { TopOffPlan } from "../../controller/decisions/top-off/plan.ts";
import { elapsed } from "../elapsed.ts";
import { heatScan, smallHeat } from "./heat-moves.ts";
import { choice, Packer } from "./pack.ts";
import { FIGURES_FILE, type Figures, PROOF_FILE, proofPage } from "./proof-page.ts";
import { explore, type Machine, rule } from "./search.ts";
import { ask, factsFor } from "./top-off.ts";
import { CLEAR, CREDIT_MOST_MS, ENVIRONMENTS, OFF, ON, SMALL_TOP_OFF, TICK_MS, UNKNOWN } from "./top-off-moves.ts";
import { pumpIsAllowed } from "./top-off-rules.ts";

/** A counter that may be added to by one or by two, and must not come to four. */
const counting = (most: number): Machine<{ readonly part: { readonly count: number } }> => ({
  name: "counting",
  about: "a toy",
  fields: { part: { count: choice(3) } },
  begins: [["nothing counted", { part: { count: 0 } }]],
  moves: ["one more", "two more"],
  step: ({ part }, move) => {
    const count = part.count + move + 1;
    rule(count !== 4, "T1", "four was reached");
    return { next: { part: { count: Math.min(count, most) } } };
  },
  tell: ({ part }) => `count ${part.count}`,
  mustMeet: {},
});

describe("search of a toy machine that counts by one or two", () => {
  test("count at most 1: 2 states, 4 transitions, nothing broken", () => {
    expect(explore(counting(1))).toMatchObject({ states: 2, transitions: 4, broken: null });
  });

  test("rule broken at four: shortest walk told, two steps of two", () => {
    const { broken, rule: name } = explore(counting(7));
    expect(name).toBe("T1");
    expect(broken?.split("\n").filter((line) => /^ {2}\d/.test(line))).toEqual([
      "  0. begin: nothing counted",
      "  1. two more",
      "  2. two more",
    ]);
    expect(broken).toContain("!! T1: four was reached");
  });

  test("situation that must be met and never is: told as never met", () => {
    const machine = { ...counting(1), mustMeet: { five: ({ part }: { part: { count: number } }) => part.count === 5 } };
    expect(explore(machine).broken).toContain("never met: five");
  });

  test("walk that never reaches its end: told as not within 3 steps", () => {
    type Counted = { readonly part: { readonly count: number } };
    const stands = {
      rule: "L0",
      asked: () => true,
      reached: () => false,
      next: (state: Counted) => state,
      most: () => 3,
    };
    expect(explore({ ...counting(1), walks: [stands] }).broken).toContain("L0: not within 3 steps");
  });
});

describe("a state packed into whole numbers", () => {
  const packer = () => new Packer({ part: { one: { bits: 1, unit: 10, key: null } } }, { part: { one: 0 } });
  test("field without a line, line without a field, unknown group: refused by name", () => {
    expect(() => packer().expectEveryField({ part: { one: 0, two: 0 } } as never)).toThrow('"part.two"');
    expect(() => packer().expectEveryField({ part: {} } as never)).toThrow('"part.one" is gone');
    expect(() => packer().expectEveryField({ part: { one: 0 }, more: {} } as never)).toThrow('"more"');
  });
  test("5 in units of 10, or a third value in one bit: refused", () => {
    expect(() => packer().encode({ part: { one: 5 } }, new Uint32Array(1))).toThrow("no whole number of 10");
    const small = packer();
    for (const one of [0, 10]) small.encode({ part: { one } }, new Uint32Array(1));
    expect(() => small.encode({ part: { one: 20 } }, new Uint32Array(1))).toThrow("takes more than 2 values");
  });
  test("10 and 0 packed and unpacked: the same", () => {
    const words = new Uint32Array(1);
    const one = packer();
    for (const value of [10, 0]) {
      one.encode({ part: { one: value } }, words);
      expect(one.decode(words, 0)).toEqual({ part: { one: value } });
    }
  });
});

describe("S1 over every input at once: the pump is on only where the rule allows it", () => {
  const three = [ON, OFF, UNKNOWN];
  const two = [true, false];
  const begun = { ...provenTopOff(SMALL_TOP_OFF), chargeUl: 50_000, chargeSequence: 1, confirmMs: 2 * TICK_MS };
  const memories: readonly TopOffMemory[] = [
    { ...begun, state: "confirming" },
    { ...begun, state: "pouring", running: true },
    { ...begun, state: "proving", provingMs: 30_000 },
  ];

  test.each(memories.map((memory) => [memory.state, memory] as const))("memory that is %s", (_state, memory) => {
    let pours = 0;
    for (const facts of everyScan()) {
      const verdict = stepTopOff(memory, facts, SMALL_TOP_OFF, CREDIT_MOST_MS);
      pumpIsAllowed(memory, facts, verdict, SMALL_TOP_OFF);
      if (verdict.pour) pours += 1;
    }
    expect(pours).toBeGreaterThan(0);
  });

  function* everyScan(): Generator<TopOffFacts> {
    for (const working of three)
      for (const high of three)
        for (const floor of three)
          for (const low of three)
            for (const reservoir of three)
              for (const mains of three)
                for (const returnPump of three)
                  for (const board of ["ready", "silent", "restarted"] as const) {
                    const contacts = { working, high, floor, low, reservoir, mains, returnPump, board };
                    for (const steady of two)
                      for (const holding of two)
                        for (const levelSettled of two)
                          for (const proven of two)
                            for (const pumpSeenOn of two)
                              for (const durableSequence of [0, 1]) {
                                const flags = { steady, holding, levelSettled, proven, pumpSeenOn, durableSequence };
                                yield { ...CLEAR, ...contacts, ...flags, supplied: steady };
                              }
                  }
  }
});

/** What is fixed in the code (the free proof's minute, ten minutes of cool water) is kept out of these walks. */
describe("scaling: all waits, limits and steps times k, up to 80 random moves", () => {
  const scaledBy = <Amounts extends object>(amounts: Amounts, k: number): Amounts =>
    Object.fromEntries(
      Object.entries(amounts).map(([name, value]) => {
        const isRate = name.endsWith("PerMs");
        const isAmount = /(Ms|Ul|^ms)$/.test(name) && typeof value === "number" && !isRate;
        return [name, name === "elapsed" ? scaledBy(value, k) : isAmount ? value * k : value];
      }),
    ) as Amounts;

  const { "return pump stopped": _stopped, ...environments } = ENVIRONMENTS;
  const move = fc.record({
    environment: fc.oneof(
      { weight: 3, arbitrary: fc.constant("all well" as const) },
      { weight: 1, arbitrary: fc.constantFrom(...(Object.keys(environments) as (keyof typeof environments)[])) },
    ),
    working: fc.oneof(
      { weight: 4, arbitrary: fc.constant(OFF) },
      { weight: 2, arbitrary: fc.constantFrom(ON, UNKNOWN) },
    ),
    high: fc.oneof({ weight: 9, arbitrary: fc.constant(OFF) }, { weight: 1, arbitrary: fc.constantFrom(ON, UNKNOWN) }),
    ticks: fc.constantFrom(0, 1, 1, 1, 2, 3, 5),
    asked: fc.constantFrom(
      null,
      null,
      null,
      "clear" as const,
      "hand test at target" as const,
      "hand test a little low" as const,
    ),
  });
  const plan: TopOffPlan = {
    ...SMALL_TOP_OFF,
    bucketUlPerMs: 1.25,
    lowestEvaporationUlPerMs: 1.25,
    evaporationUlPerMs: 1,
    fanEvaporationUlPerMs: 2,
    unansweredMarginUl: 20_000,
  };

  test("top-off: same verdicts, memory times k", () => {
    let pours = 0;
    let locks = 0;
    const property = fc.property(fc.array(move, { maxLength: 80 }), fc.integer({ min: 2, max: 60 }), (moves, k) => {
      let one = provenTopOff(plan);
      let other = provenTopOff(scaledBy(plan, k));
      for (const { environment, working, high, ticks, asked } of moves) {
        const facts: TopOffFacts = {
          ...CLEAR,
          ...environments[environment],
          working,
          high,
          elapsed: elapsed(ticks * TICK_MS, Math.min(2, ticks) * TICK_MS),
        };
        const step = (memory: TopOffMemory, by: number) => {
          const seen = factsFor(memory, by === 1 ? facts : scaledBy(facts, by));
          const own = by === 1 ? plan : scaledBy(plan, by);
          const before = asked === null ? memory : ask(memory, asked, seen, own);
          return stepTopOff(before, seen, own, CREDIT_MOST_MS * by);
        };
        const [a, b] = [step(one, 1), step(other, k)];
        expect({ ...b, memory: null }).toEqual({ ...a, memory: null });
        expect(b.memory).toEqual(scaledBy(a.memory, k));
        if (a.pour) pours += 1;
        if (a.memory.latch !== null) locks += 1;
        [one, other] = [a.memory, b.memory];
      }
    });
    fc.assert(property, { numRuns: 400 });
    expect(Math.min(pours, locks)).toBeGreaterThan(100);
  });

  test("heat: same verdicts, same lock", () => {
    let heats = 0;
    const small = smallHeat(1_000);
    const slower = (k: number): HeatPlan => ({ ...scaledBy(small, k), heaterKPerMs: small.heaterKPerMs / k });
    const scan = fc.record({
      water: fc.constantFrom(22, 22, 22, 24.5, 27, 31, null),
      belief: fc.constantFrom("both agree" as const, "both agree" as const, "one of two left" as const),
      rate: fc.constantFrom("rate not known" as const, "rate still" as const, "rate as the heater makes" as const),
      ticks: fc.constantFrom(0, 1, 1, 1, 2, 3),
      board: fc.constantFrom("ready" as const, "ready" as const, "ready" as const, "silent" as const),
    });
    const property = fc.property(fc.array(scan, { maxLength: 60 }), fc.constantFrom(2, 3), (scans, k) => {
      const fresh: HeatMemory = { durable: FRESH_HEAT_DURABLE, volatile: FRESH_HEAT_VOLATILE };
      let [one, other] = [fresh, fresh];
      for (const { water, belief, rate, ticks, board } of scans) {
        const sure = water === 31 ? "both agree" : belief;
        const facts = { ...heatScan(1_000, ticks, water, sure, rate), board };
        const rateKPerH = facts.rateKPerH === null ? null : facts.rateKPerH / k;
        const a = stepHeat(one, facts, small);
        const b = stepHeat(other, { ...scaledBy(facts, k), rateKPerH }, slower(k));
        expect({ ...b, memory: null }).toEqual({ ...a, memory: null });
        expect(b.memory.durable.latch).toEqual(a.memory.durable.latch);
        if (a.on) heats += 1;
        [one, other] = [a.memory, b.memory];
      }
    });
    fc.assert(property, { numRuns: 400 });
    expect(heats).toBeGreaterThan(100);
  });
});

test("tests/PROOF.md equals the page made of tests/explore/figures.json", () => {
  const figures = JSON.parse(readFileSync(FIGURES_FILE, "utf8")) as Figures;
  expect(readFileSync(PROOF_FILE, "utf8")).toBe(proofPage(figures));
});
