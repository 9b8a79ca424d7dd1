import fc from "fast-check";
import { afterAll, describe, expect, test, vi } from "vitest";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { keptIn } from "../../controller/scan/memory.ts";
import { step } from "../../controller/scan/step.ts";
import type { Image, InputPart } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { Box } from "./box.ts";
import { CALM, type Hangs, Water } from "./heat-water.ts";

/**
 * Random faults of the thermometers in water that follows its heater, hour after hour, so that it is known which of them
 * answers: what the short walks of the whole scan never come to. `SEED=123` repeats a run.
 */
const RUNS = Number(process.env.RUNS ?? 12);
vi.setConfig({ testTimeout: 900_000 });

const FAR: Settings = { ...CALM, heat: { ...CALM.heat, thermometerSharesHeaterChamber: false } };
const LAST: Settings = { ...CALM, heat: { ...CALM.heat, heaterPlace: "last-chamber" } };
const settingsArbitrary = fc.constantFrom(CALM, CALM, FAR, LAST);

interface Fault {
  readonly atH: number;
  readonly thermometer: "thermometer-1" | "thermometer-2" | "cell";
  readonly hangs: Hangs;
  readonly offsetK: number;
}

const faultArbitrary: fc.Arbitrary<Fault> = fc.record({
  atH: fc.double({ min: 1.5, max: 5, noNaN: true }),
  thermometer: fc.constantFrom("thermometer-1", "thermometer-2", "cell"),
  hangs: fc.constantFrom<Hangs>("water", "air", "frozen", "open-circuit", "no-answer", "beside-heater"),
  offsetK: fc.constantFrom(0, 0.8, -0.8, 1.2, -1.5, 3, -3, 5),
});

const roomArbitrary = fc.double({ min: 13, max: 24, noNaN: true });

const met = { scans: 0, heating: 0, agreed: 0, answered: 0, byOneContact: 0, coverByFloat: 0, flowAnswered: 0 };

function look({ box }: Water): void {
  const { settled } = box.memory.volatile.signals;
  const { trust, cover } = box.volatile(HEAT["heater-1"]);
  met.scans += 1;
  if (!box.heaterOn) return;
  met.heating += 1;
  if (box.heat.state === "heating" && settled.source !== "mean") {
    if (trust === "agreed") met.agreed += 1;
    if (trust === "answered") met.answered += 1;
  }
  if (box.durable(HEAT["heater-1"]).oneContact !== null) met.byOneContact += 1;
  if (cover.byFloat) met.coverByFloat += 1;
  if (box.record.topOff.surgeMissing) met.flowAnswered += 1;
}

const begin = (settings: Settings, roomC: number) => Water.at(24.9, roomC, settings);

function live(water: Water, faults: readonly Fault[], hours: number, each: (water: Water) => void): void {
  const waiting = [...faults].sort((one, other) => one.atH - other.atH);
  water.flows(hours, (now) => {
    const fault = waiting[0];
    if (fault !== undefined && now.hours >= fault.atH) {
      now.hang(fault.thermometer, fault.hangs, fault.offsetK);
      waiting.shift();
    }
    each(now);
  });
}

describe("S6: one reading replaced by a bad one, where it is known which thermometer follows the heater", () => {
  const PARTS = [
    "thermometer-1",
    "thermometer-2",
    "conductivity-probe",
    "return-sensor",
    "low-float",
    "working-float",
    "room-thermometer",
    "mains-sensor",
  ] as const satisfies readonly InputPart[];

  /** The scan that was, and the same with one part gone: a heater that was off stays off. */
  const compare = (box: Box, part: InputPart): void => {
    const image = box.image as Image;
    if (box.heaterOn || image.readings[part] === null) return;
    const gone = { value: null, fault: "disconnected", ageMs: 60_000, sample: 0 } as const;
    const worse = step(box.before, { ...image, readings: { ...image.readings, [part]: gone } }, box.settings);
    if (!worse.commands["heater-1"] || isRestrictedMode(box, part)) return;
    const wasOn = box.before.volatile.commands["heater-1"];
    // What was on may stay on for a scan, with care.
    expect(wasOn ? worse.record.heaters[0]?.state : "on", `${part} gone`).toBe("cautious");
  };

  /**
   * Named restricted modes: what was bad already and stays bad goes on as it was, where its return would have ended
   * that. Their bounds: careful heat its duty; a lost low float the working float, full within ten minutes; a suspect
   * return sensor a thermometer that follows the heater, or careful heat below the low limit.
   */
  const isRestrictedMode = ({ before }: Box, part: InputPart): boolean => {
    const { first, second, conductivity } = before.volatile.signals;
    if (part === "thermometer-1") return first.probe.value === null;
    if (part === "thermometer-2") return second.probe.value === null;
    if (part === "conductivity-probe") return conductivity.temperature.value === null;
    if (part === "low-float") return keptIn(before, HEAT["heater-1"]).volatile.cover.byFloat;
    return part === "return-sensor" && keptIn(before, TOP_OFF).durable.surgeMissing;
  };

  test("turns the heater on in no scan", () => {
    const property = fc.property(
      settingsArbitrary,
      roomArbitrary,
      fc.array(faultArbitrary, { minLength: 1, maxLength: 4 }),
      fc.boolean(),
      fc.nat(),
      (settings, roomC, faults, floatLost, first) => {
        let turn = first;
        const water = begin(settings, roomC);
        live(water, faults, 6, (now) => {
          const { box } = now;
          look(now);
          // In its own time, and in the middle of everything else.
          if (turn % 9_000 === 0) box.sees({ "return-sensor": turn % 2 === 0 ? "gone" : "there" });
          if (turn % 11_000 === 0) box.sees({ "low-float": floatLost ? "open-circuit" : "wet" });
          if (turn % 700 === 0) box.sees({ "working-float": turn % 1_400 === 0 ? "dry" : "wet" });
          turn += 1;
          compare(box, PARTS[turn % PARTS.length] as InputPart);
        });
      },
    );
    fc.assert(property, { numRuns: RUNS });
  });
});

describe("whatever is wrong with the thermometers", () => {
  test("S4: the heater is on only below the cut-out, behind its guard, and as usual only where enough is known", () => {
    const property = fc.property(
      settingsArbitrary,
      roomArbitrary,
      fc.array(faultArbitrary, { minLength: 1, maxLength: 4 }),
      (settings, roomC, faults) => {
        live(begin(settings, roomC), faults, 6, (now) => {
          const { box } = now;
          look(now);
          if (!box.heaterOn) return;
          const { heat } = box;
          const { thermometers, quantities } = box.record;
          const said = [...thermometers, quantities.cellTemperature].flatMap(({ value }) =>
            value === null ? [] : [value],
          );
          expect(box.commands["heat-guard"]).toBe(true);
          expect(heat.latch).toBeNull();
          expect(Math.max(...said)).toBeLessThan(settings.heat.cutOutC);
          if (heat.state === "cautious") return;
          // As usual: two of all that are heard agree, or what controls was seen to follow the heater.
          const control = quantities.temperature.value as number;
          const agreeing = said.filter((value) => Math.abs(value - control) <= 1.31).length;
          const { answers } = box.memory.volatile.signals;
          const follows = [answers.first, answers.second, answers.third].some(({ answer }) => answer === "expected");
          expect(agreeing >= 2 || follows).toBe(true);
        });
      },
    );
    fc.assert(property, { numRuns: RUNS });
  });

  test("H6: any one of three lost, aired, frozen or wrong costs the water half a kelvin at most, and locks nothing", () => {
    const property = fc.property(roomArbitrary, faultArbitrary, (roomC, fault) => {
      const water = begin(CALM, roomC).flows(3).forget();
      const late = { ...fault, atH: fault.atH + 3 };
      live(water, [late], 10, (now) => {
        look(now);
        expect(now.box.heatLatch).toBeNull();
      });
      expect(water.coldestC).toBeGreaterThan(24.4);
      expect(water.warmestC).toBeLessThan(25.6);
    });
    fc.assert(property, { numRuns: RUNS });
  });
});

afterAll(() => {
  if (process.env.MET !== undefined) process.stderr.write(`${JSON.stringify(met)}\n`);
  if (process.env.SEED !== undefined) return;
  // A property that never meets what it speaks of is known to be empty.
  for (const what of ["scans", "heating", "agreed", "answered"] as const)
    expect(met[what], what).toBeGreaterThan(1_000);
});
