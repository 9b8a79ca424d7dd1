import { describe, expect, it } from "vitest";
import { sentenceOf } from "../../controller/alarms/index.ts";
import { CONDITIONS } from "../../controller/alarms/list.ts";
import type { AlarmStatus } from "../../shared/contract/index.ts";
import { bad, type Change, good, latch, recordOf, SETTINGS, uncertain } from "./healthy.ts";

const say = (change: Change = {}, alarms: readonly AlarmStatus[] = []) =>
  sentenceOf(recordOf(change, alarms), SETTINGS);
const standing = (id: string, state: AlarmStatus["state"] = "unacknowledged"): AlarmStatus => ({
  id,
  priority: "medium",
  state,
  active: state !== "returned" && state !== "latched",
  forMs: 1_000,
  first: true,
  timesInHour: 1,
});

describe("the sentence on how the box is doing", () => {
  const rows: [name: string, sentence: string, expected: string][] = [
    ["all well", say(), "All is well: 25.0 °C, salinity 35.0 ± 0.9, water at its mark."],
    [
      "doubt of a thermometer, rounded up",
      say({ quantities: { temperature: good(25.04, 0.31) } }),
      "All is well: 25.0 ± 0.4 °C, salinity 35.0 ± 0.9, water at its mark.",
    ],
    [
      "no probe fitted",
      say({ quantities: { salinity: bad("not-fitted"), conductivity: bad("not-fitted") } }),
      "All is well: 25.0 °C, water at its mark.",
    ],
    [
      "a probe that does not answer",
      say({ quantities: { salinity: bad("stale"), conductivity: bad("no-answer") } }),
      "No alarm stands: 25.0 °C, salinity unknown (the probe does not answer), water at its mark.",
    ],
    [
      "a doubtful temperature",
      say({ quantities: { temperature: uncertain(25.2, "disagrees") } }),
      "All is well: 25.2 °C (doubtful), salinity 35.0 ± 0.9, water at its mark.",
    ],
    [
      "nothing known",
      say({
        quantities: {
          temperature: bad("stale"),
          salinity: bad("stale"),
          conductivity: bad("stale"),
          level: { fromMm: null, toMm: null, estimateMm: null, state: "unknown" },
        },
      }),
      "No alarm stands: temperature unknown (the thermometer has stopped reporting), salinity unknown (the probe has stopped reporting), level unknown.",
    ],
    [
      "pouring",
      say({ topOff: { state: "pouring", why: "pouring-low" } }),
      "All is well: 25.0 °C, salinity 35.0 ± 0.9, fresh water is being topped off.",
    ],
    [
      "nobody beside the box",
      say({ board: "unattended" }),
      "Nobody is known to stand beside the box, and nothing else would switch off when this computer dies: all outputs stay off.",
    ],
    [
      "starting",
      say({ start: { steady: false, steadyLeftMs: 39_500 } }),
      "Starting: watching the inputs for another 40 s before anything is switched on.",
    ],
    [
      "started, top-off still waiting",
      say({ start: { topOffLeftMs: 500_000 } }),
      "All is well: 25.0 °C, salinity 35.0 ± 0.9, water at its mark. Top-off waits another 9 min.",
    ],
    [
      "hold at the tank",
      say({ hold: { active: true, withHeat: true, leftMs: 1_400_000 } }),
      "Hold: hands in the tank, pouring and heat are off for another 24 min.",
    ],
    [
      "hold over the network",
      say({ hold: { active: true, leftMs: 3_700_000 } }),
      "Hold: hands in the tank, pouring is off for another 1 h 2 min.",
    ],
    [
      "the question after a hold",
      say({ hold: { question: true } }),
      "The hold is over and the water does not surely stand at its mark. Say whether salt water was taken out or it is evaporation.",
    ],
    [
      "locked without an alarm",
      say({ topOff: { state: "locked", latch: latch("memory-lost") } }),
      "Top-off is locked. Nothing is known of litres poured before: so it is at a first start, and when the memory was lost. Measure the salinity, then clear the lock.",
    ],
    [
      "one alarm",
      say({}, [standing("floor-wet")]),
      "Water on the floor. Switch the power off at the breaker before you touch anything wet.",
    ],
    [
      "three alarms: the worst and how many more",
      say({}, [standing("floor-wet"), standing("temperature-low"), standing("salinity-low")]),
      "Water on the floor. Switch the power off at the breaker before you touch anything wet. And 2 more.",
    ],
    [
      "an alarm before hold and start",
      say({ hold: { active: true }, start: { steady: false } }, [standing("floor-wet", "acknowledged")]),
      "Water on the floor. Switch the power off at the breaker before you touch anything wet.",
    ],
    [
      "an alarm with its detail",
      say({ topOff: { dueL: 0.8, blockers: ["reservoir-empty"] } }, [standing("top-off-withheld")]),
      "Top-off is due and does not happen: the reservoir is empty.",
    ],
    [
      "latched, cause gone",
      say({}, [standing("floor-wet", "latched")]),
      "Water on the floor. The cause is gone: look at the water, then clear the lock.",
    ],
    [
      "held, cause gone, nobody looked",
      say({}, [{ ...standing("floor-wet"), active: false }]),
      "Water on the floor. The cause is gone: look at the water, then acknowledge it.",
    ],
    [
      "suppressed alarms say nothing",
      say({}, [standing("salinity-low", "suppressed")]),
      "All is well: 25.0 °C, salinity 35.0 ± 0.9, water at its mark.",
    ],
    [
      "an alarm that came and went",
      say({}, [standing("temperature-low", "returned")]),
      "All is well: 25.0 °C, salinity 35.0 ± 0.9, water at its mark. Over, not acknowledged: water too cold.",
    ],
  ];
  it.each(rows)("%s: $2", (_name, sentence, expected) => {
    expect(sentence).toBe(expected);
  });

  it("heat withheld with nobody beside the box: the alarm's sentence, not that of the board", () => {
    const heat = { why: "nobody-beside" } as const;
    expect(say({ board: "unattended", heat }, [standing("heat-withheld")])).toMatch(
      /^Heat is needed and does not come: nobody is known to stand beside the box/,
    );
  });

  it("any alarm in any state with two more, worst facts: 160 characters at most", () => {
    const worst: Change = {
      thermometers: [bad("power-on-value"), bad("power-on-value")],
      quantities: {
        temperature: bad("power-on-value"),
        salinity: bad("extrapolated"),
        conductivity: bad("power-on-value"),
        level: { fromMm: null, toMm: null, estimateMm: null, state: "contradiction" },
      },
      topOff: { latch: latch("unordered-water"), blockers: ["hold-question"] },
      heat: { why: "heater-no-effect" },
      start: { topOffLeftMs: 36_000_000 },
    };
    for (const { id } of CONDITIONS) {
      for (const state of ["unacknowledged", "latched", "returned"] as const) {
        for (const change of [{}, worst]) {
          const sentence = say(change, [standing(id, state), standing("floor-wet"), standing("floor-wet")]);
          expect([sentence, sentence.length <= 160]).toEqual([sentence, true]);
        }
      }
    }
    for (const unlocked of [
      { ...worst, topOff: {} },
      { ...worst, topOff: {}, start: {} },
    ]) {
      expect(say(unlocked, [standing("temperature-unknown", "returned")]).length).toBeLessThanOrEqual(160);
    }
  });
});
