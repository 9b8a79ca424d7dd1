import { describe, expect, it } from "vitest";
import { rehearse } from "../../controller/rehearsal/index.ts";
import { createFan, fanned } from "../../controller/rehearsal/plant/fan.ts";
import { createTank, type Tank } from "../../controller/rehearsal/plant/tank.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { OFF, runFor, SETTINGS, waterC } from "./still-tank.ts";
import { scenarioOf } from "./told-scenario.ts";

/** The fan of the simulated tank: more evaporates, and that cools. */
const FAN = { aboveC: 26, evaporationLPerDay: 3 };
const WITH_FAN: Settings = { ...SETTINGS, topOff: { ...SETTINGS.topOff, fan: FAN } };

const summerTank = (settings: Settings): Tank =>
  createTank(1, settings, {
    room: { temperatureC: 30, swingC: 0, humidityPct: 50 },
    start: { temperatureC: 28, salinity: 35, reservoirL: 10 },
  });

describe("the fan above 26 °C", () => {
  it("26.01 °C: twice the evaporation down to 25.71; 25.7 or no power: once; no fan: once at 35 °C", () => {
    const fan = createFan(WITH_FAN.topOff);
    const rows: [waterC: number, power: boolean, times: number][] = [
      [26, true, 1],
      [26.01, true, 2],
      [25.71, true, 2],
      [25.7, true, 1],
      [25.9, true, 1],
      [26.5, false, 1],
      [26.5, true, 2],
      [25.9, false, 1],
      [25.9, true, 1],
    ];
    for (const [celsius, power, times] of rows) expect(fanned(fan, celsius, power), `${celsius}`).toBe(times);
    expect(fanned(createFan(SETTINGS.topOff), 35, true)).toBe(1);
  });

  it("28 °C in a room of 30: twice the litres, 0.4 K cooler after 6 h", () => {
    const [still, blown] = [summerTank(SETTINGS), summerTank(WITH_FAN)];
    for (const tank of [still, blown]) runFor(tank, 600);
    expect(blown.truth().evaporatedL / still.truth().evaporatedL).toBeCloseTo(2, 1);
    for (const tank of [still, blown]) tank.apply(OFF, 6 * 3_600_000);
    expect(waterC(blown)).toBeLessThan(waterC(still) - 0.4);
    expect(blown.truth().evaporatedL).toBeGreaterThan(1.5 * still.truth().evaporatedL);
  });

  it("25 °C: as without a fan", () => {
    const at = (settings: Settings) => createTank(1, settings);
    const [still, blown] = [at(SETTINGS), at(WITH_FAN)];
    for (const tank of [still, blown]) runFor(tank, 600);
    expect(blown.truth().evaporatedL).toBe(still.truth().evaporatedL);
  });
});

describe("the heatwave with the fan in the settings", () => {
  const tell = (name: string) => rehearse(scenarioOf(name), { seed: 1, settings: SETTINGS, scans: "adaptive" });

  it("0.5 K cooler, 1.6 times the litres, all topped off; no lock, no top-off-not-answered, no violation", () => {
    const [without, fan] = [tell("heatwave"), tell("heatwave-with-fan")];
    expect(fan.truth.temperatureMaxC).toBeLessThan(without.truth.temperatureMaxC - 0.5);
    expect(fan.truth.evaporatedL).toBeGreaterThan(1.6 * without.truth.evaporatedL);
    expect(fan.truth.evaporatedL - fan.truth.pouredL).toBeLessThan(0.15);
    expect(fan.lockouts).toEqual([]);
    expect(fan.alarms.map(({ id }) => id)).not.toContain("top-off-not-answered");
    expect(fan.violations).toEqual([]);
  }, 60_000);
});
