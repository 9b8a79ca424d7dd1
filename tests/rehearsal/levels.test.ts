import { describe, expect, it } from "vitest";
import { geometryOf } from "../../controller/rehearsal/plant/geometry.ts";
import { settingsSchema } from "../../shared/settings/index.ts";
import { defaultTank, levelMm, OFF, POUR, runFor, SETTINGS } from "./still-tank.ts";

/** Levels of an all-in-one tank. Where no source is named the figure is *common practice*. */
describe("the box's geometry", () => {
  const box = geometryOf(SETTINGS.tank);

  it("2000 L/h over a weir of 0.2 m: head of 13.2 mm by q = 1.84 L h^1.5", () => {
    expect(box.weirHeadMm).toBeCloseTo(13.2, 1);
  });

  it("free volumes to the rim, pump off and weir blocked: as in the settings", () => {
    const { tank } = SETTINGS;
    const toRimL = (box.rimMm - tank.pumpOffLevelMm) * tank.surfaceM2;
    expect(toRimL).toBeCloseTo(tank.freeVolumePumpOffL, 9);
    const displayL = (box.rimMm - box.lipMm - box.weirHeadMm) * box.displayM2;
    expect(displayL - -box.intakeMm * box.lastM2).toBeCloseTo(tank.freeVolumeWeirBlockedL, 9);
  });

  it("other settings: rim above lip above baffle above the working float", () => {
    for (const tank of [{ netVolumeL: 60, surfaceM2: 0.15, lastChamberM2: 0.01 }, { freeVolumePumpOffL: 2 }, {}]) {
      const { tank: checked } = settingsSchema.parse({ tank });
      const other = geometryOf(checked);
      expect(other.rimMm).toBeGreaterThan(other.lipMm);
      expect(other.lipMm + other.weirHeadMm).toBeGreaterThan(other.baffleMm);
      expect(other.baffleMm).toBeGreaterThan(checked.floatHysteresisMm);
    }
  });
});

describe("levels in the last chamber", () => {
  it("return pump on for a minute: at the mark, within 0.2 mm", () => {
    const tank = defaultTank();
    runFor(tank, 60);
    expect(levelMm(tank)).toBeGreaterThan(-0.2);
    expect(levelMm(tank)).toBeLessThan(0.01);
  });

  it("0.4 L poured into 0.020 m²: 50 mm a litre", () => {
    const tank = defaultTank();
    runFor(tank, 20, POUR);
    const pouredL = tank.truth().pouredL;
    runFor(tank, 30);
    expect(levelMm(tank) / tank.truth().pouredL).toBeCloseTo(50, -0.5);
    expect(pouredL).toBeGreaterThan(0.4);
  });

  it("return pump stopped: 60 mm up, below the high float; on again: back within 1 mm", () => {
    const tank = defaultTank();
    tank.state.returnPump.stopped = true;
    runFor(tank, 120);
    expect(levelMm(tank)).toBeCloseTo(60, 0);
    expect(tank.look().readings["high-float"]?.value).toBe(false);
    expect(tank.look().readings["return-sensor"]?.value).toBe(false);
    tank.state.returnPump.stopped = false;
    runFor(tank, 120);
    expect(Math.abs(levelMm(tank))).toBeLessThan(1);
  });

  it("6 h of evaporation: 50 mm a litre lower", () => {
    const tank = defaultTank();
    runFor(tank, 6 * 3600);
    const { evaporatedL } = tank.truth();
    expect(-levelMm(tank) / evaporatedL).toBeCloseTo(50, -0.5);
  });

  it("weir or grid clogged by 70 %: 15 mm lower at least, nothing spilled", () => {
    for (const part of ["weir", "chamber"] as const) {
      const tank = defaultTank();
      tank.state.clogging[part] = 0.7;
      runFor(tank, 300);
      expect(levelMm(tank)).toBeLessThan(-15);
      expect(tank.truth().spilledL).toBe(0);
    }
  });

  it("12 L too many with the return pump off: what exceeds the free volume on the floor, its sensor wet", () => {
    const tank = defaultTank();
    tank.state.returnPump.stopped = true;
    runFor(tank, 120);
    tank.state.jobs.push({ litresLeft: 12, outwards: false, salinity: 35, celsius: 25 });
    runFor(tank, 240);
    expect(tank.truth().spilledL).toBeCloseTo(12 - SETTINGS.tank.freeVolumePumpOffL, 1);
    expect(tank.look().readings["floor-sensor"]?.value).toBe(true);
  });
});

describe("floats of the simulated tank", () => {
  it("topped off for a day by the working float: 12 to 20 cycles, poured as evaporated", () => {
    const tank = defaultTank();
    let low = false;
    let cycles = 0;
    for (let scan = 0; scan < 24 * 3600 * 4; scan++) {
      const now = tank.look().readings["working-float"]?.value === false;
      if (now && !low) cycles += 1;
      low = now;
      tank.apply(low ? POUR : OFF, 250);
    }
    expect(cycles).toBeGreaterThanOrEqual(12);
    expect(cycles).toBeLessThanOrEqual(20);
    expect(tank.truth().pouredL).toBeCloseTo(tank.truth().evaporatedL, 0);
  });

  it("slosh with the return pump on: 0.5 mm root mean square", () => {
    const tank = defaultTank();
    let squares = 0;
    for (let scan = 0; scan < 8000; scan++) {
      tank.apply(OFF, 250);
      squares += tank.state.slosh.nowMm ** 2;
    }
    expect(Math.sqrt(squares / 8000)).toBeCloseTo(0.5, 1);
  });
});
