import fc from "fast-check";
import { afterAll, describe, expect, test, vi } from "vitest";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import type { HeatMemory, HeatVolatile } from "../../controller/decisions/heat/memory.ts";
import { type HeatPlan, planHeat } from "../../controller/decisions/heat/plan.ts";
import { HOLD } from "../../controller/decisions/hold/key.ts";
import { planStart } from "../../controller/decisions/start.ts";
import type { LatchMemory } from "../../controller/decisions/stored.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { planTopOff } from "../../controller/decisions/top-off/plan.ts";
import { keptIn, type Memory } from "../../controller/scan/memory.ts";
import { step } from "../../controller/scan/step.ts";
import type { Commands, Image, InputPart, Reading } from "../../shared/contract/index.ts";
import { INPUT_PARTS, OUTPUT_PARTS } from "../../shared/contract/index.ts";
import { CONTACT_STALE_MS, creditMostMs, OUTPUT_EXPIRY_MS } from "../../shared/settings/index.ts";
import { Box } from "./box.ts";
import { askedArbitrary, killingWalkArbitrary, noneMet, SMALL, walk, walkArbitrary } from "./walk.ts";

/**
 * The invariants S1–S7 as properties of random walks of the whole scan. Each says independently of the code what may
 * be, from the image and from what an outside observer can add up. A failure prints its seed and path; `SEED=123`
 * repeats a run.
 */
const RUNS = Number(process.env.RUNS ?? 150);
const OPTIONS = { numRuns: RUNS } as const;
/** Many runs on a slow machine take their time; that is no failure. */
vi.setConfig({ testTimeout: 600_000 });
const START = planStart(SMALL);
const PLAN = { topOff: planTopOff(SMALL), heat: planHeat(SMALL, "heater-1") as HeatPlan };

const met = noneMet();

const isFresh = (reading: Reading<unknown> | null): boolean =>
  reading !== null && reading.fault === null && reading.ageMs <= CONTACT_STALE_MS;
const says = (reading: Reading<boolean> | null, wanted: boolean): boolean =>
  isFresh(reading) && reading?.value === wanted;

describe("random walks of the whole scan", () => {
  test("S1: the pump is on only while pouring, unlocked, with nothing in the way and the charge on disk", () => {
    const scanned = (box: Box) => {
      if (!box.pumpOn) {
        expect(box.commands["water-guard"]).toBe(false);
        return;
      }
      const { readings, board, durableSequence } = box.image as Image;
      expect(box.commands["water-guard"]).toBe(true);
      expect(box.record.topOff).toMatchObject({ state: "pouring", latch: null, waterGuardLatch: null, blockers: [] });
      expect(box.record.hold).toMatchObject({ active: false, question: false });
      expect(durableSequence).toBeGreaterThanOrEqual(box.topOff.chargeSequence);
      expect(box.stored(TOP_OFF).chargeUl).toBeGreaterThanOrEqual(PLAN.topOff.chargeUl);
      expect(board).toBe("ready");
      expect(says(readings["working-float"], false)).toBe(true);
      expect(says(readings["high-float"], false)).toBe(true);
      expect(says(readings["floor-sensor"], false)).toBe(true);
      expect(says(readings["reservoir-float"], true)).toBe(true);
      expect(says(readings["mains-sensor"], true)).toBe(true);
      expect(says(readings["return-sensor"], true)).toBe(true);
    };
    fc.assert(
      fc.property(walkArbitrary, (events) => walk(events, met, { scanned })),
      OPTIONS,
    );
  });

  test("S2: never more litres than bucket and leak, nor more excess than its limit, through every kill", () => {
    // The worst pump that is covered: a quarter stronger than proven, and it coasts at every stop.
    const perMs = PLAN.topOff.chargedFlowUlPerMs;
    const coastUl = PLAN.topOff.coastUl * 1.25;
    /** What a kill may add: the output that was on stays on until it expires, and a charge covers half of that. */
    const oneScanUl = OUTPUT_EXPIRY_MS * perMs + coastUl;
    const overChargeUl = (OUTPUT_EXPIRY_MS - creditMostMs(SMALL)) * perMs;
    const property = fc.property(fc.oneof(walkArbitrary, killingWalkArbitrary), (events) => {
      let pouredUl = 0;
      let excessUl = 0;
      let allowedUl = PLAN.topOff.bucketSizeUl;
      let kills = 0;
      let on = false;
      const pours = (ul: number) => {
        pouredUl += ul;
        excessUl += ul;
        expect(pouredUl).toBeLessThanOrEqual(allowedUl + oneScanUl + kills * overChargeUl);
        expect(excessUl).toBeLessThanOrEqual(PLAN.topOff.excessLimitUl + oneScanUl + kills * overChargeUl);
      };
      walk(events, met, {
        killed: () => {
          if (on) {
            kills += 1;
            pours(oneScanUl);
          }
          on = false;
        },
        scanned: (box) => {
          const { elapsedMs } = box.image as Image;
          const creditMs = Math.min(elapsedMs, 2 * SMALL.scanMs);
          if (on) pours(Math.min(elapsedMs, OUTPUT_EXPIRY_MS) * perMs);
          if (on && !box.pumpOn) pours(coastUl);
          on = box.pumpOn;
          allowedUl += creditMs * PLAN.topOff.bucketUlPerMs;
          excessUl = Math.max(0, excessUl - creditMs * PLAN.topOff.lowestEvaporationUlPerMs);
          // A hand test is the only evidence that bounds it anew. One that finds more than was poured is believed too, but
          // a kill before it is on disk forgets it, and no water of ours was in it.
          const tested = (box.image as Image).requests.find(({ kind }) => kind === "hand-test");
          if (tested !== undefined && isAccepted(box, tested.id)) {
            excessUl = Math.min(excessUl, unspent(box.topOff).excessUl);
          }
        },
      });
    });
    fc.assert(property, OPTIONS);
  });

  test("S3: a lock on disk, or memory lost at a kill: locked and pump off until a clear was accepted", () => {
    const property = fc.property(walkArbitrary, (events) => {
      let locked = false;
      walk(events, met, {
        killed: (_box, found) => {
          if (found !== "sound") locked = true;
        },
        scanned: (box) => {
          const cleared = box.record.outcomes.some(({ accepted, why }) => accepted && why.startsWith("Cleared"));
          if (cleared) locked = false;
          if (locked) {
            expect(box.latch).not.toBeNull();
            expect(box.pumpOn).toBe(false);
          }
          if (box.stored(TOP_OFF).latch !== null && box.latch !== null) locked = true;
        },
      });
    });
    fc.assert(property, OPTIONS);
  });

  test("S4: the heater is on only with a temperature below the cut-out, guard closed, no lock, no hold with heat", () => {
    const scanned = (box: Box) => {
      if (!box.heaterOn) return;
      const { heat } = box;
      const { thermometers, quantities, hold } = box.record;
      expect(box.commands["heat-guard"]).toBe(true);
      expect((box.image as Image).board).toBe("ready");
      expect(heat.latch).toBeNull();
      expect(hold.active && hold.withHeat).toBe(false);
      const known = thermometers.flatMap(({ value }) => (value === null ? [] : [value]));
      const warmest = known.length > 0 ? Math.max(...known) : quantities.warmest.value;
      expect(warmest).not.toBeNull();
      expect(warmest).toBeLessThan(SMALL.heat.cutOutC);
      // Without flow it holds the setpoint in its own chamber, which is marked and no doubt of the thermometer.
      if (quantities.temperature.quality !== "good" && quantities.temperature.doubt !== "own-chamber")
        expect(heat.state).toBe("cautious");
    };
    fc.assert(
      fc.property(walkArbitrary, (events) => walk(events, met, { scanned })),
      OPTIONS,
    );
  });

  test("S5a: nothing is energised before its wait is served, after every start and every reset of the board", () => {
    const property = fc.property(walkArbitrary, (events) => {
      let readyMs = START.steadyMs;
      walk(events, met, {
        killed: () => {
          readyMs = 0;
        },
        scanned: (box) => {
          const { elapsedMs, board } = box.image as Image;
          readyMs = board === "ready" ? readyMs + Math.min(elapsedMs, 2 * SMALL.scanMs) : 0;
          if (readyMs < START.steadyMs) for (const part of OUTPUT_PARTS) expect(box.commands[part], part).toBe(false);
          if (box.pumpOn) expect(readyMs).toBeGreaterThanOrEqual(START.steadyMs);
          if (box.heaterOn) expect(readyMs).toBeGreaterThanOrEqual(START.steadyMs);
        },
      });
    });
    fc.assert(property, OPTIONS);
  });
});

/** Litres without what is charged and not poured. */
const unspent = ({ excessUl, chargeUl, pourUl, state }: Box["topOff"]) => ({
  excessUl: excessUl - chargeUl + pourUl + (state === "settling" ? PLAN.topOff.coastUl * 1.25 : 0),
});

describe("S6: one reading replaced by a bad one", () => {
  test("any walk, any part: no output on that was off, no amount, latch or wait more permissive", () => {
    const places = [...INPUT_PARTS, "board"] as const;
    const property = fc.property(walkArbitrary, fc.nat(), (events, first) => {
      let turn = first;
      walk(events, met, {
        scanned: (box) => {
          turn += 1;
          compare(box, places[turn % places.length] as InputPart | "board");
        },
      });
    });
    fc.assert(property, OPTIONS);
  });
});

/** The scan that was, and the same with one part gone. */
function compare(box: Box, part: InputPart | "board"): void {
  const image = box.image as Image;
  const worse = step(box.before, withoutPart(image, part), SMALL);
  const { commands, memory } = box;
  const at = `${part} gone`;
  for (const output of ["top-off-pump", "water-guard"] as const) {
    expect(worse.commands[output] && !commands[output], `${output}, ${at}`).toBe(false);
  }
  if (!isRestrictedMode(box, part, worse)) {
    for (const output of ["heater-1", "heat-guard"] as const) {
      const turnsOn = worse.commands[output] && !commands[output] && !box.before.volatile.commands[output];
      if (output === "heat-guard" && opensInThisScan(box)) continue;
      expect(turnsOn, `${output}, ${at}`).toBe(false);
    }
    const keepsOn = worse.commands["heater-1"] && !commands["heater-1"];
    if (keepsOn) expect(worse.record.heaters[0]?.state, at).toBe("cautious");
  }
  expectNoMorePermissive(box.before, memory, worse.memory, part, at);
}

/** A cut-out, or a test for a weld, that needs one more reading to begin, begins a scan later without it. */
function opensInThisScan({ before, memory }: Box): boolean {
  const [was, is] = [before, memory].map((each) => keptIn(each, HEAT["heater-1"])) as [HeatMemory, HeatMemory];
  const latches = is.durable.latch?.occurrence !== was.durable.latch?.occurrence;
  const opens = is.volatile.guardOpenMs > 0 && was.volatile.guardOpenMs === 0;
  return latches || (is.volatile.cut && !was.volatile.cut) || opens;
}

/**
 * Named restricted mode: *cautious heat*. A temperature that was bad already and stays bad goes on being heated with
 * care, where its return would have ended that. Its bound is the cautious duty, a property of its own below.
 */
function isRestrictedMode(
  box: Box,
  part: InputPart | "board",
  worse: { commands: Commands; record: Box["record"] },
): boolean {
  const { first, second, conductivity } = box.before.volatile.signals;
  const wasBad =
    (part === "thermometer-1" && first.probe.value === null) ||
    (part === "thermometer-2" && second.probe.value === null) ||
    (part === "conductivity-probe" &&
      (conductivity.temperature.value === null || conductivity.conductivity.value === null));
  return wasBad && worse.record.heaters[0]?.state === "cautious";
}

/**
 * Named exceptions: a latch, or an amount on the way to one, that is made of *evidence* waits where the evidence is
 * missing; the part itself blocks meanwhile.
 */
const EVIDENCE: Record<string, readonly (InputPart | "board")[]> = {
  "high-float-wet": ["high-float", "return-sensor"],
  "floor-wet": ["floor-sensor"],
  "floats-contradict": ["working-float", "high-float", "low-float", "return-sensor"],
  "unordered-water": ["working-float", "return-sensor"],
  "failed-pours": ["working-float", "high-float"],
  "working-float-stuck": ["working-float", "return-sensor"],
  "emptied-early": ["reservoir-float"],
  "excess-litres": INPUT_PARTS,
  "heat-cut-out": ["thermometer-1", "thermometer-2", "conductivity-probe"],
  "heater-welded": ["thermometer-1", "thermometer-2", "conductivity-probe"],
};

function expectNoMorePermissive(
  before: Memory,
  sound: Memory,
  worse: Memory,
  part: InputPart | "board",
  at: string,
): void {
  const excused = (reason: string) => part === "board" || (EVIDENCE[reason] ?? []).includes(part);
  for (const key of [TOP_OFF, HEAT["heater-1"]]) {
    const latchIn = (memory: Memory) => keptIn<{ latch: LatchMemory | null }, unknown>(memory, key).durable.latch;
    const latch = latchIn(sound);
    if (latch === null || latchIn(worse) !== null) continue;
    const isNew = latchIn(before)?.occurrence !== latch.occurrence;
    expect(isNew, `${key.name} lost ${latch.reason}, ${at}`).toBe(true);
    expect(excused(latch.reason), `${key.name} lost ${latch.reason}, ${at}`).toBe(true);
  }
  const a = keptIn(sound, TOP_OFF).durable;
  const b = keptIn(worse, TOP_OFF).durable;
  // A charge of which nothing was poured yet is neither spent nor free.
  const waiting = ({ state, pourMs, chargeUl }: typeof a) =>
    state === "confirming" || (state === "pouring" && pourMs === 0) ? chargeUl : 0;
  const least = (value: number, limit: number, what: string) =>
    expect(value, `${what}, ${at}`).toBeGreaterThanOrEqual(limit - 1e-3);
  least(a.bucketUl + waiting(a), b.bucketUl + waiting(b), "bucket");
  least(b.excessUl - waiting(b), a.excessUl - waiting(a), "excess");
  // A clear that was granted begins rest and confirm anew; with the part gone it is refused and the lock stays.
  const sameLatch = a.latch?.occurrence === b.latch?.occurrence;
  if (sameLatch) least(a.confirmMs, b.confirmMs, "confirm");
  if (sameLatch && a.state === b.state && a.failures === b.failures) least(b.restMs, a.restMs, "rest");
  if (!excused("high-float-wet")) {
    least(b.highWetMs, a.highWetMs, "high wet");
    least(b.touchesMs, a.touchesMs, "touches");
  }
  if (!excused("floor-wet")) least(b.floorWetMs, a.floorWetMs, "floor wet");
  if (!excused("floats-contradict")) least(b.contradictionMs, a.contradictionMs, "contradiction");
  if (!excused("failed-pours")) least(b.failures, a.failures, "failures");
  const [p, q] = [sound.volatile.start, worse.volatile.start];
  for (const amount of ["steadyMs", "heatSteadyMs", "readyMs", "suppliedMs", "flowMs"] as const) {
    least(p[amount], q[amount], amount);
  }
  const [g, h] = [keptIn(sound, HOLD).durable, keptIn(worse, HOLD).durable];
  least(h.leftMs, g.leftMs, "hold");
  // A hold that goes on has not asked yet.
  if (h.leftMs === 0) least(Number(h.question), Number(g.question), "question");
  const [was, is, would] = [before, sound, worse].map((each) => keptIn(each, HEAT["heater-1"]).volatile) as [
    HeatVolatile,
    HeatVolatile,
    HeatVolatile,
  ];
  if (!excused("heat-cut-out")) least(would.hotMs, is.hotMs, "hot");
  if (was.cut && is.cut) expect(would.cut, `cut, ${at}`).toBe(true);
}

function withoutPart(image: Image, part: InputPart | "board"): Image {
  if (part === "board") return { ...image, board: "silent" };
  if (image.readings[part] === null) return image;
  const gone = { value: null, fault: "disconnected", ageMs: 60_000, sample: 0 } as const;
  return { ...image, readings: { ...image.readings, [part]: gone } };
}

const isAccepted = (box: Box, id: string): boolean =>
  box.record.outcomes.some((outcome) => outcome.id === id && outcome.accepted);

describe("S7: one request, asked in every scan of a walk", () => {
  test("any kind of request: turns on nothing in its scan, but for heat after a clear, a hold or the end of a hold", () => {
    const property = fc.property(
      walkArbitrary,
      fc.array(askedArbitrary, { minLength: 1, maxLength: 8 }),
      (events, asked) => {
        let turn = 0;
        walk(events, met, {
          scanned: (box) => {
            const image = box.image as Image;
            turn += 1;
            const request = { ...asked[turn % asked.length], id: `s7-${turn}` } as Image["requests"][number];
            const quiet = step(box.before, { ...image, requests: [] }, SMALL);
            const asking = step(box.before, { ...image, requests: [request] }, SMALL);
            for (const output of OUTPUT_PARTS) {
              if (!asking.commands[output] || quiet.commands[output]) continue;
              expect(output).toMatch(/^heat/);
              expect(["clear", "end-hold", "hold"]).toContain(request.kind);
            }
          },
        });
      },
    );
    fc.assert(property, OPTIONS);
  });
});

function doubtfulBox(dutyWeek: number): Box {
  const box = new Box(SMALL, { "thermometer-1": 24, "thermometer-2": "nothing", probeTemperature: null });
  return box.remembers(HEAT["heater-1"], { dutyWeek, dutyKnownMs: 7 * 86_400_000 });
}

test("cautious duty, 2,000 scans in any rhythm, late whenever on: heater on for no more than its share and one cycle", () => {
  const usual = fc.array(fc.constantFrom(250, 500, 1_000), { minLength: 1, maxLength: 4 });
  const wild = fc.array(fc.constantFrom(0, 250, 1_000, 5_000, 70_000), { minLength: 1, maxLength: 10 });
  const rhythm = fc.oneof(usual, wild);
  // The adversary knows whether the heater is on.
  const property = fc.property(rhythm, rhythm, fc.constantFrom(0.5, 0.2), (whileOn, whileOff, share) => {
    let onMs = 0;
    let allMs = 0;
    const cycleMs = PLAN.heat.cautiousCycleMs;
    const box = doubtfulBox(share);
    for (let scan = 0; scan < 2_000; scan++) {
      const steps = box.heaterOn ? whileOn : whileOff;
      const elapsedMs = steps[scan % steps.length] as number;
      // What was switched on falls off by itself when the next scan is late.
      if (box.heaterOn) onMs += Math.min(elapsedMs, OUTPUT_EXPIRY_MS);
      allMs += elapsedMs;
      box.scan(elapsedMs);
      expect(onMs).toBeLessThanOrEqual(share * allMs + share * cycleMs + OUTPUT_EXPIRY_MS);
    }
  });
  fc.assert(property, { ...OPTIONS, numRuns: 60 });
});

afterAll(() => {
  if (process.env.MET !== undefined) process.stderr.write(`${JSON.stringify(met)}\n`);
  // Properties of walks that never poured would hold for a pump that is not there.
  if (process.env.SEED !== undefined) return;
  for (const [what, times] of Object.entries(met)) expect(times, what).toBeGreaterThan(50);
});
