import { describe, expect, test } from "vitest";
import { type HeatPlan, planHeat } from "../../controller/decisions/heat/plan.ts";
import { planStart } from "../../controller/decisions/start.ts";
import { planTopOff } from "../../controller/decisions/top-off/plan.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** L1 and L2: what may happen does happen, from every healthy state in which it may be asked for. */

const heat = planHeat(SETTINGS, "heater-1") as HeatPlan;
const PLAN = { ...planStart(SETTINGS), topOff: planTopOff(SETTINGS), heat };
const SCAN_MS = SETTINGS.scanMs;
const LOW: Sight = { "working-float": "dry" };
const cold: Sight = { "thermometer-1": 24.7, "thermometer-2": 24.7, probeTemperature: 24.7 };
const warm: Sight = { "thermometer-1": 25.3, "thermometer-2": 25.3, probeTemperature: 25.3 };

/** Moments of a box that lives: pours, settles, rests, heats, pauses. */
function moments(): Box[] {
  const box = Box.atRest();
  const found: Box[] = [];
  const keep = () => found.push(box.twin());
  for (const [sight, seconds] of [
    [LOW, 12],
    [LOW, 19],
    [LOW, 4],
    [{ "working-float": "wet" }, 3],
    [{ "working-float": "wet" }, 40],
    [LOW, 90],
    [{ ...LOW, "reservoir-float": "dry" }, 20],
    [{ "reservoir-float": "wet", "working-float": "wet" }, 60],
    [cold, 20],
    [warm, 61],
    [cold, 30],
    [{ "mains-sensor": "gone" }, 5],
    [{ board: "silent" }, 5],
  ] as [Sight, number][]) {
    box.sees(sight).afterSeconds(seconds);
    keep();
  }
  return found;
}

const FINE: Sight = { "mains-sensor": "there", "reservoir-float": "wet", "high-float": "dry", board: "ready" };

describe("from any of thirteen moments without a lock, all permissives true from then on", () => {
  const all = moments().map((box, index) => [index, box] as const);

  test.each(all)(
    "L1: a pour begins within confirm, rest, settle and the waits of a start (moment %i)",
    (_index, from) => {
      const box = from.twin().sees({ ...FINE, ...LOW });
      const waits = PLAN.topOffAfterStartMs + PLAN.topOff.confirmMs + PLAN.topOff.restMs + PLAN.topOff.settleMs;
      expect(box.latch).toBeNull();
      expect(box.untilPouring(20)).toBeLessThanOrEqual(waits + PLAN.returnPumpSettleMs + 4 * SCAN_MS);
    },
  );

  test("L1, exactly: low at rest: pours within confirm and two scans; low after a pour: within settling, rest, confirm and three", () => {
    expect(Box.atRest(LOW).untilPouring()).toBeLessThanOrEqual(PLAN.topOff.confirmMs + 2 * SCAN_MS);
    const box = Box.atRest(LOW);
    box.untilPouring();
    box.sees({ "working-float": "wet" }).scan().sees(LOW);
    const { settleMs, restMs, confirmMs } = PLAN.topOff;
    expect(box.untilPouring()).toBeLessThanOrEqual(settleMs + restMs + confirmMs + 3 * SCAN_MS);
  });

  test.each(all)(
    "L2: heat begins within minimum off, the waits of a start and two scans (moment %i)",
    (_index, from) => {
      const box = from.twin().sees({ ...FINE, ...cold });
      expect(box.heatLatch).toBeNull();
      const waitsMs = Math.max(PLAN.heat.minimumOffMs, PLAN.flowBeforeHeatMs, PLAN.steadyMs);
      expect(box.untilHeating(5)).toBeLessThanOrEqual(waitsMs + 2 * SCAN_MS);
    },
  );

  test("L2, exactly: cold right after heat went off: on within minimum off and two scans", () => {
    const box = Box.atRest(cold);
    box.untilHeating(1);
    box.sees(warm).until(({ heaterOn }) => !heaterOn, 3);
    expect(box.sees(cold).untilHeating(3)).toBeLessThanOrEqual(PLAN.heat.minimumOffMs + 2 * SCAN_MS);
  });

  test("L4: high float wet, floor wet, low float dry or pump seen on: locked; cause gone and cleared at the tank: pours within 5 min", () => {
    const latches: [Sight, number][] = [
      [{ "high-float": "wet" }, 3],
      [{ "floor-sensor": "wet" }, 3],
      [{ "low-float": "dry" }, 62],
      [{ pumpPowered: true }, 3],
    ];
    for (const [sight, seconds] of latches) {
      const box = Box.atRest(sight).afterSeconds(seconds);
      const occurrence = box.record.topOff.latch?.occurrence ?? 0;
      expect(occurrence).toBe(1);
      box.sees({ "high-float": "dry", "floor-sensor": "dry", "low-float": "wet", pumpPowered: null });
      expect(box.asks({ kind: "clear", machine: "top-off", occurrence, at: "tank" }).accepted).toBe(true);
      box.sees(LOW).untilPouring(5);
    }
  });
});
