import { describe, expect, it } from "vitest";
import { evaporationLPerHM2, latentJPerKg, saturationKPa } from "../../controller/rehearsal/plant/evaporation.ts";
import { EVERYTHING_OFF } from "../../shared/contract/index.ts";
import { defaultTank, runFor } from "./still-tank.ts";

const perDay = (waterC: number, roomC: number, humidity: number): number =>
  evaporationLPerHM2(waterC, 35, { celsius: roomC, humidity }) * 0.35 * 24;

describe("evaporation of the simulated tank", () => {
  it("gives the tabulated value of Shah's formula: 28 °C water and air, 50 %: 0.1360 kg/(m² h) (Shah 2012)", () => {
    const perHourM2 = evaporationLPerHM2(28, 0, { celsius: 28, humidity: 0.5 });
    expect(Math.abs(perHourM2 / 0.136 - 1)).toBeLessThan(0.01);
  });

  it("has the vapour pressure of water: 2.339 kPa at 20 °C, 3.169 at 25 °C (steam tables, from memory)", () => {
    expect(Math.abs(saturationKPa(20) / 2.339 - 1)).toBeLessThan(0.004);
    expect(Math.abs(saturationKPa(25) / 3.169 - 1)).toBeLessThan(0.004);
  });

  it("loses the litres a day of the worked example, 26 °C in 22 °C and 50 %: Shah 1.44 L/d", () => {
    expect(perDay(26, 22, 0.5)).toBeCloseTo(1.44, 2);
  });

  it("loses 0.7–1.2 L/d in 26 °C at 60 %, 1.7–2.3 L/d in 20 °C at 40 % (the range of three formulas)", () => {
    expect(perDay(26, 26, 0.6)).toBeGreaterThan(0.65);
    expect(perDay(26, 26, 0.6)).toBeLessThan(1.2);
    expect(perDay(26, 20, 0.4)).toBeGreaterThan(1.7);
    expect(perDay(26, 20, 0.4)).toBeLessThan(2.3);
  });

  it("20 °C water under air of 30 °C and 90 %: 0", () => {
    expect(evaporationLPerHM2(20, 35, { celsius: 30, humidity: 0.9 })).toBe(0);
  });

  it("1.4 L/d at 26 °C: 40 W of latent heat", () => {
    expect((1.4 * latentJPerKg(26)) / 86_400).toBeCloseTo(40, -0.5);
  });

  it("default tank heated to 25 °C: 1.35 to 1.9 L a day, no salt lost", () => {
    const tank = defaultTank();
    const { saltG } = tank.state.water;
    for (let quarter = 0; quarter < 4; quarter++) {
      runFor(tank, 2 * 3600, { ...(tank.state.heat.restC < 25 ? HEATING : IDLE) });
    }
    const litres = tank.truth().evaporatedL * 3;
    expect(litres).toBeGreaterThan(1.35);
    expect(litres).toBeLessThan(1.9);
    expect(tank.state.water.saltG).toBe(saltG);
  });
});

const IDLE = { ...EVERYTHING_OFF, "heat-guard": true };
const HEATING = { ...IDLE, "heater-1": true };
