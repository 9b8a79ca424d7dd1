import { describe, expect, test } from "vitest";
import { heaterNoEffect } from "../../controller/alarms/conditions/heater-no-effect.ts";
import { heatingWhileOff } from "../../controller/alarms/conditions/heating-while-off.ts";
import { HEAT } from "../../controller/decisions/heat/key.ts";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { everythingProven, setProof } from "../../controller/decisions/proving/memory.ts";
import { readWitness, witnessOf } from "../../controller/scan/witness.ts";
import { INPUT_PARTS, type InputPart } from "../../shared/contract/index.ts";
import { type Answer, DANGERS, type Danger } from "../../shared/settings/dangerous-side.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/** Stories of two heaters of half the power each. Setpoint 25, band 24.85–25.15, low limit 23, cut-out 28.5 °C. */

const HALF = { heaterW: 100, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true } as const;
const TWO: Settings = { ...SETTINGS, heat: { ...SETTINGS.heat, heaterW: 100, secondHeater: HALF } };

const both = (celsius: number): Sight => ({
  "thermometer-1": celsius,
  "thermometer-2": celsius,
  probeTemperature: celsius,
});
const heating = ({ commands }: Box) => [commands["heater-1"], commands["heater-2"]];
const guards = ({ commands }: Box) => [commands["heat-guard"], commands["heat-guard-2"]];
const second = (box: Box) => {
  const { secondHeat } = box;
  if (secondHeat === null) throw new Error("this box has one heater");
  return secondHeat;
};

describe("taking turns", () => {
  test("cold, warm, cold, warm, cold: first, none, second, none, first", () => {
    const box = Box.atRest(both(24.7), TWO).after(2);
    expect(heating(box)).toEqual([true, false]);
    expect(second(box).why).toBe("other-heaters-turn");
    expect(guards(box)).toEqual([true, true]);
    box.sees(both(25.3)).after(2);
    expect(heating(box)).toEqual([false, false]);
    box.sees(both(24.7)).after(2);
    expect(heating(box)).toEqual([false, true]);
    expect(box.heatWhy).toBe("other-heaters-turn");
    box.sees(both(25.3)).after(2);
    box.sees(both(24.7)).after(2);
    expect(heating(box)).toEqual([true, false]);
  });

  test("too cold for an hour and ten minutes with one on: both on; above the band: both off", () => {
    const box = Box.atRest(both(24), TWO).after(2);
    // It follows the heater, and is not warm enough for long.
    const risesFor = (from: number, to: number) => {
      for (let minute = from; minute < to; minute++) box.sees(both(24 + 0.01 * minute)).after(1);
    };
    risesFor(0, 66);
    expect(heating(box)).toEqual([true, false]);
    risesFor(66, 74);
    expect(heating(box)).toEqual([true, true]);
    box.sees(both(25.3)).after(2);
    expect(heating(box)).toEqual([false, false]);
  });

  test("22.8 °C at a start, below the low limit: both on, 10 to 11 s apart", () => {
    const box = new Box(TWO, both(22.8));
    box.until(({ commands }) => commands["heater-1"], 5);
    expect(heating(box)).toEqual([true, false]);
    const apartMs = box.until(({ commands }) => commands["heater-2"], 1);
    expect(heating(box)).toEqual([true, true]);
    expect(apartMs).toBeGreaterThanOrEqual(10_000);
    expect(apartMs).toBeLessThan(11_000);
  });

  test("one heater fitted, 22 °C: heater-2 and its guard off, no status", () => {
    const box = new Box(SETTINGS, both(22)).after(30);
    expect(heating(box)).toEqual([true, false]);
    expect([guards(box)[1], box.secondHeat]).toEqual([false, null]);
  });
});

describe("one of two heaters fails", () => {
  test("an hour without a rise: found without effect, the other heats and leads the next turn, alarm names the first", () => {
    const box = Box.atRest(both(24.7), TWO).after(62);
    expect(box.durable(HEAT["heater-1"]).noEffect).toBe(true);
    expect(box.durable(HEAT["heater-2"]).noEffect).toBe(false);
    box.after(1);
    expect(box.commands["heater-2"]).toBe(true);
    expect(box.record.alarms.map(({ id }) => id)).toContain("heater-no-effect");
    expect(heaterNoEffect.detail(box.record, TWO)).toBe("the first heater");
    // Next time it would have led: the other one does not wait.
    box.sees(both(25.3)).after(3);
    box.sees(both(24.7)).after(2);
    expect(box.commands["heater-2"]).toBe(true);
  });

  test("second powered while off: it alone locked, guard open; the first heats on; cleared once not powered", () => {
    const box = Box.atRest({ ...both(24.7), secondHeaterPowered: true }, TWO).afterSeconds(8);
    expect(second(box)).toMatchObject({ state: "locked", latch: { reason: "heater-seen-on" }, guard: "latched-open" });
    expect(guards(box)).toEqual([true, false]);
    expect(heating(box)).toEqual([true, false]);
    expect(heatingWhileOff.detail(box.record, TWO)).toMatch(/^the second heater, /);
    box.asks({ kind: "clear", machine: "second-heat", occurrence: 2, at: "tank" });
    expect(box.accepted).toBe(false);
    box.sees({ secondHeaterPowered: false }).asks({ kind: "clear", machine: "second-heat", occurrence: 2, at: "tank" });
    expect(box.accepted).toBe(true);
    expect(second(box).latch).toBeNull();
  });

  test("29 °C with the first on: both off and both guards open, the first locked, the second cut-out only", () => {
    const box = Box.atRest(both(24.7), TWO).after(31);
    expect(heating(box)).toEqual([true, false]);
    box.sees(both(29)).afterSeconds(20);
    expect([...heating(box), ...guards(box)]).toEqual([false, false, false, false]);
    expect(box.heatLatch).toBe("heat-cut-out");
    expect(second(box)).toMatchObject({ state: "cut-out", latch: null });
  });

  test("first not proven: stays off, the second heats at once", () => {
    const proofs = setProof(everythingProven(TWO), "heater-1", { ageMs: null, by: null, reading: null, changed: null });
    const box = Box.atRest(both(24.7), TWO);
    box.remembers(PROVING, proofs).after(2);
    expect(heating(box)).toEqual([false, true]);
    expect(box.heatWhy).toBe("not-proven");
  });

  test("second in the last chamber, low float dry: off as uncovered, guard open; the first heats on", () => {
    const low = { ...TWO, heat: { ...TWO.heat, secondHeater: { ...HALF, heaterPlace: "last-chamber" as const } } };
    const box = new Box(low, { ...both(22.5), "low-float": "dry" }).after(4);
    expect(heating(box)).toEqual([true, false]);
    expect(second(box).why).toBe("heater-uncovered");
    expect(guards(box)).toEqual([true, false]);
  });

  test("low float garbled, first uncovered: neither on in that scan", () => {
    const low = { ...TWO, heat: { ...TWO.heat, heaterPlace: "last-chamber" as const } };
    const box = Box.atRest(both(24.7), low).after(2);
    expect(heating(box)).toEqual([true, false]);
    const bad = box.twin().sees({ "low-float": "garbled" }).scan();
    expect(heating(bad)).toEqual([false, false]);
    expect(second(bad).why).toBe("other-heaters-turn");
  });
});

describe("both heaters off, water warms", () => {
  test("0.5 K/h for 150 min in a room of 22 °C: first guard open, then the second, never both; no lock, unexplained", () => {
    const box = Box.alwaysAt(both(25.4), TWO);
    const seen: string[] = [];
    for (let minute = 0; minute < 150; minute++) {
      box.sees(both(25.4 + 0.008 * minute)).after(1);
      const open = guards(box).map((closed) => !closed);
      const words = open[0] && open[1] ? "both" : open[0] ? "first" : open[1] ? "second" : "none";
      if (seen.at(-1) !== words) seen.push(words);
    }
    expect(seen).toEqual(["none", "first", "second", "none"]);
    expect([box.heatLatch, second(box).latch]).toEqual([null, null]);
    expect(heatingWhileOff.detail(box.record, TWO)).toMatch(/the room is not so warm/);
  });

  test("first locked after half an hour of heating: the second one's guard stays closed for 25 min", () => {
    const box = Box.alwaysAt(both(24.75), TWO);
    for (let minute = 0; minute < 30; minute++) box.sees(both(24.75 + 0.01 * minute)).after(1);
    expect(heating(box)).toEqual([true, false]);
    // The first one falls silent; for half an hour the slope is still its own.
    box.remembers(HEAT["heater-1"], { latch: { reason: "heater-seen-on", occurrence: 1 } });
    for (let minute = 30; minute < 55; minute++) {
      box.sees(both(24.75 + 0.01 * minute)).after(1);
      expect(guards(box)).toEqual([false, true]);
    }
  });
});

/** A cold box in which both heat, the second one placed so that it depends on what the row speaks of. */
function bothHeating(where: Danger["where"]): Box {
  const secondHeater = {
    ...HALF,
    ...(where === "heater-in-last-chamber" ? { heaterPlace: "last-chamber" as const } : {}),
    ...(where === "no-thermometer-beside-heater" ? { thermometerSharesHeaterChamber: false } : {}),
  };
  const box = new Box({ ...TWO, heat: { ...TWO.heat, secondHeater } }, both(22.5)).after(5);
  expect(heating(box)).toEqual([true, true]);
  return box;
}

/** What the dangerous side of each input does to the first heater it does to the second. */
describe("second heater, one input on its dangerous side: as the table says for the first", () => {
  const sightOf = (input: InputPart, side: Danger["side"]): Sight =>
    side === "hot" ? { [input]: TWO.heat.cutOutC + 0.6 } : { [input]: side === "on" ? "wet" : "dry" };
  const expectAnswer = (box: Box, answer: Answer) => {
    if (answer === "careful-heat") expect(second(box).state).toBe("cautious");
    else expect(box.commands["heater-2"]).toBe(answer !== "off");
  };

  test.each(INPUT_PARTS)("%s silent, old, garbled or dangerous", (input) => {
    const { side, does, unknown, where } = DANGERS[input]["heater-1"];
    const name = input === "conductivity-probe" ? "conductivity" : input;
    for (const says of ["nothing", "old", "garbled"] as const) {
      expectAnswer(
        bothHeating(where)
          .sees({ [name]: says })
          .scan(),
        unknown,
      );
    }
    if (side === null || side === "low") return;
    const box = bothHeating(where).sees(sightOf(input, side));
    expectAnswer(side === "hot" ? box.afterSeconds(10) : box.scan(), does);
  });

  test.each(["silent", "restarted", "unattended"] as const)("board %s: off", (board) => {
    expectAnswer(bothHeating(undefined).sees({ board }).scan(), DANGERS.board["heater-1"].unknown);
  });
});

describe("hands, proofs and memory", () => {
  test("hold at the tank, both on: heaters and guards off", () => {
    const box = new Box(TWO, both(22.5)).after(5);
    expect(heating(box)).toEqual([true, true]);
    box.asks({ kind: "hold", minutes: 30, at: "tank" }).afterSeconds(1);
    expect([...heating(box), ...guards(box)]).toEqual([false, false, false, false]);
  });

  test("run of heater-2: it alone on, proven after it; run of its guard: relay closed and guard open", () => {
    const box = Box.atRest(both(25), TWO);
    box.asks({ kind: "prove", part: "heater-2", seconds: 10, at: "tank" });
    expect(box.accepted).toBe(true);
    box.afterSeconds(5);
    expect(heating(box)).toEqual([false, true]);
    box.afterSeconds(8);
    expect(heating(box)).toEqual([false, false]);
    box.asks({ kind: "proven", part: "heater-2", at: "tank" });
    expect(box.accepted).toBe(true);
    box.asks({ kind: "prove", part: "heat-guard-2", seconds: 10, at: "tank" }).afterSeconds(3);
    expect([heating(box), guards(box)]).toEqual([
      [false, true],
      [true, false],
    ]);
    box.asks({ kind: "end-run", at: "tank" }).afterSeconds(1);
    expect(heating(box)).toEqual([false, false]);
  });

  test('one heater fitted: prove and clear of the second refused, "names none"; part not fitted', () => {
    const box = Box.atRest(both(25));
    box.asks({ kind: "prove", part: "heater-2", seconds: 10, at: "tank" });
    expect(box.outcome).toBe("This box has no second heater: its settings name none.");
    box.asks({ kind: "clear", machine: "second-heat", occurrence: 1, at: "tank" });
    expect(box.outcome).toBe("This box has no second heater: its settings name none.");
    expect(box.record.proving.parts["heater-2"].standing).toBe("not-fitted");
  });

  test("second locked: kept by the witness", () => {
    const box = Box.atRest({ ...both(24.7), secondHeaterPowered: true }, TWO).afterSeconds(8);
    const witness = witnessOf(box.onDisk);
    expect(witness).toMatchObject({ "heater-1": { lock: null }, "heater-2": { lock: "heater-seen-on" } });
    expect(readWitness(JSON.parse(JSON.stringify(witness)))).toEqual(witness);
  });

  test("killed in the middle of the second one's run: run over, heater off", () => {
    const box = Box.atRest(both(25), TWO);
    box.asks({ kind: "prove", part: "heater-2", seconds: 60, at: "tank" }).afterSeconds(5);
    expect(box.commands["heater-2"]).toBe(true);
    box.isKilled().after(5);
    expect(box.durable(HEAT["heater-2"]).provingMs).toBe(0);
    expect(box.commands["heater-2"]).toBe(false);
  });
});
