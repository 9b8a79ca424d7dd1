import { describe, expect, it } from "vitest";
import { doHand } from "../../controller/rehearsal/hands.ts";
import type { Hand } from "../../controller/rehearsal/scenario.ts";
import { defaultTank, levelMm, runFor, SETTINGS, salinity } from "./still-tank.ts";

const at = { atH: 0, told: true };
const hand = (tank: ReturnType<typeof defaultTank>, which: Hand) => doHand(which, tank, SETTINGS, null);

describe("hands", () => {
  it("refill of 5 L into 4: 9 L, told; 5 L more: 3.5 L on the floor, floor sensor wet until cleared", () => {
    const tank = defaultTank();
    tank.state.plumbing.reservoirL = 4;
    expect(hand(tank, { do: "refill", ...at, litres: 5 }).asks).toEqual([{ kind: "refill", litres: 5 }]);
    expect(tank.state.plumbing.reservoirL).toBe(9);
    hand(tank, { do: "refill", ...at, litres: 5 });
    expect(tank.truth().spilledL).toBeCloseTo(3.5, 6);
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

  it("water change that is not told: done, nothing asked", () => {
    const tank = defaultTank();
    const done = hand(tank, { do: "water-change", atH: 0, told: false, litres: 5, salinity: 35 });
    expect(done).toEqual({ asks: [], later: null });
    expect(tank.state.jobs).toHaveLength(2);
  });
});
