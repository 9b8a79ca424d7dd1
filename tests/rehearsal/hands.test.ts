import { describe, expect, it } from "vitest";
import { doHand, type Hand, timesOf } from "../../controller/rehearsal/hands/index.ts";
import { checkScenario, rehearse } from "../../controller/rehearsal/index.ts";
import type { Tank } from "../../controller/rehearsal/plant/tank.ts";
import { defaultTank, levelMm, runFor, SETTINGS, salinity } from "./still-tank.ts";

const at = { atH: 0, told: true };
const hand = (tank: ReturnType<typeof defaultTank>, which: Hand) => doHand(which, tank, SETTINGS, null);

describe("hands", () => {
  it("refill of 5 L into 4: 9 L, told; 5 L more: 1.5 L in, up to the rim, told so, floor dry", () => {
    const tank = defaultTank();
    tank.state.plumbing.reservoirL = 4;
    expect(hand(tank, { do: "refill", ...at, litres: 5 }).asks).toEqual([{ kind: "refill", litres: 5 }]);
    expect(tank.state.plumbing.reservoirL).toBe(9);
    expect(hand(tank, { do: "refill", ...at, litres: 5 }).asks).toEqual([{ kind: "refill", litres: 1.5 }]);
    expect(hand(tank, { do: "refill", ...at, litres: 5 }).asks).toEqual([]);
    expect(tank.state.plumbing.reservoirL).toBe(10.5);
    expect(tank.truth().spilledL).toBe(0);
  });

  it("clear over a wet floor: wiped, floor sensor dry", () => {
    const tank = defaultTank();
    tank.state.floor.standingL = 1;
    runFor(tank, 1);
    expect(tank.look().readings["floor-sensor"]?.value).toBe(true);
    hand(tank, { do: "clear", ...at });
    runFor(tank, 1);
    expect(tank.look().readings["floor-sensor"]?.value).toBe(false);
  });

  it("water change of 20 L at 30: hold asked, 10 L out in 2.5 min, mixed salinity at its mark, end told", () => {
    const tank = defaultTank();
    const { asks, later } = hand(tank, { do: "water-change", ...at, litres: 20, salinity: 30 });
    expect(asks).toEqual([{ kind: "hold", minutes: 20 }]);
    expect(later).toEqual({ afterMs: 11 * 60_000, asks: [{ kind: "end-hold", answer: "salt-water-added" }] });
    runFor(tank, 150);
    expect(tank.state.accounts.handsOutL).toBeCloseTo(10, 0);
    runFor(tank, 600);
    // C' = C (1 − f) + C_new f with f = 20/140 (trade facts §4).
    expect(salinity(tank)).toBeCloseTo(35 * (1 - 20 / 140) + 30 * (20 / 140), 1);
    expect(Math.abs(levelMm(tank))).toBeLessThan(2);
  });

  it("next change 6 K colder: 0.6 K cooler with 20 L, once only", () => {
    const tank = defaultTank();
    tank.state.nextChangeColderK = 6;
    hand(tank, { do: "water-change", ...at, litres: 20, salinity: 35 });
    runFor(tank, 600);
    expect(25 - tank.state.heat.restC).toBeGreaterThan(0.6);
    expect(tank.state.nextChangeColderK).toBe(0);
  });

  it("end of hold with salt water added: level back at its mark; with evaporation: not", () => {
    for (const answer of ["salt-water-added", "evaporation"] as const) {
      const tank = defaultTank();
      tank.state.jobs.push({ litresLeft: 1, outwards: true, salinity: 0, celsius: 0 });
      runFor(tank, 60);
      expect(hand(tank, { do: "end-hold", ...at, answer }).asks).toEqual([{ kind: "end-hold", answer }]);
      runFor(tank, 60);
      expect(levelMm(tank) > -3).toBe(answer === "salt-water-added");
    }
  });

  it("hand test: tells the true salinity, or the one that is given", () => {
    const tank = defaultTank();
    expect(hand(tank, { do: "hand-test", ...at }).asks).toEqual([{ kind: "hand-test", salinity: salinity(tank) }]);
    expect(hand(tank, { do: "hand-test", ...at, salinity: 33 }).asks).toEqual([{ kind: "hand-test", salinity: 33 }]);
  });

  it("measurement mistyped, then corrected: 30 asked, then the truth, or what was meant", () => {
    const tank = defaultTank();
    const asked = (which: Hand) => hand(tank, which).asks;
    expect(asked({ do: "salinity-measured-wrong", ...at, salinity: 30 })).toEqual([
      { kind: "hand-test", salinity: 30 },
    ]);
    expect(asked({ do: "correct-measurement", ...at })).toEqual([{ kind: "hand-test", salinity: salinity(tank) }]);
    expect(asked({ do: "correct-measurement", ...at, salinity: 34.5 })).toEqual([
      { kind: "hand-test", salinity: 34.5 },
    ]);
  });

  it("return pump rested for 10 min: stands for so long, hold of 11 min asked and ended", () => {
    const tank = defaultTank();
    const { asks, later } = hand(tank, { do: "return-pump-rest", ...at, minutes: 10 });
    expect(asks).toEqual([{ kind: "hold", minutes: 11 }]);
    expect(later).toEqual({ afterMs: 11 * 60_000, asks: [{ kind: "end-hold", answer: "evaporation" }] });
    runFor(tank, 598);
    expect(tank.look().readings["return-sensor"]?.value).toBe(false);
    expect(levelMm(tank)).toBeGreaterThan(50);
    runFor(tank, 4);
    expect(tank.look().readings["return-sensor"]?.value).toBe(true);
  });

  it("high float lifted for 3 s: wet for 12 scans, water at its mark", () => {
    const tank = defaultTank();
    const high = () => tank.look().readings["high-float"]?.value;
    expect(hand(tank, { do: "lift-float", ...at, part: "high-float", seconds: 3 })).toEqual({ asks: [], later: null });
    let wet = 0;
    for (let scan = 0; scan < 40; scan++) {
      runFor(tank, 0.25);
      if (high() === true) wet += 1;
    }
    expect(wet).toBe(12);
    expect(Math.abs(levelMm(tank))).toBeLessThan(1);
  });

  it("absence told from hour 0 to 336: measured once more, told with its length, all alarms read", () => {
    const tank = defaultTank();
    expect(hand(tank, { do: "absence", ...at, toH: 336 }).asks).toEqual([
      { kind: "hand-test", salinity: salinity(tank) },
      { kind: "absence", fromH: 0, toH: 336 - at.atH },
      { kind: "acknowledge", alarm: "all" },
    ]);
  });

  it("water change that is not told: done, nothing asked", () => {
    const tank = defaultTank();
    const done = hand(tank, { do: "water-change", atH: 0, told: false, litres: 5, salinity: 35 });
    expect(done).toEqual({ asks: [], later: null });
    expect(tank.state.jobs).toHaveLength(2);
  });
});

describe("hands that repeat", () => {
  const every = (everyH: number, untilH?: number, atH = 0): Hand => ({
    ...({ do: "refill", told: true, atH, everyH } as const),
    ...(untilH === undefined ? {} : { untilH }),
  });
  const rows: [what: string, hand: Hand, hours: number, times: readonly number[]][] = [
    ["once", { do: "clear", told: true, atH: 3 }, 10, [3]],
    ["once, after the end of a shorter run", { do: "clear", told: true, atH: 3 }, 2, [3]],
    ["every day to the end", every(24), 72, [0, 24, 48, 72]],
    ["every day from a beginning", every(24, undefined, 5), 72, [5, 29, 53]],
    ["until an hour, that hour included", every(24, 48), 200, [0, 24, 48]],
    ["until just before it", every(24, 47.9), 200, [0, 24]],
    ["never beyond the end", every(24, 500), 30, [0, 24]],
  ];
  it.each(rows)("%s: at these hours", (_, hand, hours, times) => {
    expect(timesOf(hand, hours)).toEqual(times);
  });

  it("every tenth of an hour for an hour: eleven times", () => {
    expect(timesOf(every(0.1), 1)).toHaveLength(11);
  });

  it("a litre refilled three times in a run: three litres more", () => {
    const raw = {
      name: "refills",
      hours: 1,
      start: { reservoirL: 2 },
      hands: [{ do: "refill", litres: 1, atH: 0.1, everyH: 0.3 }],
    };
    const { scenario } = checkScenario(raw, SETTINGS);
    if (scenario === null) throw new Error("refused");
    let lastL = 0;
    const watch = (tank: Tank) => {
      lastL = tank.state.plumbing.reservoirL + tank.state.plumbing.tubeL;
    };
    const { pouredL } = rehearse(scenario, { seed: 1, settings: SETTINGS, watch }).truth;
    expect(lastL + pouredL).toBeCloseTo(5, 3);
  });
});
