import { describe, expect, test } from "vitest";
import { arbitrate, type Proposal } from "../../controller/decisions/arbitrate.ts";
import {
  endHold,
  followHold,
  type HoldMemory,
  holdAfterRestart,
  holdInDoubt,
  holdStatus,
  NO_HOLD,
  startHold,
} from "../../controller/decisions/hold/hold.ts";
import {
  FRESH_START,
  followStart,
  hasFlow,
  isHeatSteady,
  isLevelSettled,
  isSteady,
  isSupplied,
  planStart,
  type StartFacts,
  type StartMemory,
  startStatus,
} from "../../controller/decisions/start.ts";
import type { TopOffVerdict } from "../../controller/decisions/top-off/machine.ts";
import { proposePour } from "../../controller/decisions/top-off/proposal.ts";
import type { ContactSignal } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { elapsed } from "../elapsed.ts";

describe("arbitrate, all 64 proposals: a pump or heater on only behind its closed guard, each guard by its own cause", () => {
  const bits = [false, true];
  const OUTPUTS = [
    ["top-off-pump", "water-guard"],
    ["heater-1", "heat-guard"],
    ["heater-2", "heat-guard-2"],
  ] as const;
  const wishes = bits.flatMap((on) => bits.map((guardClosed) => ({ on, guardClosed, guardUnderTest: false })));
  const rows = wishes.flatMap((pump) => wishes.flatMap((first) => wishes.map((second) => [pump, first, second])));
  const proposed = (row: (typeof rows)[number]): Proposal[] =>
    OUTPUTS.map(([relay, guard], place) => ({ relay, guard, ...(row[place] as (typeof wishes)[number]) }));
  test.each(rows)("pump %j, heater %j, second heater %j: each relay behind its own closed guard", (...row) => {
    const commands = arbitrate(proposed(row));
    for (const [place, [relay, guard]] of OUTPUTS.entries()) {
      const wish = row[place] as (typeof wishes)[number];
      expect([commands[relay], commands[guard]]).toEqual([wish.on && wish.guardClosed, wish.guardClosed]);
      // What one machine no longer proposes leaves the others: a water cause never removes heat.
      const others = arbitrate(proposed(row).filter((each) => each.relay !== relay));
      expect(others).toEqual({ ...commands, [relay]: false, [guard]: false });
    }
  });
  test.each([
    [true, false, true],
    [true, true, false],
    [false, false, false],
    [false, true, false],
  ])("pour %s, water guard latched %s: pump and water guard both %s", (pour, guardLatched, closed) => {
    const verdict = { pour, memory: { guardLatched } } as TopOffVerdict;
    const commands = arbitrate([proposePour(verdict, null)]);
    expect([commands["top-off-pump"], commands["water-guard"]]).toEqual([closed, closed]);
  });
  test("nothing proposed: everything off", () => {
    expect(Object.values(arbitrate([]))).toEqual([false, false, false, false, false, false]);
  });
});

const contact = (position: ContactSignal["position"] | "not-fitted"): ContactSignal => ({
  position: position === "not-fitted" ? "unknown" : position,
  doubt: position === "not-fitted" ? "not-fitted" : position === "unknown" ? "stale" : null,
  ageMs: 0,
  chattering: false,
});

describe("waits of a start", () => {
  const plan = planStart(rehearsalSettings());
  const fine: StartFacts = {
    elapsed: elapsed(500),
    board: "ready",
    inputsKnown: true,
    temperatureKnown: true,
    mains: contact("on"),
    returnPump: contact("on"),
  };
  const after = (minutes: number, facts: Partial<StartFacts> = {}, from = FRESH_START) => {
    let memory = from;
    for (let ms = 0; ms < minutes * 60_000; ms += 500) memory = followStart(memory, { ...fine, ...facts }, plan);
    return memory;
  };
  const served = after(11);

  const rows: [
    name: string,
    facts: Partial<StartFacts>,
    steady: number,
    heatSteady: number,
    supplied: boolean,
    settled: boolean,
  ][] = [
    ["all is well", {}, 60_000, 60_000, true, true],
    ["a float fails", { inputsKnown: false }, 60_000, 60_000, true, true],
    ["temperature fails", { temperatureKnown: false }, 60_000, 60_000, true, true],
    ["board silent", { board: "silent" }, 0, 0, true, true],
    ["board reset", { board: "restarted" }, 0, 0, true, true],
    ["mains lost", { mains: contact("off") }, 60_000, 60_000, false, true],
    ["mains unknown", { mains: contact("unknown") }, 60_000, 60_000, false, true],
    ["return pump stops", { returnPump: contact("off") }, 60_000, 60_000, false, false],
    ["return pump unknown", { returnPump: contact("unknown") }, 60_000, 60_000, false, false],
  ];
  test.each(rows)("waits served, then %s", (_name, facts, steadyMs, heatSteadyMs, supplied, settled) => {
    const next = followStart(served, { ...fine, ...facts }, plan);
    expect(next).toMatchObject({ steadyMs, heatSteadyMs });
    expect(isSupplied(next, plan)).toBe(supplied);
    expect(isLevelSettled(next, plan)).toBe(settled);
  });

  test("30 s in, floats or temperature fail for one scan: their own count 0, the other goes on", () => {
    const early = after(0.5);
    expect(followStart(early, { ...fine, inputsKnown: false }, plan)).toMatchObject({
      steadyMs: 0,
      heatSteadyMs: 30_500,
    });
    expect(followStart(early, { ...fine, temperatureKnown: false }, plan)).toMatchObject({
      steadyMs: 30_500,
      heatSteadyMs: 0,
    });
  });

  test("20 min without floats or board: no supply credited; supplied after 10 min with them, not after 9.9", () => {
    expect(after(20, { inputsKnown: false }).suppliedMs).toBe(0);
    expect(after(20, { board: "silent" }).suppliedMs).toBe(0);
    expect(isSupplied(after(9.9), plan)).toBe(false);
    expect(isSupplied(after(10), plan)).toBe(true);
  });

  test("flow for heat: after 2 min of return pump; stopped: only where a thermometer shares the chamber", () => {
    const hasFlowFor = (start: StartMemory, sharesChamber: boolean) => hasFlow(start, plan, sharesChamber);
    const stopped = after(3, { returnPump: contact("off") });
    expect([hasFlowFor(stopped, false), hasFlowFor(stopped, true)]).toEqual([false, true]);
    expect([hasFlowFor(after(1.9), false), hasFlowFor(after(1.9), true)]).toEqual([false, false]);
    expect([hasFlowFor(after(2), false), hasFlowFor(after(2), true)]).toEqual([true, true]);
    expect(followStart(served, { ...fine, board: "silent" }, plan)).toMatchObject({ readyMs: 0, flowMs: 120_000 });
    expect(followStart(served, { ...fine, returnPump: contact("off") }, plan)).toMatchObject({
      flowMs: 0,
      flow: "off",
    });
  });

  test("return pump stops: level unsettled for 5 min, not 4.9", () => {
    const stopped = followStart(served, { ...fine, returnPump: contact("off") }, plan);
    expect(stopped.flowChangedMs).toBe(0);
    expect(isLevelSettled(after(4.9, { returnPump: contact("off") }, stopped), plan)).toBe(false);
    expect(isLevelSettled(after(5, { returnPump: contact("off") }, stopped), plan)).toBe(true);
  });

  test("status after 30 s: 30 s, 570 s and 90 s left; all served: 0; pump stopped or temperature lost: their own waits", () => {
    expect(startStatus(after(0.5), plan)).toEqual({
      steady: false,
      steadyLeftMs: 30_000,
      topOffLeftMs: 570_000,
      heatLeftMs: 90_000,
    });
    expect(startStatus(served, plan)).toEqual({ steady: true, steadyLeftMs: 0, topOffLeftMs: 0, heatLeftMs: 0 });
    const apart = { ...plan, sharesChamber: false };
    const stopped = after(3, { returnPump: contact("off") });
    expect(startStatus(stopped, apart).heatLeftMs).toBe(120_000);
    expect(startStatus(after(3, { temperatureKnown: false }), plan).heatLeftMs).toBe(60_000);
    expect(startStatus({ ...served, steadyMs: 0 }, plan).topOffLeftMs).toBe(60_000);
    expect([isSteady(after(1), plan), isSteady(after(0.9), plan)]).toEqual([true, false]);
    expect([isHeatSteady(after(1), plan), isHeatSteady(after(0.9), plan)]).toEqual([true, false]);
  });

  test("mains and return pump without sensors: supplied after 10 min, level settled at once", () => {
    const blind = { mains: contact("not-fitted"), returnPump: contact("not-fitted") };
    expect(isSupplied(after(10, blind), plan)).toBe(true);
    expect(isLevelSettled(after(0.1, blind), plan)).toBe(true);
  });
});

describe("a hold as amounts", () => {
  const ask = (memory: HoldMemory, at: "tank" | "network", minutes: number) =>
    startHold(memory, { kind: "hold", id: "x", at, minutes });

  test("60 min at the tank, then 30 over the network: heat stays off, 60 left; 61 over the network: refused", () => {
    const { memory } = ask(ask(NO_HOLD, "tank", 60).memory, "network", 30);
    expect(memory).toMatchObject({ withHeat: true, leftMs: 60 * 60_000 });
    // And nobody from afar keeps the heat off for longer than whoever stands at the tank has asked for.
    expect(ask(memory, "network", 60).accepted).toBe(true);
    expect(ask(memory, "network", 61)).toEqual({
      memory,
      accepted: false,
      why: "Somebody at the tank holds the heat too: only there it is made longer.",
    });
  });

  test("hold with heat ended over the network: refused, unless somebody is at the tank; a hold without heat: ended", () => {
    const { memory } = ask(NO_HOLD, "tank", 60);
    const request = { kind: "end-hold", id: "x", at: "network", answer: "evaporation" } as const;
    expect(endHold(memory, request, false)).toEqual({
      memory,
      accepted: false,
      why: "Hands may be in: a hold that was started at the tank is ended there, because the heater comes back with its end.",
    });
    expect(endHold(memory, request, true).memory.leftMs).toBe(0);
    expect(endHold(ask(NO_HOLD, "network", 60).memory, request, false).memory.leftMs).toBe(0);
  });

  test("over: question stays open for hours, until full, answered or held again; that hold asks again at its end", () => {
    let memory = followHold({ ...ask(NO_HOLD, "tank", 1).memory, leftMs: 250 }, false, elapsed(250));
    expect(memory).toMatchObject({ leftMs: 0, question: true });
    for (let scan = 0; scan < 1_000; scan++) memory = followHold(memory, false, elapsed(70_000, 500));
    expect(memory.question).toBe(true);
    expect(followHold(memory, true, elapsed(0)).question).toBe(false);
    expect(
      endHold(memory, { kind: "end-hold", id: "x", at: "network", answer: "salt-water-added" }, false).memory.question,
    ).toBe(false);
    expect(ask(memory, "network", 5).memory.question).toBe(false);
    expect(
      endHold(ask(memory, "network", 5).memory, { kind: "end-hold", id: "x", at: "network", answer: null }, true).memory
        .question,
    ).toBe(true);
  });

  test("no hold: end refused", () => {
    expect(endHold(NO_HOLD, { kind: "end-hold", id: "x", at: "tank", answer: "evaporation" }, true).accepted).toBe(
      false,
    );
  });

  test("restart: full length again; no hold or only its question: unchanged", () => {
    const { memory } = ask(NO_HOLD, "tank", 60);
    expect(holdAfterRestart({ ...memory, leftMs: 1 }).leftMs).toBe(60 * 60_000);
    expect(holdAfterRestart(NO_HOLD)).toBe(NO_HOLD);
    expect(holdAfterRestart({ ...memory, leftMs: 0, question: true })).toMatchObject({ leftMs: 0, question: true });
  });
});

describe("a hold beside the witness, memory in doubt", () => {
  const MINUTE_MS = 60_000;
  const heldFor = (minutes: number, withHeat: boolean): HoldMemory => {
    const ms = minutes * MINUTE_MS;
    return { ...NO_HOLD, leftMs: minutes === 0 ? 0 : 1, fullMs: ms, withHeat, question: true, sinceMs: 5 };
  };
  const witness = (minutes: number, withHeat: boolean, question = false) => ({
    holdMs: minutes * MINUTE_MS,
    withHeat,
    question,
  });
  type Row = [story: string, memory: [number, boolean], saw: [number, boolean], minutes: number, withHeat: boolean];
  const rows: Row[] = [
    ["is what the witness saw, where the memory knows of none", [0, false], [60, true], 60, true],
    ["takes nothing from a hold that was over", [0, true], [60, false], 60, false],
    ["is the longer of the two", [90, true], [30, true], 90, true],
    ["is the longer of the two, whichever it is", [30, false], [90, false], 90, false],
    ["keeps the heat off if either did: hands may be in", [60, true], [30, false], 60, true],
    ["keeps the heat off if the witness says so", [30, false], [60, true], 60, true],
    ["is never longer with the heat off than a person may ask for", [240, false], [60, true], 120, true],
    ["nor without", [0, false], [241, false], 240, false],
  ];
  test.each(rows)("%s: %j and %j become %d min, heat off %s", (_, memory, saw, minutes, withHeat) => {
    const ms = minutes * MINUTE_MS;
    expect(holdInDoubt(heldFor(...memory), witness(...saw))).toEqual({
      ...NO_HOLD,
      leftMs: ms,
      fullMs: ms,
      withHeat,
      sinceMs: 0,
    });
  });
  test("witness knows none: its own at full length; no hold: the very same", () => {
    for (const seen of [null, witness(0, true)]) {
      expect(holdInDoubt(heldFor(60, false), seen)).toEqual({ ...heldFor(60, false), leftMs: 60 * MINUTE_MS });
    }
    expect(holdInDoubt(NO_HOLD, witness(0, true))).toBe(NO_HOLD);
  });
  test("own question open, or witness's or none known: open; a hold that goes on: asked at its end", () => {
    const over: HoldMemory = { ...NO_HOLD, question: true, questionForMs: 7 };
    for (const seen of [null, witness(0, false), witness(0, false, true)]) {
      expect(holdInDoubt(over, seen)).toBe(over);
    }
    for (const seen of [null, witness(0, false, true)]) {
      expect(holdInDoubt(NO_HOLD, seen)).toEqual({ ...NO_HOLD, question: true });
    }
    // One that lasts asks at its end.
    expect(holdInDoubt(NO_HOLD, witness(60, true, true)).question).toBe(false);
  });
});

describe("a hold, asked for and ended", () => {
  const ask = (memory: HoldMemory, at: "tank" | "network", minutes: number) =>
    startHold(memory, { kind: "hold", id: "x", at, minutes });
  const end = (memory: HoldMemory, answer: "salt-water-added" | "evaporation" | null) =>
    endHold(memory, { kind: "end-hold", id: "x", at: "tank", answer }, true);

  test.each([
    ["tank", 0.99, false],
    ["tank", 1, true],
    ["tank", 120, true],
    ["tank", 121, false],
    ["network", 240, true],
    ["network", 241, false],
    ["tank", Number.NaN, false],
  ] as const)("at the %s for %d minutes: accepted %s", (at, minutes, accepted) => {
    const asked = ask(NO_HOLD, at, minutes);
    expect(asked.accepted).toBe(accepted);
    if (!accepted) {
      expect(asked.memory).toBe(NO_HOLD);
      expect(asked.why).toBe(`A hold lasts from 1 to ${at === "tank" ? 120 : 240} minutes here.`);
    }
  });

  test("30 min at the tank: with heat, answer says so; 1.5 over the network: heat goes on, answer says to unplug", () => {
    expect(ask(NO_HOLD, "tank", 30)).toEqual({
      memory: { ...NO_HOLD, leftMs: 1_800_000, fullMs: 1_800_000, withHeat: true, sinceMs: 0 },
      accepted: true,
      why: "Pouring is stopped for 30 minutes. The heater is off too.",
    });
    const afar = ask(NO_HOLD, "network", 1.5);
    expect(afar.memory).toMatchObject({ leftMs: 90_000, withHeat: false });
    expect(afar.why).toBe(
      "Pouring is stopped for 2 minutes. The heater goes on working: unplug it before hands go in.",
    );
  });

  test("shorter over the network: stays as long; at the tank: shortened; after a hold with heat was over: heat on", () => {
    const { memory } = ask(NO_HOLD, "tank", 60);
    expect(ask(memory, "network", 5).memory.leftMs).toBe(3_600_000);
    expect(ask(memory, "tank", 5).memory.leftMs).toBe(300_000);
    expect(ask({ ...memory, leftMs: 0 }, "network", 5).memory.withHeat).toBe(false);
  });

  test("ended with an answer: over; without: question open; answered then: closed; no answer to it or no hold: refused", () => {
    const { memory } = ask(NO_HOLD, "tank", 60);
    expect(end(memory, "evaporation")).toMatchObject({
      memory: { leftMs: 0, question: false, questionForMs: 0, sinceMs: 0 },
      accepted: true,
      why: "The hold is over.",
    });
    const asking = end(memory, null).memory;
    expect(asking.question).toBe(true);
    expect(end({ ...asking, questionForMs: 9 }, "evaporation")).toMatchObject({
      memory: { question: false, questionForMs: 0 },
      accepted: true,
      why: "Thank you; top-off goes on.",
    });
    expect(end(asking, null)).toEqual({
      memory: asking,
      accepted: false,
      why: "Say whether salt water was added or it is evaporation.",
    });
    expect(end(NO_HOLD, "evaporation").why).toBe("There is no hold to end.");
  });

  test("counts down by credited time, over: question by elapsed time; answered or full: none; all of them bounded", () => {
    const { memory } = ask(NO_HOLD, "tank", 1);
    const half = followHold(memory, true, elapsed(30_000, 500));
    expect(half).toMatchObject({ leftMs: 59_500, question: false, questionForMs: 0, sinceMs: 0 });
    const asking = followHold({ ...memory, leftMs: 400 }, false, elapsed(30_000, 500));
    expect(asking).toMatchObject({ leftMs: 0, question: true, questionForMs: 0, sinceMs: 0 });
    const later = followHold(asking, false, elapsed(30_000, 500));
    expect(later).toMatchObject({ question: true, questionForMs: 30_000, sinceMs: 500 });
    expect(followHold(later, true, elapsed(30_000, 500))).toMatchObject({ question: false, questionForMs: 0 });
    const answered = followHold({ ...later, question: false }, false, elapsed(30_000, 500));
    expect(answered).toMatchObject({ question: false, questionForMs: 0, sinceMs: 1_000 });
    expect(followHold(NO_HOLD, false, elapsed(500))).toBe(NO_HOLD);
    expect(followHold({ ...NO_HOLD, sinceMs: NO_HOLD.sinceMs - 1 }, false, elapsed(500)).sinceMs).toBe(NO_HOLD.sinceMs);
    const most = followHold({ ...asking, questionForMs: NO_HOLD.sinceMs }, false, elapsed(500));
    expect(most.questionForMs).toBe(NO_HOLD.sinceMs);
  });

  test("status: active with heat and ms left; over: no heat, question with its ms", () => {
    const { memory } = ask(NO_HOLD, "tank", 1);
    expect(holdStatus(memory)).toEqual({
      active: true,
      withHeat: true,
      leftMs: 60_000,
      question: false,
      questionForMs: 0,
    });
    expect(holdStatus({ ...memory, leftMs: 0, question: true, questionForMs: 7 })).toEqual({
      active: false,
      withHeat: false,
      leftMs: 0,
      question: true,
      questionForMs: 7,
    });
    expect(holdStatus(ask(NO_HOLD, "network", 1).memory)).toMatchObject({ active: true, withHeat: false });
  });
});

describe("arbitrate with one guard under test, everything proposed", () => {
  const all = [
    ["top-off-pump", "water-guard"],
    ["heater-1", "heat-guard"],
    ["heater-2", "heat-guard-2"],
  ] as const;
  test.each([
    [null, true, true, true],
    ["water-guard", false, true, true],
    ["heat-guard", true, false, true],
    ["heat-guard-2", true, true, false],
  ] as const)("%s open: water $1, heat $2, second heat $3", (underTest, water, heat, secondHeat) => {
    const wish = { on: true, guardClosed: true };
    const proposals = all.map(([relay, guard]) => ({ relay, guard, ...wish, guardUnderTest: guard === underTest }));
    expect(arbitrate(proposals)).toEqual({
      "top-off-pump": true,
      "water-guard": water,
      "heater-1": true,
      "heat-guard": heat,
      "heater-2": true,
      "heat-guard-2": secondHeat,
    });
  });
});
