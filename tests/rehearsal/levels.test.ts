import { describe, expect, it } from "vitest";
import { geometryOf } from "../../controller/rehearsal/plant/geometry.ts";
import { settingsSchema } from "../../shared/settings/index.ts";
import { defaultTank, levelMm, OFF, POUR, runFor, SETTINGS } from "./still-tank.ts";

/** Levels of an all-in-one tank. Where no source is named the figure is *common practice*. */
describe("the box", () => {
  const box = geometryOf(SETTINGS.tank);

  it("has the head over its weir that the weir equation gives: 2000 L/h over 0.2 m, 13 mm (q = 1.84 L h^1.5)", () => {
    expect(box.weirHeadMm).toBeCloseTo(13.2, 1);
  });

  it("holds just the free volumes that its settings say", () => {
    const { tank } = SETTINGS;
    const toRimL = (box.rimMm - tank.pumpOffLevelMm) * tank.surfaceM2;
    expect(toRimL).toBeCloseTo(tank.freeVolumePumpOffL, 9);
    const displayL = (box.rimMm - box.lipMm - box.weirHeadMm) * box.displayM2;
    expect(displayL - -box.intakeMm * box.lastM2).toBeCloseTo(tank.freeVolumeWeirBlockedL, 9);
  });

  it("can be built from other settings too: rim above lip above baffle above the working float", () => {
    for (const tank of [{ netVolumeL: 60, surfaceM2: 0.15, lastChamberM2: 0.01 }, { freeVolumePumpOffL: 2 }, {}]) {
      const { tank: checked } = settingsSchema.parse({ tank });
      const other = geometryOf(checked);
      expect(other.rimMm).toBeGreaterThan(other.lipMm);
      expect(other.lipMm + other.weirHeadMm).toBeGreaterThan(other.baffleMm);
      expect(other.baffleMm).toBeGreaterThan(checked.floatHysteresisMm);
    }
  });
});

describe("levels", () => {
  it("stand at the mark while the return pump runs", () => {
    const tank = defaultTank();
    runFor(tank, 60);
    expect(levelMm(tank)).toBeGreaterThan(-0.2);
    expect(levelMm(tank)).toBeLessThan(0.01);
  });

  it("show a litre as 50 mm in a last chamber of 0.020 m²", () => {
    const tank = defaultTank();
    runFor(tank, 20, POUR);
    const pouredL = tank.truth().pouredL;
    runFor(tank, 30);
    expect(levelMm(tank) / tank.truth().pouredL).toBeCloseTo(50, -0.5);
    expect(pouredL).toBeGreaterThan(0.4);
  });

  it("rise by some 60 mm when the return pump stops (3.7 L over the weir), below the high float, and come back", () => {
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

  it("fall in the last chamber alone as water evaporates: some 70 mm a day at 1.4 L", () => {
    const tank = defaultTank();
    runFor(tank, 6 * 3600);
    const { evaporatedL } = tank.truth();
    expect(-levelMm(tank) / evaporatedL).toBeCloseTo(50, -0.5);
  });

  it("fall in the last chamber and rise in the display when the weir or the grid clogs, with no water lost", () => {
    for (const part of ["weir", "chamber"] as const) {
      const tank = defaultTank();
      tank.state.clogging[part] = 0.7;
      runFor(tank, 300);
      expect(levelMm(tank)).toBeLessThan(-15);
      expect(tank.truth().spilledL).toBe(0);
    }
  });

  it("spill over the rim what the box cannot hold, and wet the floor", () => {
    const tank = defaultTank();
    tank.state.returnPump.stopped = true;
    runFor(tank, 120);
    tank.state.jobs.push({ litresLeft: 12, outwards: false, salinity: 35, celsius: 25 });
    runFor(tank, 240);
    expect(tank.truth().spilledL).toBeCloseTo(12 - SETTINGS.tank.freeVolumePumpOffL, 1);
    expect(tank.look().readings["floor-sensor"]?.value).toBe(true);
  });
});

describe("floats", () => {
  it("turn full at the mark and low 5 mm under it: 0.1 L a cycle, some fourteen cycles a day at 1.5 L", () => {
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

  it("slosh by about half a millimetre while the return pump runs", () => {
    const tank = defaultTank();
    let squares = 0;
    for (let scan = 0; scan < 8000; scan++) {
      tank.apply(OFF, 250);
      squares += tank.state.slosh.nowMm ** 2;
    }
    expect(Math.sqrt(squares / 8000)).toBeCloseTo(0.5, 1);
  });
});
