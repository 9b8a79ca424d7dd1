import { describe, expect, test } from "vitest";
import { calibrated, nothingCalibrated } from "../../controller/decisions/calibration/memory.ts";
import {
  everythingProven,
  FRESH_PROVING,
  nothingProven,
  type ProvingMemory,
} from "../../controller/decisions/proving/memory.ts";
import {
  begun,
  endRun,
  type Proven,
  proven,
  runRefused,
  watchRefused,
} from "../../controller/decisions/proving/requests.ts";
import { WHAT_TO_SHOW } from "../../controller/decisions/proving/words.ts";
import { PROVING_RUNS, type ProofPart, type ProvingRun } from "../../shared/contract/index.ts";
import { RUN_LEAST_S, RUN_MOST_S } from "../../shared/contract/proving.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

/** What somebody at the tank asks of a proof, and what is answered. */
const FILE = rehearsalSettings();
const proving = (change: Partial<ProvingMemory> = {}): ProvingMemory => ({ ...FRESH_PROVING, ...change });
const RUN = { part: "siphon", phase: "running", leftMs: 1, ranMs: 0, startC: null, otherC: null, sensedMs: 0 } as const;

describe("a run asked for", () => {
  const asked = (part: ProvingRun, seconds: number, memory = proving()) =>
    runRefused(memory, { kind: "prove", id: "x", at: "tank", part, seconds });
  test("none under way: begins; another under way: refused by its name", () => {
    expect(asked("siphon", 30)).toBeNull();
    expect(asked("heater-1", 30, proving({ run: RUN }))).toBe(
      "A run is under way: stop of the top-off pump (siphon). Let it end, or end it.",
    );
  });
  test.each(PROVING_RUNS)("%s: refused below its least and above its most seconds", (part) => {
    const [least, most] = [RUN_LEAST_S[part], RUN_MOST_S[part]];
    expect([asked(part, least), asked(part, most)]).toEqual([null, null]);
    for (const seconds of [least - 0.1, most + 0.1, Number.NaN]) {
      expect(asked(part, seconds)).toBe(
        `A run of this part lasts ${least === most ? "30" : `from ${least} to ${most}`} seconds.`,
      );
    }
  });
  test.each(PROVING_RUNS)("%s: begins with its seconds, shown and last run forgotten, first flow kept", (part) => {
    const before = proving({
      shown: { part: "siphon", leftMs: 5, ranMs: 5, reading: null },
      lastRun: { part: "siphon", ending: "done", why: "" },
      firstMlPerS: 20,
    });
    const watched = ["pump-off-level", "thermometer-1", "thermometer-2"].includes(part);
    expect(begun(before, { kind: "prove", id: "x", at: "tank", part, seconds: 10.4 }, !watched)).toEqual({
      ...proving({ firstMlPerS: 20 }),
      run: { ...RUN, part, phase: watched ? "watching" : "running", leftMs: 10_400 },
    });
  });
  test("end-run without a run: refused; with one: interrupted by hand", () => {
    expect(endRun(proving())).toEqual({ proving: proving(), accepted: false, why: "There is no run to end." });
    const why = "The run was ended by hand. Nothing is proven by it and nothing is lost.";
    expect(endRun(proving({ run: RUN }))).toEqual({
      proving: proving({ lastRun: { part: "siphon", ending: "interrupted", why } }),
      accepted: true,
      why,
    });
  });
});

describe("a watch", () => {
  test("level: refused while the return pump runs or is unknown, hold or not; begins when stopped or not fitted", () => {
    const level = (returnPump: "on" | "off" | "unknown" | "not-fitted", holding = false) =>
      watchRefused("pump-off-level", { holding, returnPump });
    const why = "Stop the return pump first: the watch begins when it is seen to stand still.";
    expect((["on", "unknown", "off", "not-fitted"] as const).map((flow) => level(flow))).toEqual([
      why,
      why,
      null,
      null,
    ]);
    expect(level("on", true)).toBe(why);
  });
  test("thermometer: refused outside a hold, whatever the return pump does", () => {
    for (const part of ["thermometer-1", "thermometer-2"] as const) {
      expect(watchRefused(part, { holding: true, returnPump: "on" })).toBeNull();
      expect(watchRefused(part, { holding: false, returnPump: "off" })).toBe(
        "Start a hold first: a thermometer that a hand warms would look like one that failed.",
      );
    }
  });
});

const NONE = nothingProven(FILE);
/** Ten seconds of the pump have just ended, or whatever else ran. */
const showing = (part: ProvingRun, change: Partial<ProvingMemory> = {}): Proven => ({
  proofs: { ...NONE, sinceMs: 3 },
  proving: proving({ shown: { part, leftMs: 5, ranMs: 10_000, reading: { value: 10, unit: "s" } }, ...change }),
  calibration: nothingCalibrated(FILE),
});
const says = (state: Proven, part: ProofPart, more: object = {}) =>
  proven(state, { kind: "proven", id: "x", at: "tank", part, ...more }, FILE);
const refused = (state: Proven, why: string) => ({ ...state, accepted: false, why });

describe("a part called proven", () => {
  test("another part than was run: refused with what to do, or with why its run failed", () => {
    const state = showing("heater-1");
    expect(says(state, "heat-guard")).toEqual(refused(state, WHAT_TO_SHOW["heat-guard"]));
    const lastRun = { part: "heat-guard", ending: "failed", why: "It is stuck." } as const;
    expect(says(showing("heater-1", { lastRun }), "heat-guard").why).toBe("It is stuck.");
    // What went well ten minutes ago does not count any more, and is shown anew.
    const past = { ...lastRun, ending: "done" } as const;
    expect(says(showing("heater-1", { lastRun: past }), "heat-guard").why).toBe(WHAT_TO_SHOW["heat-guard"]);
    expect(says(showing("heater-1"), "heater-1").accepted).toBe(true);
  });
  test("run of 10 s: proven, aged 0, with reading and person; once only", () => {
    const state = showing("heater-1");
    const answer = says(state, "heater-1", { by: "Kim" });
    expect(answer).toEqual({
      ...state,
      proofs: {
        ...state.proofs,
        parts: {
          ...NONE.parts,
          "heater-1": { ageMs: -3, by: "Kim", reading: { value: 10, unit: "s" }, changed: null },
        },
      },
      proving: proving(),
      accepted: true,
      why: "Proven.",
    });
    expect(says(state, "heater-1").proofs.parts["heater-1"].by).toBeNull();
    expect(says(answer, "heater-1").accepted).toBe(false);
  });
  test("part only looked at: proven without a reading, another run stays to be judged", () => {
    const state = showing("heater-1");
    const answer = says(state, "protective-device");
    expect(answer.proofs.parts["protective-device"]).toEqual({ ageMs: -3, by: null, reading: null, changed: null });
    expect(answer.proving).toBe(state.proving);
    const quiet = showing("heater-1", { shown: null });
    const looked = says(quiet, "protective-device");
    expect(looked).toMatchObject({ accepted: true, why: "Proven." });
    expect(looked.proving).toBe(quiet.proving);
  });
  test("float seen both ways: proven once, without a reading", () => {
    const seen = { position: "off", stayedMs: 1_000, settled: "off", turns: 2, leftMs: 5 } as const;
    const contacts = { ...FRESH_PROVING.contacts, "high-float": seen, "low-float": seen };
    const state = showing("heater-1", { contacts });
    const answer = says(state, "high-float");
    expect(answer).toMatchObject({ accepted: true, why: "Proven." });
    expect(answer.proofs.parts["high-float"]).toEqual({ ageMs: -3, by: null, reading: null, changed: null });
    expect(answer.proving).toEqual({
      ...state.proving,
      contacts: { ...contacts, "high-float": { ...seen, turns: 0, leftMs: 0 } },
    });
    expect(says(answer, "high-float").accepted).toBe(false);
  });
});

describe("the siphon, proven before", () => {
  /** It was proven before. */
  const state = { ...showing("siphon"), proofs: everythingProven(FILE) };
  const VOID = { ageMs: null, by: null, reading: null, changed: null };
  test("50 mL after the stop: proven with that reading", () => {
    const answer = says(state, "siphon", { ml: 50, by: "Kim" });
    expect(answer).toMatchObject({
      accepted: true,
      why: "Proven: it stops when it is told to.",
      proving: { shown: null },
    });
    expect(answer.proofs.parts.siphon).toMatchObject({ by: "Kim", reading: { value: 50, unit: "mL" } });
  });
  test.each([50.1, Number.NaN])('%d mL after the stop: proof void, "are a siphon"', (ml) => {
    const answer = says(state, "siphon", { ml });
    expect(answer).toMatchObject({ accepted: false, proving: { shown: null } });
    expect(answer.why).toBe(
      `Not proven: ${ml} mL after the stop are a siphon. End the tube in the air above the highest water, or fit a siphon break.`,
    );
    expect(answer.proofs.parts.siphon).toEqual(VOID);
  });
  test("backward flow and 0 mL: proof void; 0 mL and no backward flow: proven", () => {
    const answer = says(state, "siphon", { ml: 0, backward: true });
    expect(answer).toMatchObject({ accepted: false, proving: { shown: null } });
    expect(answer.why).toBe(
      "Not proven: water ran back into the reservoir. Lift the tube's end above the water and try again.",
    );
    expect(answer.proofs.parts.siphon).toEqual(VOID);
    expect(says(state, "siphon", { ml: 0, backward: false }).accepted).toBe(true);
  });
  test("no millilitres told: refused, asks for them", () => {
    expect(says(state, "siphon")).toEqual(
      refused(state, "Say how many millilitres ran into the jug after the pump had stopped."),
    );
  });
});

describe("the level with the return pump off", () => {
  const state = showing("pump-off-level");
  test("no measure: proven; 63 mm: proven, kept as reading and mark", () => {
    const bare = says(state, "pump-off-level");
    expect(bare).toMatchObject({ accepted: true, why: "Proven.", calibration: state.calibration });
    expect(bare.proofs.parts["pump-off-level"]).toMatchObject({ ageMs: -3, reading: null });
    const answer = says(state, "pump-off-level", { mm: 63, by: "Kim" });
    expect(answer).toMatchObject({ accepted: true, proving: { shown: null } });
    expect(answer.why).toBe("Proven. Noted. The level with the return pump off: 63 mm, before 60 mm.");
    expect(answer.proofs.parts["pump-off-level"].reading).toEqual({ value: 63, unit: "mm" });
    expect(answer.calibration.entries).toMatchObject([{ what: "pump-off-level-mm", after: 63, by: "Kim" }]);
    expect(says(state, "pump-off-level", { mm: 63 }).calibration.entries[0]?.by).toBeNull();
  });
  test("71 mm, above the high float: refused, says why", () => {
    const answer = says(state, "pump-off-level", { mm: 71 });
    expect(answer).toEqual(
      refused(
        state,
        "71 mm does not fit: tank.highFloatMm must be above tank.pumpOffLevelMm, or the high float is wet whenever the return pump stops.",
      ),
    );
  });
});

describe("the pump, ten seconds into a jug", () => {
  const state = showing("top-off-pump");
  const second = (firstMlPerS: number): Proven => showing("top-off-pump", { firstMlPerS });
  test("no millilitres, 39.9 or no number: refused; 40: taken", () => {
    expect(says(state, "top-off-pump")).toEqual(refused(state, "Say how many millilitres are in the jug."));
    for (const ml of [39.9, Number.NaN]) {
      expect(says(state, "top-off-pump", { ml })).toEqual(
        refused(state, "Less than 40 mL show no flow: run it for longer, and look at the tube for kinks and air."),
      );
    }
    expect(says(state, "top-off-pump", { ml: 40 }).accepted).toBe(true);
  });
  test("first run, 205 mL: 20.5 mL/s noted, nothing proven", () => {
    expect(says(state, "top-off-pump", { ml: 205 })).toEqual({
      ...state,
      proving: proving({ firstMlPerS: 20.5 }),
      accepted: true,
      why: "205 mL in 10.0 s are 20.5 mL/s. Empty the jug and run it once more.",
    });
  });
  test("20 and 21 mL/s: proven, 1.23 L/min in force with a doubt of a tenth; 10 % apart: still proven", () => {
    const answer = says(second(20), "top-off-pump", { ml: 210, by: "Kim" });
    expect(answer).toMatchObject({ accepted: true, proving: { shown: null, firstMlPerS: null } });
    expect(answer.why).toBe("Proven: 20.5 mL/s, 1.23 L/min from now on (before: 1.50).");
    expect(answer.proofs.parts["top-off-pump"]).toEqual({
      ageMs: -3,
      by: "Kim",
      reading: { value: 20.5, unit: "mL/s" },
      changed: null,
    });
    expect(answer.calibration.entries).toEqual([
      {
        number: 1,
        what: "top-off-flow",
        before: 1.5,
        after: expect.closeTo(1.23, 9),
        beforeNumber: null,
        ageMs: -0,
        by: "Kim",
        lot: null,
        temperatureC: null,
        standards: [],
        doubt: expect.closeTo(0.123, 9),
        standing: "in-force",
      },
    ]);
    expect(says(second(20), "top-off-pump", { ml: 210 }).calibration.entries[0]?.by).toBeNull();
    for (const [first, ml] of [
      [20, 222],
      [22.2, 200],
      [18, 200],
    ] as const) {
      expect(says(second(first), "top-off-pump", { ml }).accepted).toBe(true);
    }
  });
  test("1.4 L/min in force before: kept as the value before", () => {
    const entry = { what: "top-off-flow", before: 1.5, after: 1.4, by: null, lot: null } as const;
    const calibration = calibrated(nothingCalibrated(FILE), {
      ...entry,
      temperatureC: null,
      standards: [],
      doubt: 0.1,
    });
    const answer = says({ ...second(20), calibration }, "top-off-pump", { ml: 210 });
    expect(answer.why).toBe("Proven: 20.5 mL/s, 1.23 L/min from now on (before: 1.40).");
    expect(answer.calibration.entries.at(-1)?.before).toBe(1.4);
  });
  test.each([
    [20, 223, "223 mL in 10.0 s are 22.3 mL/s. The run before gave 20.0 mL/s: 10 % apart."],
    [20, 250, "250 mL in 10.0 s are 25.0 mL/s. The run before gave 20.0 mL/s: 20 % apart."],
    [25, 200, "200 mL in 10.0 s are 20.0 mL/s. The run before gave 25.0 mL/s: 20 % apart."],
  ])("%d mL/s, then %d mL: refused, the newer is the first run now", (first, ml, why) => {
    const before = second(first);
    const answer = says(before, "top-off-pump", { ml });
    expect(answer).toEqual({
      ...before,
      proving: proving({ firstMlPerS: ml / 10 }),
      accepted: false,
      why: `${why} Let the air out of the tube and run it once more.`,
    });
  });
  test("flow too small for the slice: refused, names topOff.sliceMl, first run forgotten", () => {
    const before = second(4);
    const answer = says(before, "top-off-pump", { ml: 40 });
    expect(answer.why).toBe(
      "This flow does not go with the settings: topOff.sliceMl must be a slice that the proven flow pours in less than 60 s. Change that, then prove the pump again.",
    );
    expect(answer).toEqual(refused({ ...before, proving: proving() }, answer.why));
  });
});
