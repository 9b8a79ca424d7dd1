import { describe, expect, test } from "vitest";
import {
  type Answer,
  type AnswerMemory,
  type AnswerScene,
  doubtAnswers,
  followAnswers,
  NOTHING_ANSWERED,
} from "../../controller/signals/answer.ts";

/**
 * Which thermometers follow the heater: shares of the predicted slope between 0.25 and 2. Here 1.26 K/h, what 200 W make
 * of 140 L of sea water (4,090 J/(L K), UNESCO 44), against water that does some share of it and loses 0.4 K/h besides.
 */
const FULL_K_PER_MS = 1.26 / 3_600_000;
const LOSS_K_PER_MS = 0.4 / 3_600_000;
const STEP_MS = 1_000;

class Watch {
  memory: AnswerMemory = NOTHING_ANSWERED;
  #ms = 0;
  readonly celsius = { first: 25, second: 25, third: 25 };

  /** Heat for so many minutes, then none for so many, again and again. */
  cycles(
    hours: number,
    shares: { readonly first: number; readonly second?: number; readonly third?: number },
    onMin = 15,
    offMin = 15,
    scene: Partial<AnswerScene> = {},
    noiseK = 0,
  ): this {
    for (let left = hours * 3_600_000; left > 0; left -= STEP_MS) {
      this.#ms += STEP_MS;
      const on = this.#ms % ((onMin + offMin) * 60_000) < onMin * 60_000;
      for (const who of ["first", "second", "third"] as const) {
        const share = shares[who] ?? 0;
        this.celsius[who] += STEP_MS * (on ? share * FULL_K_PER_MS : 0) - STEP_MS * LOSS_K_PER_MS;
      }
      const noise = (place: number) => noiseK * Math.sin(this.#ms * (0.013 + 0.007 * place));
      const { first, second, third } = this.celsius;
      this.memory = followAnswers(
        this.memory,
        { first: first + noise(0), second: second + noise(1), third: third + noise(2) },
        {
          creditMs: STEP_MS,
          heatKPerMs: on ? FULL_K_PER_MS : 0,
          fullKPerMs: FULL_K_PER_MS,
          meansNothing: false,
          ...scene,
        },
      );
    }
    return this;
  }

  get first(): Answer {
    return this.memory.first.answer;
  }
}

describe("a thermometer beside its heater", () => {
  const rows: [share: number, answer: Answer][] = [
    [0, "below"],
    [0.2, "below"],
    [0.3, "expected"],
    [1, "expected"],
    [1.9, "expected"],
    [2.2, "above"],
    [5, "above"],
  ];
  test.each(rows)("that does %s of what is predicted: %s", (share, answer) => {
    expect(new Watch().cycles(2, { first: share }).first).toBe(answer);
  });

  test("each of the three is watched for itself", () => {
    const { memory } = new Watch().cycles(2, { first: 1, second: 0, third: 3 });
    expect([memory.first.answer, memory.second.answer, memory.third.answer]).toEqual(["expected", "below", "above"]);
  });

  test("is not known in the first minutes, nor after hours in which the heater was never on, or never off", () => {
    expect(new Watch().cycles(0.25, { first: 1 }).first).toBe("unknown");
    expect(new Watch().cycles(6, { first: 1 }, 0, 30).first).toBe("unknown");
    expect(new Watch().cycles(6, { first: 1 }, 30, 0).first).toBe("unknown");
  });

  test("with the steps and the noise of a cheap one is known after some hours, and never as something else", () => {
    const watch = new Watch().cycles(0.5, { first: 1 }, 10, 20, {}, 0.1);
    for (let hour = 0; hour < 6; hour++) expect(["unknown", "expected"]).toContain(watch.cycles(1, { first: 1 }).first);
    expect(watch.first).toBe("expected");
  });

  test("a room that warms and cools besides makes no follower and hides none", () => {
    const watch = new Watch();
    for (let turn = 0; turn < 12; turn++) {
      watch.celsius.first += turn % 2 === 0 ? 0.03 : -0.03;
      watch.celsius.second += turn % 2 === 0 ? 0.03 : -0.03;
      watch.cycles(0.5, { first: 1, second: 0 }, 12, 18);
    }
    expect([watch.first, watch.memory.second.answer]).toEqual(["expected", "below"]);
  });
});

describe("what is known", () => {
  const known = () => new Watch().cycles(3, { first: 1 });

  test("outlives a summer without heat", () => {
    expect(known().cycles(24 * 10, { first: 1 }, 0, 30).first).toBe("expected");
  });

  test("turns with the evidence: a cup that nobody saw being filled", () => {
    const watch = known();
    watch.cycles(1, { first: 0 });
    expect(watch.first).toBe("expected");
    expect(watch.cycles(4, { first: 0 }).first).toBe("below");
    expect(watch.cycles(5, { first: 1 }).first).toBe("expected");
  });

  test("is known no longer of one that has moved as no water does", () => {
    const watch = known();
    watch.celsius.first -= 4;
    expect(watch.cycles(0.3, { first: 0 }, 0, 30).first).toBe("unknown");
    expect(watch.cycles(2, { first: 0 }).first).toBe("below");
  });

  test("waits through a rest of the return pump, and counts nothing of it", () => {
    const watch = known();
    watch.cycles(0.5, { first: 20 }, 15, 15, { meansNothing: true });
    watch.celsius.first = 25;
    expect(watch.cycles(1, { first: 1 }).first).toBe("expected");
  });

  test("is known no longer of one that hangs elsewhere after hands were in", () => {
    const watch = known().cycles(0.5, { first: 1 }, 15, 15, { meansNothing: true });
    watch.celsius.first -= 3;
    expect(watch.cycles(0.1, { first: 1 }).first).toBe("unknown");
  });

  test("is doubted where the heater is: from then on only what is seen under the doubt counts", () => {
    const watch = known();
    watch.memory = doubtAnswers(watch.memory, true);
    expect(watch.first).toBe("unknown");
    expect(doubtAnswers(watch.memory, true)).toBe(watch.memory);
    watch.cycles(2, { first: 1 });
    watch.memory = doubtAnswers(watch.memory, false);
    expect(watch.first).toBe("expected");
  });

  test("is kept of one whose answers are garbled now and then", () => {
    const watch = known();
    for (let turn = 0; turn < 20; turn++) {
      const scene = { creditMs: 0, heatKPerMs: 0, fullKPerMs: FULL_K_PER_MS, meansNothing: false };
      watch.memory = followAnswers(watch.memory, { first: null, second: null, third: null }, scene);
      watch.cycles(0.1, { first: 1 });
    }
    expect(watch.first).toBe("expected");
  });

  test("is nothing in a box whose heater makes nothing", () => {
    expect(new Watch().cycles(3, { first: 1 }, 15, 15, { fullKPerMs: 0, heatKPerMs: 0 }).first).toBe("unknown");
  });

  test("takes no more room with time", () => {
    const { first } = known().cycles(24 * 20, { first: 1 }).memory;
    expect(first.bins).toBeLessThanOrEqual(1_000);
    expect(first.heatHeat).toBeLessThan(1_000);
  });
});
