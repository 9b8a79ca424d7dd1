import { describe, expect, it } from "vitest";
import type { Tank } from "../../controller/rehearsal/plant/tank.ts";
import { practicalSalinity } from "../../shared/seawater/index.ts";
import { celsius, millisiemensPerCm } from "../../shared/units/index.ts";
import { defaultTank, OFF, runFor, salinity } from "./still-tank.ts";

const first = (tank: Tank) => tank.look().readings["thermometer-1"];
const cell = (tank: Tank) => tank.look().readings["conductivity-probe"];

function seenSalinity(tank: Tank): number {
  const value = cell(tank)?.value;
  if (!value) throw new Error("the probe has no value");
  return practicalSalinity(millisiemensPerCm(value.conductivityMsPerCm), celsius(value.temperatureC as number)) ?? 0;
}

function mean(tank: Tank, seconds: number, of: () => number): number {
  let sum = 0;
  for (let second = 0; second < seconds; second++) {
    runFor(tank, 1);
    sum += of();
  }
  return sum / seconds;
}

describe("a thermometer", () => {
  it("10 s: ten samples in sixteenths of a kelvin, aged 0 to 750 ms", () => {
    const tank = defaultTank();
    const samples = new Set<number>();
    const ages = new Set<number>();
    for (let scan = 0; scan < 40; scan++) {
      const reading = first(tank);
      samples.add(reading?.sample ?? -1);
      ages.add(reading?.ageMs ?? -1);
      expect(((reading?.value ?? 0) / 0.0625) % 1).toBe(0);
      tank.apply(OFF, 250);
    }
    expect(samples.size).toBe(10);
    expect([...ages].sort((a, b) => a - b)).toEqual([0, 250, 500, 750]);
  });

  it("10 K jump: 63 % after 8 s in water, after 90 s in air", () => {
    const tank = defaultTank();
    const sleeve = tank.state.thermometers["thermometer-1"];
    sleeve.sleeveC = 15;
    runFor(tank, 8);
    expect((sleeve.sleeveC - 15) / 10).toBeCloseTo(1 - Math.exp(-1), 1);
    sleeve.ailment = "out-of-water";
    sleeve.sleeveC = 30;
    runFor(tank, 90);
    const roomC = tank.state.roomC;
    expect((30 - sleeve.sleeveC) / (30 - roomC)).toBeCloseTo(1 - Math.exp(-1), 1);
  });
});

describe("the conductivity probe", () => {
  it("300 s, three seeds: salinity within ±0.5 % of the cell and its noise", () => {
    for (const seed of [1, 2, 3]) {
      const tank = defaultTank(seed);
      const seen = mean(tank, 300, () => seenSalinity(tank));
      expect(Math.abs(seen - salinity(tank))).toBeLessThan(0.5 * 0.39 + 0.05);
    }
  });

  it("600 s: noise of 0.2 %, drift of −0.03 % a day (*common practice* for a clean cell: −0.2 to −1 % a week)", () => {
    const tank = defaultTank();
    let squares = 0;
    for (let second = 0; second < 600; second++) {
      runFor(tank, 1);
      squares +=
        ((cell(tank)?.value?.conductivityMsPerCm ?? 0) / (tank.state.probe.cellMsPerCm * tank.state.probe.gain) - 1) **
        2;
    }
    expect(Math.sqrt(squares / 600)).toBeCloseTo(0.002, 3);
    expect(tank.state.probe.driftedPercent).toBeCloseTo((-0.03 * 600) / 86_400, 6);
  });

  it("return pump off: within 0.3; on again: 0.5 lower for 20 s, back after 5 min", () => {
    const tank = defaultTank();
    tank.state.returnPump.stopped = true;
    runFor(tank, 60);
    const still = mean(tank, 60, () => seenSalinity(tank));
    expect(Math.abs(still - salinity(tank))).toBeLessThan(0.3);
    tank.state.returnPump.stopped = false;
    expect(mean(tank, 20, () => seenSalinity(tank))).toBeLessThan(still - 0.5);
    runFor(tank, 300);
    expect(mean(tank, 60, () => seenSalinity(tank))).toBeGreaterThan(still - 0.2);
  });
});
