import { describe, expect, test } from "vitest";
import { CALIBRATION } from "../../controller/decisions/calibration/key.ts";
import { HOLD } from "../../controller/decisions/hold/key.ts";
import { PRESENCE } from "../../controller/decisions/presence.ts";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { Round, underSettings } from "../../controller/decisions/round.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import { sense } from "../../controller/scan/sense.ts";
import type { Request } from "../../shared/contract/index.ts";
import { Box, SETTINGS, type Sight } from "../scan/box.ts";

/** One round of all machines: whoever it concerns answers, and one refusal refuses the whole. */
function roundOf(sight: Sight = {}): Round {
  const box = Box.atRest(sight).scan();
  const { durable, volatile } = box.memory;
  const sensed = sense(box.memory, { ...box.image!, requests: [] }, box.settings);
  return new Round(box.memory.machines, sensed, { ...volatile, sequence: durable.sequence });
}
type Asked = Request extends infer Each ? (Each extends Request ? Omit<Each, "id" | "at"> : never) : never;
const ask = (round: Round, request: Asked, at: Request["at"] = "tank") =>
  round.answer({ id: "asked", at, ...request } as Request);

describe("a request that concerns several machines", () => {
  test("prove top-off-pump: proving notes the run, top-off begins it, proving alone speaks", () => {
    const round = roundOf();
    expect(ask(round, { kind: "prove", part: "top-off-pump", seconds: 10 })).toEqual({
      accepted: true,
      why: "The pump runs for 10 s. Hold the tube over a jug.",
    });
    expect(round.keptOf(PROVING).volatile.proving.run).toMatchObject({ part: "top-off-pump", phase: "running" });
    expect(round.keptOf(PROVING).durable.running).toBe("top-off-pump");
    expect(round.keptOf(TOP_OFF).durable).toMatchObject({ state: "proving", provingMs: 10_000 });
  });
  test("prove top-off-pump with a wet floor: top-off refuses, and proving has noted nothing", () => {
    const round = roundOf({ "floor-sensor": "wet" });
    const before = round.keptOf(PROVING);
    expect(ask(round, { kind: "prove", part: "top-off-pump", seconds: 10 })).toEqual({
      accepted: false,
      why: "There is water on the floor.",
    });
    expect(round.keptOf(PROVING)).toBe(before);
    expect(round.keptOf(TOP_OFF).durable.state).toBe("resting");
  });
  test("hold in the middle of a proving run: the hold begins, the run is over for proving and for top-off", () => {
    const round = roundOf();
    ask(round, { kind: "prove", part: "top-off-pump", seconds: 10 });
    expect(ask(round, { kind: "hold", minutes: 5 }).accepted).toBe(true);
    expect(round.keptOf(HOLD).durable).toMatchObject({ leftMs: 300_000, withHeat: true });
    expect(round.keptOf(PROVING).volatile.proving).toMatchObject({ run: null, lastRun: { ending: "interrupted" } });
    // A millisecond is left, so that its litres are settled as those of a run.
    expect(round.keptOf(TOP_OFF).durable).toMatchObject({ state: "proving", provingMs: 1 });
  });
  test("hold of no length in the middle of a proving run: refused, and the run goes on", () => {
    const round = roundOf();
    ask(round, { kind: "prove", part: "top-off-pump", seconds: 10 });
    expect(ask(round, { kind: "hold", minutes: 0 }).accepted).toBe(false);
    expect(round.keptOf(PROVING).volatile.proving.run?.part).toBe("top-off-pump");
    expect(round.keptOf(TOP_OFF).durable.provingMs).toBe(10_000);
  });
  test("a mark that leaves less room: calibration takes it, proving voids the level, both speak", () => {
    const round = roundOf();
    const { highFloatMm } = SETTINGS.tank;
    const answer = ask(round, { kind: "calibrate", step: "mark", mark: "high-float-mm", mm: highFloatMm - 3 });
    expect(answer).toMatchObject({
      accepted: true,
      why: expect.stringMatching(/^Noted\. .* prove that level again\.$/),
    });
    expect(round.keptOf(CALIBRATION).durable.values["high-float-mm"]?.value).toBe(highFloatMm - 3);
    expect(round.keptOf(PROVING).durable.parts["pump-off-level"].ageMs).toBeNull();
    // Taken back, the mark is another again.
    ask(round, { kind: "undo-calibration", number: round.keptOf(CALIBRATION).durable.numbers });
    expect(round.keptOf(CALIBRATION).durable.values["high-float-mm"]).toBeNull();
  });
  test("a level proven with its height: proving and the calibration that it builds on change together", () => {
    const round = roundOf({ "return-sensor": "gone" });
    const shown = { part: "pump-off-level", leftMs: 5, ranMs: 0, reading: null } as const;
    const { durable, volatile } = round.keptOf(PROVING);
    const proving = { ...volatile.proving, shown };
    const known = { ...round.memories(), proving: { durable, volatile: { ...volatile, proving } } };
    const next = new Round(known, round, { commands: round.commanded, offForMs: round.offForMs, sequence: 1 });
    expect(ask(next, { kind: "proven", part: "pump-off-level", mm: 61 }).accepted).toBe(true);
    expect(next.keptOf(CALIBRATION).durable.values["pump-off-level-mm"]?.value).toBe(61);
    expect(next.keptOf(PROVING).durable.parts["pump-off-level"].reading).toEqual({ value: 61, unit: "mm" });
  });
  test("two requests of one scan: the second sees what the first has changed", () => {
    const round = roundOf();
    expect(ask(round, { kind: "prove", part: "thermometer-1", seconds: 60 }).accepted).toBe(false);
    ask(round, { kind: "hold", minutes: 5 });
    expect(ask(round, { kind: "prove", part: "thermometer-1", seconds: 60 }).accepted).toBe(true);
  });
  test("no machine's business: refused", () => {
    expect(ask(roundOf(), { kind: "acknowledge", alarm: "all" })).toEqual({
      accepted: false,
      why: "Nothing in this box answers to that.",
    });
  });
  test("before: as it was before this request, and afterwards as it was at the beginning of the scan", () => {
    const round = roundOf();
    const began = round.keptOf(PRESENCE);
    ask(round, { kind: "at-tank", minutes: 5 });
    expect(round.before(PRESENCE)).toBe(began);
    expect(round.keptOf(PRESENCE).volatile.atTankMs).toBe(300_000);
  });
});

describe("memories", () => {
  test("are never changed in place", () => {
    const { machines } = Box.atRest().memory;
    const before = structuredClone(machines);
    const round = roundOf();
    const known = round.memories();
    const copy = { ...known };
    ask(round, { kind: "hold", minutes: 5 });
    round.watch(round.commanded);
    expect(known).toEqual(copy);
    expect(machines).toEqual(before);
  });
  test("under the file that they were made under: the very same", () => {
    const { machines } = Box.atRest().memory;
    expect(underSettings(machines, SETTINGS, false)).toBe(machines);
  });
  test("under a file with another mark: the calibration and the proof of that part fall, the others stay", () => {
    const box = Box.atRest().asks({ kind: "calibrate", step: "mark", mark: "high-float-mm", mm: 75, at: "tank" });
    const file = { ...SETTINGS, tank: { ...SETTINGS.tank, highFloatMm: 68 } };
    const under = underSettings(box.memory.machines, file, false);
    const kept = <Own>({ name }: { readonly name: string; readonly types?: readonly [Own, unknown, unknown] }): Own =>
      under[name]?.durable as Own;
    expect(kept(CALIBRATION).values["high-float-mm"]).toBeNull();
    expect(kept(PROVING).parts["pump-off-level"]).toMatchObject({ ageMs: null, changed: "settings" });
    expect(kept(PROVING).parts["top-off-pump"].ageMs).not.toBeNull();
    expect(under[TOP_OFF.name]).toBe(box.memory.machines[TOP_OFF.name]);
  });
});
