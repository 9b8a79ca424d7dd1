import { describe, expect, test } from "vitest";
import { UNCORRECTED } from "../../controller/signals/corrected.ts";
import { freshSignals, readSignals, type Signals, type SignalsScene } from "../../controller/signals/index.ts";
import { CONTACT_PARTS, type ContactPart, type Image, type ReadingFault } from "../../shared/contract/index.ts";
import { elapsed } from "../elapsed.ts";

/** All inputs of a box at once, scan after scan: every part's own story, and the one that they tell about each other. */
const SCENE: SignalsScene = {
  elapsed: elapsed(1_000),
  rateMeansNothing: false,
  isFlowing: true,
  isStanding: false,
  heaterSwitched: false,
  pouring: false,
  bubbles: false,
  cellIsOut: false,
  firstIsOut: false,
  secondIsOut: false,
  heatKPerMs: 0,
  fullKPerMs: 1.26 / 3_600_000,
  heatMeansNothing: false,
  heatIsDoubted: false,
  corrections: UNCORRECTED,
};

interface Sight {
  readonly contacts?: Partial<Record<ContactPart, boolean>>;
  readonly first?: number | ReadingFault;
  readonly second?: number | ReadingFault;
  readonly cell?: number | ReadingFault;
  readonly cellC?: number;
  /** mS/cm of the water that fills the reservoir. */
  readonly source?: number;
}

const DRY_AND_ON: Record<ContactPart, boolean> = {
  "working-float": true,
  "high-float": false,
  "low-float": true,
  "reservoir-float": true,
  "floor-sensor": false,
  "mains-sensor": true,
  "return-sensor": true,
};

const reading = <Value>(value: Value | ReadingFault, sample: number) =>
  typeof value === "string"
    ? { value: null, fault: value as ReadingFault, ageMs: 100, sample }
    : { value: value as Value, fault: null, ageMs: 100, sample };

function imageOf({ contacts = {}, first = 25, second = 25.1, cell = 53, cellC = 25, source }: Sight, sample: number) {
  const floats = { ...DRY_AND_ON, ...contacts };
  const noise = sample % 2 === 0 ? 0.01 : 0;
  const probe = typeof cell === "string" ? cell : { conductivityMsPerCm: cell + noise, temperatureC: cellC };
  return {
    ...Object.fromEntries(CONTACT_PARTS.map((part) => [part, reading(floats[part], sample)])),
    "thermometer-1": reading(first, sample),
    "thermometer-2": reading(second, sample),
    "room-thermometer": reading(22, sample),
    "conductivity-probe": reading(probe, sample),
    ...(source === undefined
      ? {}
      : { "source-probe": reading({ conductivityMsPerCm: source, temperatureC: 25 }, sample) }),
  } as Image["readings"];
}

class Watch {
  private memory = freshSignals();
  private sample = 0;
  signals: Signals = readSignals(freshSignals(), imageOf({}, 0), SCENE).signals;

  sees(sight: Sight, seconds = 1, scene: Partial<SignalsScene> = {}): this {
    for (let second = 0; second < seconds; second++) {
      const step = readSignals(this.memory, imageOf(sight, ++this.sample), { ...SCENE, ...scene });
      this.memory = step.memory;
      this.signals = step.signals;
    }
    return this;
  }
}

describe("all signals of a scan", () => {
  test("healthy image: each signal has its own reading's value and uncertainty", () => {
    const { contacts, first, second, room, conductivity, conductivityTemperature, sourceTds } = new Watch().sees(
      {},
    ).signals;
    for (const part of CONTACT_PARTS) expect(contacts[part].position).toBe(DRY_AND_ON[part] ? "on" : "off");
    expect([first.value, second.value, room.value]).toEqual([25, 25.1, 22]);
    expect(conductivity).toMatchObject({ value: 53, quality: "good", uncertainty: 0.106 });
    expect(conductivityTemperature).toMatchObject({ value: 25, uncertainty: 0.5 });
    expect(sourceTds.doubt).toBe("not-fitted");
    expect(new Watch().sees({ source: 0.02 }).signals.sourceTds.value).toBeCloseTo(10, 9);
  });

  test.each(CONTACT_PARTS.map((part) => [part]))("%s turned: it alone changes", (part) => {
    const { contacts } = new Watch().sees({ contacts: { [part]: !DRY_AND_ON[part] } }).signals;
    for (const other of CONTACT_PARTS) {
      expect(contacts[other].position === "on").toBe(other === part ? !DRY_AND_ON[part] : DRY_AND_ON[other]);
    }
  });

  test.each(CONTACT_PARTS.map((part) => [part]))("%s flips 4 times in pours: chatters unless working float", (part) => {
    const watch = new Watch().sees({});
    for (let flip = 0; flip < 4; flip++) {
      watch.sees({ contacts: { [part]: flip % 2 === 0 ? !DRY_AND_ON[part] : DRY_AND_ON[part] } }, 300, {
        pouring: true,
      });
    }
    // A pour explains what the working float does, and nothing else.
    expect(watch.signals.contacts[part].chattering).toBe(part !== "working-float");
  });
});

describe("first thermometer falls 6 K/h for 30 min, then put back", () => {
  const FALLING_MIN = 30;
  /** It cools towards the room by 6 K/h, then is put back at `backC` while the other says 25.1. */
  function backAt(backC: number, minutes: number, more: Sight = {}): Signals {
    const watch = new Watch();
    for (let minute = 0; minute < FALLING_MIN; minute++) watch.sees({ ...more, first: 25 - minute / 10 }, 60);
    expect(watch.signals.first).toMatchObject({ quality: "uncertain", doubt: "rate" });
    return watch.sees({ ...more, first: backC }, minutes * 60).signals;
  }

  test("6 K/h while the return pump is seen to stand: no doubt; its sensor lost: doubt", () => {
    const after = (scene: Partial<SignalsScene>) => {
      const watch = new Watch();
      for (let minute = 0; minute < FALLING_MIN; minute++) watch.sees({ first: 25 - minute / 10 }, 60, scene);
      return watch.signals.first.doubt;
    };
    expect(after({ isFlowing: false, isStanding: true })).toBeNull();
    expect(after({ isFlowing: false })).toBe("rate");
  });

  test("within 0.5 K of the second: in doubt after 9 min, good after 11", () => {
    expect(backAt(25, 9).first.doubt).toBe("rate");
    expect(backAt(25, 11).first).toMatchObject({ quality: "good", doubt: null });
  });

  test("0.7 K from all for 30 min: in doubt", () => {
    expect(backAt(24.4, 30).first.doubt).toBe("rate");
    expect(backAt(25.8, 30).first.doubt).toBe("rate");
  });

  test("second lost, cell agrees: good after 11 min; cell lost or dry: in doubt after 30", () => {
    expect(backAt(25, 11, { second: "disconnected" }).first.doubt).toBeNull();
    expect(backAt(25, 30, { second: "disconnected", cell: "disconnected" }).first.doubt).toBe("rate");
    // Dry, the cell hangs in the air, and its thermometer agrees with nobody.
    expect(backAt(25, 30, { second: "disconnected", cell: 0.01 }).first.doubt).toBe("rate");
  });

  test("cell agrees, second at 20 °C: good after 11 min", () => {
    expect(backAt(25, 11, { second: 20, cellC: 25 }).first.doubt).toBeNull();
  });

  test("agrees for 6 min, not for 1, agrees for 6: in doubt", () => {
    const watch = new Watch();
    for (let minute = 0; minute < FALLING_MIN; minute++) watch.sees({ first: 25 - minute / 10 }, 60);
    watch
      .sees({ first: 25 }, 6 * 60)
      .sees({ first: 23 }, 60)
      .sees({ first: 25 }, 6 * 60);
    expect(watch.signals.first.doubt).toBe("rate");
  });

  test("both fell, no cell, agree with each other for 40 min: both in doubt", () => {
    const watch = new Watch();
    const away = { cell: "disconnected" as const };
    for (let minute = 0; minute < FALLING_MIN; minute++) {
      watch.sees({ ...away, first: 25 - minute / 10, second: 25.1 - minute / 10 }, 60);
    }
    watch.sees({ ...away, first: 22, second: 22.1 }, 40 * 60);
    expect([watch.signals.first.doubt, watch.signals.second.doubt]).toEqual(["rate", "rate"]);
  });

  test("second fell, agrees with the first for 11 min: good", () => {
    const watch = new Watch();
    for (let minute = 0; minute < FALLING_MIN; minute++) watch.sees({ second: 25 - minute / 10 }, 60);
    expect(watch.signals.second.doubt).toBe("rate");
    expect(watch.sees({ second: 25.1 }, 11 * 60).signals.second.doubt).toBeNull();
  });
});

describe("the vote over scans", () => {
  test("24 and 25 °C: mean for 290 s, after 310 s doubtful by the warmer, coldest 24", () => {
    const apart = { first: 24, second: 25, cell: "disconnected" as const };
    const watch = new Watch().sees({}).sees(apart, 290);
    expect(watch.signals.vote).toMatchObject({ trust: "full", source: "mean" });
    expect(watch.sees(apart, 20).signals.vote).toMatchObject({ trust: "doubtful", source: "warmer", coldestC: 24 });
  });
});

describe("oneFellSilent", () => {
  const fellSilent = (watch: Watch, sight: Sight) => watch.sees(sight).signals.oneFellSilent;
  test("cell disconnected or dry: true in that scan only; heard again and lost: true again", () => {
    for (const lost of [{ cell: "disconnected" as const }, { cell: 0.01 }]) {
      const watch = new Watch();
      expect([fellSilent(watch, {}), fellSilent(watch, lost), fellSilent(watch, lost)]).toEqual([false, true, false]);
      expect([fellSilent(watch, {}), fellSilent(watch, lost)]).toEqual([false, true]);
    }
  });
  test("cell never heard: false", () => {
    expect(fellSilent(new Watch(), { cell: "disconnected" })).toBe(false);
  });
  test("either thermometer lost: true, for it may have been the one that said hot", () => {
    expect(fellSilent(new Watch().sees({}), { first: "disconnected" })).toBe(true);
    expect(fellSilent(new Watch().sees({}), { second: "disconnected" })).toBe(true);
  });
});

describe("signals with corrections", () => {
  const corrections = { ...UNCORRECTED, firstK: -0.4, secondK: 0.2, firstDoubtK: 0.2, cellFactor: 1.03 };

  test("−0.4 K, +0.2 K and 1.03: values moved, cell's temperature not, uncertainties as compared", () => {
    const { first, second, conductivity, conductivityTemperature, vote } = new Watch().sees({}, 3, {
      corrections,
    }).signals;
    expect(first.value).toBeCloseTo(24.6, 9);
    expect(second.value).toBeCloseTo(25.3, 9);
    expect([first.uncertainty, second.uncertainty]).toEqual([0.2, 0.5]);
    expect(conductivity.value).toBeCloseTo(53 * 1.03, 1);
    expect(conductivityTemperature.value).toBe(25);
    expect(vote.warmest.value).toBeCloseTo(25.3, 9);
    expect(vote.control.uncertainty).toBe(0.5);
  });

  test("hottest, for the cut-out: the higher of corrected and raw, of either", () => {
    const hottestC = (firstK: number, secondK: number) =>
      new Watch().sees({ first: 25, second: 25.1 }, 3, { corrections: { ...corrections, firstK, secondK } }).signals
        .hottest.value;
    expect(hottestC(-0.4, -0.5)).toBeCloseTo(25.1, 9);
    expect(hottestC(0.4, -0.5)).toBeCloseTo(25.4, 9);
    expect(hottestC(-1.4, 0.2)).toBeCloseTo(25.3, 9);
    expect(hottestC(0, 0)).toBe(25.1);
    const lost = new Watch().sees({ first: "open-circuit" }, 3, { corrections: { ...corrections, secondK: -1 } });
    expect(lost.signals.hottest.value).toBeCloseTo(25.1, 9);
  });

  test("cell at 30 °C: counts for the hottest, also where the two agree", () => {
    const hottestC = (sight: Parameters<Watch["sees"]>[0]) =>
      new Watch().sees({ ...sight, cellC: 30 }).signals.hottest.value;
    expect(hottestC({ first: 25, second: 25.1 })).toBe(30);
    expect(hottestC({ first: 22, second: 25 })).toBe(30);
    expect(hottestC({ first: "open-circuit", second: "open-circuit" })).toBe(30);
  });

  test("open circuit and no answer: no value", () => {
    const { first, conductivity } = new Watch().sees({ first: "open-circuit", cell: "no-answer" }, 3, {
      corrections,
    }).signals;
    expect(first).toMatchObject({ value: null, doubt: "open-circuit", uncertainty: null });
    expect(conductivity).toMatchObject({ value: null, doubt: "no-answer" });
  });

  test("corrections change by −1.4 K: at once, no doubt; the same step without one: rate", () => {
    const found = { ...corrections, firstK: -1.4 };
    const watch = new Watch().sees({}, 25 * 60).sees({}, 1, { corrections: { ...found, changed: true } });
    // At once: no median of what was said before the correction controls the water after it.
    expect(watch.signals.first).toMatchObject({ value: 23.6, doubt: null });
    // Nor has the cell, which steps by its factor, seen a spike.
    expect(watch.signals.conductivity.doubt).toBeNull();
    expect(watch.sees({}, 300, { corrections: found }).signals.first.doubt).toBeNull();
    // The same step from nowhere is a thermometer that has left the water.
    expect(new Watch().sees({}, 25 * 60).sees({ first: 23.6 }, 300).signals.first.doubt).toBe("rate");
  });
});
