import { describe, expect, it } from "vitest";
import { dissolvedMg } from "../../controller/rehearsal/plant/nitrogen.ts";
import { createRandom } from "../../controller/rehearsal/plant/random.ts";
import { createTank, type Tank } from "../../controller/rehearsal/plant/tank.ts";
import { type Commands, EVERYTHING_OFF } from "../../shared/contract/index.ts";
import { defaultTank, runFor, SETTINGS } from "./still-tank.ts";

/**
 * What came in less what went out is what is there, within 1e-9 of all that passed: water, salt, heat and
 * nitrogen. The accounts
 * are kept apart from the state, so that a law that moves one and not the other is caught.
 */
interface Stock {
  readonly litres: number;
  readonly grams: number;
  readonly joules: number;
  readonly nitrogenMg: number;
}

const stockOf = ({ state }: Tank): Stock => ({
  litres: state.water.volumeL,
  grams: state.water.saltG,
  joules: state.heat.restJ + state.heat.chamberJ + state.heat.heaterJ,
  nitrogenMg: dissolvedMg(state.nitrogen),
});

function expectBalanced(tank: Tank, before: Stock): void {
  const after = stockOf(tank);
  const a = tank.state.accounts;
  const litres = [a.pouredL, a.handsInL, -a.handsOutL, -a.evaporatedL, -a.overRimL, -a.leakedL];
  const grams = [a.pouredG, a.handsInG, -a.handsOutG, -a.overRimG, -a.leakedG, -a.saltLostG];
  const joules = [a.heaterJ, a.returnPumpJ, a.lampJ, a.carriedJ, -a.latentJ, -a.roomJ];
  closes(after.litres - before.litres, litres);
  closes(after.grams - before.grams, grams);
  closes(after.joules - before.joules, joules);
  closes(after.nitrogenMg - before.nitrogenMg, [a.nitrogenInMg, -a.nitrogenOutMg]);
}

function closes(change: number, passed: readonly number[]): void {
  const sum = passed.reduce((all, each) => all + each, 0);
  const through = passed.reduce((all, each) => all + Math.abs(each), 0);
  expect(Math.abs(change - sum)).toBeLessThanOrEqual(1e-9 * Math.max(through, 1e-6));
}

function runAtRandom(tank: Tank, seed: number, minutes: number): void {
  const random = createRandom(seed);
  for (let minute = 0; minute < minutes; minute++) {
    const commands: Commands = {
      ...EVERYTHING_OFF,
      "top-off-pump": random.uniform() < 0.1,
      "water-guard": random.uniform() < 0.8,
      "heater-1": random.uniform() < 0.5,
      "heat-guard": random.uniform() < 0.9,
    };
    runFor(tank, 60, commands);
  }
}

describe("balances of water, salt, heat and nitrogen", () => {
  it.each([1, 2, 3])("four hours of switches at random, seed %i: close within 1e-9", (seed) => {
    const tank = defaultTank(seed);
    const before = stockOf(tank);
    runAtRandom(tank, seed, 240);
    expect(tank.state.accounts.pouredL).toBeGreaterThan(1);
    expectBalanced(tank, before);
  });

  it("rooms of 10 and 38 °C by turns, fan on and off: close within 1e-9", () => {
    const fan = { aboveC: 27, evaporationLPerDay: 3 };
    const room = { temperatureC: 33, swingC: 0, humidityPct: 50 };
    const start = { temperatureC: 26.6, salinity: 35, reservoirL: 10 };
    const tank = createTank(1, { ...SETTINGS, topOff: { ...SETTINGS.topOff, fan } }, { room, start });
    const before = stockOf(tank);
    const seen = new Set<boolean | undefined>();
    for (let half = 0; half < 10; half++) {
      runAtRandom(tank, half + 1, 30);
      seen.add(tank.state.fan?.blowing);
      tank.state.room.overrideC = half % 2 === 0 ? 10 : 38;
    }
    expect([...seen].sort()).toEqual([false, true]);
    expectBalanced(tank, before);
  });

  it("leak, salt loss, flood, hands and pump stops: close within 1e-9", () => {
    const tank = defaultTank(7);
    const { state } = tank;
    const before = stockOf(tank);
    state.leakLPerH = 2;
    state.saltLossPercentPerDay = 5;
    state.plumbing.reservoirSaltG = 200;
    state.jobs.push({ litresLeft: 14, outwards: true, salinity: 0, celsius: 0 });
    state.jobs.push({ litresLeft: 34, outwards: false, salinity: 33, celsius: 19 });
    runAtRandom(tank, 7, 20);
    state.returnPump.stopped = true;
    runAtRandom(tank, 8, 20);
    state.returnPump.stopped = false;
    state.clogging.weir = 0.9;
    runAtRandom(tank, 9, 20);
    const a = state.accounts;
    expect([a.overRimL, a.leakedL, a.handsInL, a.handsOutL].every((litres) => litres > 0.5)).toBe(true);
    expectBalanced(tank, before);
  });

  it("reservoir, tube and floor, with the tube off: close within 1e-9", () => {
    const tank = defaultTank(4);
    const { plumbing, accounts, floor } = tank.state;
    plumbing.reservoirSaltG = 50;
    const heldL = plumbing.reservoirL + plumbing.tubeL;
    runAtRandom(tank, 4, 30);
    plumbing.tubeOff = true;
    runAtRandom(tank, 5, 30);
    expect(accounts.tubeSpilledL).toBeGreaterThan(0.1);
    closes(plumbing.reservoirL + plumbing.tubeL - heldL, [-accounts.pouredL, -accounts.tubeSpilledL]);
    expect(floor.standingL + floor.driedL).toBeCloseTo(accounts.tubeSpilledL + accounts.overRimL, 9);
  });

  it("1e-6 L that nobody counted: refused", () => {
    const tank = defaultTank(1);
    const before = stockOf(tank);
    runFor(tank, 60);
    tank.state.water.volumeL += 1e-6;
    expect(() => expectBalanced(tank, before)).toThrow();
  });

  it("1e-3 mg of nitrite that nobody counted: refused", () => {
    const tank = defaultTank(1);
    const before = stockOf(tank);
    runFor(tank, 1800);
    expectBalanced(tank, before);
    tank.state.nitrogen.nitriteMg += 1e-3;
    expect(() => expectBalanced(tank, before)).toThrow();
  });
});
