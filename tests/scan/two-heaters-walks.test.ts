import fc from "fast-check";
import { afterAll, describe, expect, test, vi } from "vitest";
import { step } from "../../controller/scan/step.ts";
import {
  HEATER_PARTS,
  type HeaterPart,
  heaterIn,
  type Image,
  INPUT_PARTS,
  type InputPart,
} from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { Box, HEALTHY } from "./box.ts";
import { noneMet, SMALL, walk, walkArbitrary } from "./walk.ts";

/**
 * Two heaters on random walks of the whole scan: the first where the level cannot fall, the second in the last chamber
 * and without a thermometer beside it, so that what forbids the one often leaves the other. `SEED=123` repeats a run.
 */
const RUNS = Number(process.env.RUNS ?? 100);
const OPTIONS = { numRuns: RUNS } as const;
vi.setConfig({ testTimeout: 600_000 });

const TWO: Settings = {
  ...SMALL,
  heat: {
    ...SMALL.heat,
    heaterW: 100,
    secondHeater: { heaterW: 100, heaterPlace: "last-chamber", thermometerSharesHeaterChamber: false },
  },
};
const READY = new Box(TWO, { ...HEALTHY }).afterSeconds(10);
const GUARDS = { "heater-1": "heat-guard", "heater-2": "heat-guard-2" } as const;

const met = noneMet();
let secondHeated = 0;
let bothHeated = 0;

const statusOf = ({ record }: { record: Box["record"] }, heater: HeaterPart) => {
  const status = heaterIn(record, heater);
  if (status === null) throw new Error("this box has two heaters");
  return status;
};

describe("two heaters on random walks", () => {
  test("S4: each is on only with a temperature below the cut-out, behind its own guard, unlocked and out of hands", () => {
    const scanned = (box: Box) => {
      for (const heater of HEATER_PARTS) {
        if (!box.commands[heater]) continue;
        if (heater === "heater-2") secondHeated += 1;
        const status = statusOf(box, heater);
        expect(box.commands[GUARDS[heater]]).toBe(true);
        expect(status.latch).toBeNull();
        expect((box.image as Image).board).toBe("ready");
        expect(box.record.hold.active && box.record.hold.withHeat).toBe(false);
        const { warmest, temperature } = box.record.quantities;
        expect(warmest.value).toBeLessThan(TWO.heat.cutOutC);
        if (temperature.quality !== "good" && temperature.doubt !== "own-chamber") {
          expect(status.state).toBe("cautious");
        }
      }
      if (box.commands["heater-2"]) {
        const { "low-float": cover } = box.record.contacts;
        expect(cover.position, "the second one stands where the water falls").toBe("on");
      }
      if (box.commands["heater-1"] && box.commands["heater-2"]) bothHeated += 1;
    };
    fc.assert(
      fc.property(walkArbitrary, (events) => walk(events, met, { scanned }, READY)),
      OPTIONS,
    );
  });

  test("no scan in which both come on", () => {
    let before = READY.commands;
    const scanned = ({ commands }: Box) => {
      const begin = HEATER_PARTS.filter((heater) => commands[heater] && !before[heater]);
      expect(begin.length).toBeLessThan(2);
      before = commands;
    };
    const property = fc.property(walkArbitrary, (events) => {
      before = READY.commands;
      walk(events, met, { scanned }, READY);
    });
    fc.assert(property, OPTIONS);
  });

  test("S6: one reading gone bad: neither on that was off but for cautious heating, no turn handed over", () => {
    const property = fc.property(walkArbitrary, fc.nat(), (events, first) => {
      let turn = first;
      const scanned = (box: Box) => {
        turn += 1;
        compare(box, INPUT_PARTS[turn % INPUT_PARTS.length] as InputPart);
      };
      walk(events, met, { scanned }, READY);
    });
    fc.assert(property, OPTIONS);
  });
});

function compare(box: Box, part: InputPart): void {
  const image = box.image as Image;
  if (image.readings[part] === null) return;
  const gone = { value: null, fault: "disconnected", ageMs: 60_000, sample: 0 } as const;
  const worse = step(box.before, { ...image, readings: { ...image.readings, [part]: gone } }, TWO);
  for (const heater of HEATER_PARTS) {
    if (!worse.commands[heater] || box.commands[heater] || box.before.volatile.commands[heater]) continue;
    // Named restricted mode: what was bad already and stays so goes on being heated with care.
    expect(wasBad(box, part), `${heater} on, ${part} gone`).toBe(true);
    expect(statusOf(worse, heater).state).toBe("cautious");
  }
}

function wasBad({ before }: Box, part: InputPart): boolean {
  const { first, second, conductivity } = before.volatile.signals;
  if (part === "thermometer-1") return first.probe.value === null;
  if (part === "thermometer-2") return second.probe.value === null;
  return part === "conductivity-probe" && conductivity.temperature.value === null;
}

afterAll(() => {
  // A property that never meets what it speaks of is known to be empty.
  expect(met.scans).toBeGreaterThan(10_000);
  expect(secondHeated).toBeGreaterThan(100);
  expect(bothHeated).toBeGreaterThan(100);
});
