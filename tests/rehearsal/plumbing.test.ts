import { describe, expect, it } from "vitest";
import { defaultTank, OFF, POUR, runFor, SETTINGS, salinity } from "./still-tank.ts";

const FLOW_L_PER_S = SETTINGS.topOff.provenFlowLPerMin / 60;

describe("the top-off pump", () => {
  it("1 s: fills its tube only; 9 s more: proven flow; off: 20 mL of coast", () => {
    const tank = defaultTank();
    runFor(tank, 1, POUR);
    expect(tank.truth().pouredL).toBe(0);
    runFor(tank, 9, POUR);
    const { pouredL } = tank.truth();
    expect(pouredL).toBeGreaterThan(FLOW_L_PER_S * 8.4);
    expect(pouredL).toBeLessThan(FLOW_L_PER_S * 9);
    runFor(tank, 10);
    const coastL = tank.truth().pouredL - pouredL;
    expect(coastL).toBeCloseTo(0.02, 6);
    expect(coastL * 1000).toBeLessThanOrEqual(SETTINGS.topOff.coastMl + 1e-9);
  });

  it.each(["top-off-pump", "water-guard"] as const)("%s open for 60 s: nothing poured", (part) => {
    const tank = defaultTank();
    runFor(tank, 60, { ...POUR, [part]: false });
    expect(tank.truth().pouredL).toBe(0);
  });

  it("0.55 L in the reservoir: its float dry before the pump runs dry, 0.55 L poured", () => {
    const tank = defaultTank();
    tank.state.plumbing.reservoirL = 0.55;
    runFor(tank, 1);
    expect(tank.look().readings["reservoir-float"]?.value).toBe(true);
    runFor(tank, 5, POUR);
    expect(tank.look().readings["reservoir-float"]?.value).toBe(false);
    expect(tank.truth().pumpDryS).toBe(0);
    runFor(tank, 60, POUR);
    expect(tank.truth().pumpDryS).toBeGreaterThan(40);
    expect(tank.truth().pouredL).toBeLessThan(0.56);
  });

  it("4.1 L of fresh water into 140 L: salinity 34, by V S/(S − 1) − V", () => {
    const tank = defaultTank();
    while (tank.truth().pouredL < 140 / 34) tank.apply(POUR, 250);
    const { pouredL, evaporatedL } = tank.truth();
    expect(salinity(tank)).toBeCloseTo((35 * 140) / (140 + pouredL - evaporatedL), 6);
    expect(salinity(tank)).toBeCloseTo(34, 1);
  });

  it("reservoir of salt water: salinity stays 35, 36 g a litre", () => {
    const tank = defaultTank();
    tank.state.plumbing.reservoirSaltG = 10 * 35 * 1.028;
    runFor(tank, 60, POUR);
    expect(salinity(tank)).toBeCloseTo(35, 2);
    expect(tank.state.accounts.pouredG / tank.truth().pouredL).toBeCloseTo(36, 0);
  });
});

describe("a siphon of 1 L/min", () => {
  it("begins at the first pump stop, 2 L in two minutes with all off, ends with the reservoir", () => {
    const tank = defaultTank();
    tank.state.plumbing.siphonArmedLPerS = 1 / 60;
    runFor(tank, 300);
    expect(tank.truth().pouredL).toBe(0);
    runFor(tank, 10, POUR);
    const { pouredL } = tank.truth();
    runFor(tank, 120, OFF);
    expect(tank.truth().pouredL - pouredL).toBeCloseTo(2, 1);
    runFor(tank, 900, OFF);
    // What was in the tube has run back.
    expect(tank.state.plumbing.reservoirL).toBeLessThan(0.03);
    expect(tank.truth().pouredL).toBeGreaterThan(9.9);
  });
});
