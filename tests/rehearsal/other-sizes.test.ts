import { describe, expect, it } from "vitest";
import { checkScenario, rehearse } from "../../controller/rehearsal/index.ts";
import { mergeSettings } from "../../controller/rehearsal/merge-settings.ts";
import { createTank } from "../../controller/rehearsal/plant/tank.ts";
import { settingsSchema } from "../../shared/settings/index.ts";
import { boxSettings, evaporationInRoom, surfaceOf } from "../campaign/boxes.ts";
import { defaultTank, levelMm, POUR, runFor, SETTINGS } from "./still-tank.ts";

/** A box of another size than the default tank. That sizes go together in proportion is *common practice*. */
const overridesOf = (volumeL: number) =>
  boxSettings({
    volumeL,
    salinity: 35,
    evaporationLPerDay: evaporationInRoom(surfaceOf(volumeL), 22, 50),
    reservoirDays: 6,
    roomC: 22,
  });
const tankOf = (volumeL: number) => {
  const settings = settingsSchema.parse(mergeSettings(SETTINGS, overridesOf(volumeL)));
  return { settings, tank: createTank(1, settings) };
};

describe("the default tank", () => {
  it("2,000 L/h over a weir of 0.2 m, 40 W of lamp, 8 L around the heater, reservoir mark at 0.5 L", () => {
    const { state } = defaultTank();
    expect(state.geometry.returnLPerS * 3600).toBe(2000);
    expect(state.geometry.weirM).toBe(0.2);
    expect(state.geometry.intakeMm).toBe(-100);
    expect(state.lampW).toBe(40);
    expect(state.heat.chamberL).toBe(8);
    expect(state.reservoirMarks).toEqual({ wetAtL: 0.6, dryAtL: 0.5 });
    expect([state.plumbing.coastL, state.plumbing.tubeHoldsL]).toEqual([0.02, 0.03]);
  });
});

describe.each([40, 400])("a box of %d L", (volumeL) => {
  it("return pump: 14.3 turnovers an hour, as in the default tank", () => {
    const { tank } = tankOf(volumeL);
    expect((tank.state.geometry.returnLPerS * 3600) / volumeL).toBeCloseTo(2000 / 140, 9);
  });

  it("return pump on: at the mark; off: at the level of its settings within 4 mm, high float dry", () => {
    const { tank, settings } = tankOf(volumeL);
    runFor(tank, 120);
    expect(Math.abs(levelMm(tank))).toBeLessThan(1);
    tank.state.returnPump.stopped = true;
    runFor(tank, 300);
    expect(levelMm(tank)).toBeGreaterThan(settings.tank.pumpOffLevelMm - 4);
    expect(levelMm(tank)).toBeLessThan(settings.tank.pumpOffLevelMm + 4);
    expect(tank.look().readings["high-float"]?.value).toBe(false);
    expect(tank.truth().spilledL).toBe(0);
  });

  it("coast of its settings; reservoir float: wet above a twentieth, dry below", () => {
    const { tank, settings } = tankOf(volumeL);
    runFor(tank, 8, POUR);
    const { pouredL } = tank.truth();
    runFor(tank, 20);
    expect(tank.truth().pouredL - pouredL).toBeCloseTo(settings.topOff.coastMl / 1000, 6);
    tank.state.plumbing.reservoirL = settings.topOff.reservoirL * 0.051;
    runFor(tank, 1);
    expect(tank.look().readings["reservoir-float"]?.value).toBe(true);
    tank.state.plumbing.reservoirL = settings.topOff.reservoirL * 0.049;
    runFor(tank, 1);
    expect(tank.look().readings["reservoir-float"]?.value).toBe(false);
  });

  it("half a day: salinity within 0.1, temperature within 1 K, no lock, dry floor", () => {
    const { scenario, errors } = checkScenario(
      { name: "half a day", hours: 12, settings: overridesOf(volumeL) },
      SETTINGS,
    );
    if (scenario === null) throw new Error(JSON.stringify(errors));
    const { truth, lockouts } = rehearse(scenario, { seed: 1, settings: SETTINGS, scans: "adaptive" });
    expect(lockouts).toEqual([]);
    expect(truth.salinityMax - truth.salinityMin).toBeLessThan(0.1);
    expect(truth.temperatureMaxC).toBeLessThan(26);
    expect(truth.temperatureMinC).toBeGreaterThan(24);
    expect(truth.spilledL).toBe(0);
  });
});
