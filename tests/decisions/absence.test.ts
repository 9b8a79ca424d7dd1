import { describe, expect, test } from "vitest";
import { calibrationDue } from "../../controller/decisions/calibration/falls-due.ts";
import { reservoirDue } from "../../controller/decisions/ledger/falls-due.ts";
import { proofsDue } from "../../controller/decisions/proving/falls-due.ts";
import { everythingProven, olderProofs, voided } from "../../controller/decisions/proving/memory.ts";
import { measurementDue } from "../../controller/decisions/top-off/falls-due.ts";
import { planTopOff } from "../../controller/decisions/top-off/plan.ts";
import { type Due, describeOutlook, forecastAbsence, sortDues } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { METRIC } from "../../shared/units/index.ts";

/** The answer beforehand. Figures are worked out by hand for the reference tank: 140 L at 35, 4 L of reservoir. */

const SETTINGS = rehearsalSettings();
const PER_DAY = { value: 1.5, uncertainty: 0.3 };
const DAY_MS = 86_400_000;

const proofs = (days: number) => olderProofs(everythingProven(SETTINGS), days * DAY_MS);
const dueOf = (of: string, all: readonly Due[]) => all.find((due) => due.of === of);

describe("when each part runs out or falls due", () => {
  // 4 / 1.5 = 2.667 d = 64.0 h; with all doubt against us 4 / 1.8 = 2.222 d = 53.3 h; 2 L half of it.
  test("reservoir of 4 L, 1.5 ± 0.3 L a day: empty in 64 h, at the earliest 53.3 h; 2 L left: 32 h and 26.7 h", () => {
    expect(reservoirDue(4, 4, PER_DAY)).toMatchObject({ inH: 64, earliestH: 53.3, renewedH: 53.3 });
    expect(reservoirDue(2, 4, PER_DAY)).toMatchObject({ inH: 32, earliestH: 26.7, renewedH: 53.3 });
  });

  test("litres never told: nobody can tell, a full one lasts as long; nothing evaporates: for ever", () => {
    expect(reservoirDue(null, 4, PER_DAY)).toMatchObject({ inH: null, earliestH: null, renewedH: 53.3 });
    expect(reservoirDue(4, 4, { value: 0, uncertainty: 0 })).toMatchObject({ inH: null, renewedH: null });
  });

  // 140 · 2 / (35 − 2) = 8.485 L open. A fill of 100 mL coasts 20 more: counted 1.25 · 1.2 · 1.5 = 2.25, credible
  // 0.8 · 1.5 = 1.2: 1.05 L a day, 8.081 d = 193.9 h. At 1.8 a day 2.7 − 1.2 = 1.5: 5.657 d = 135.8 h. Half used: half.
  test("unexplained litres 0 and half of 8.48 L: measurement due in 193.9 h (135.8 h) and 97 h (67.9 h)", () => {
    const plan = planTopOff(SETTINGS);
    expect(measurementDue({ excessUl: 0 }, plan, PER_DAY)).toMatchObject({ inH: 193.9, earliestH: 135.8 });
    const half = measurementDue({ excessUl: plan.excessLimitUl / 2 }, plan, PER_DAY);
    expect(half).toMatchObject({ inH: 97, earliestH: 67.9, renewedH: 135.8 });
    expect(measurementDue({ excessUl: 9e6 }, plan, PER_DAY)).toMatchObject({ inH: 0, earliestH: 0 });
  });

  test("so little evaporates that all of it is credible: nobody is asked to measure", () => {
    expect(measurementDue({ excessUl: 0 }, planTopOff(SETTINGS), { value: 0.7, uncertainty: 0 })).toBeNull();
  });

  test("everything proven 30 days ago: high float due in 5 days, pump in 335; voided: now", () => {
    const due = proofsDue(proofs(30), SETTINGS);
    expect(dueOf("high float", due)).toMatchObject({ inH: 120, renewedH: 840 });
    expect(dueOf("residual-current device", due)).toMatchObject({ inH: 120 });
    expect(dueOf("top-off pump", due)).toMatchObject({ inH: 335 * 24, renewedH: 365 * 24 });
    expect(dueOf("high float", proofsDue(voided(proofs(30), "high-float"), SETTINGS))).toMatchObject({ inH: 0 });
    expect(dueOf("second heater", due)).toBeUndefined();
  });

  test("cell calibrated 10 days ago: due in 20; 40 days ago: now", () => {
    expect(calibrationDue(10)).toMatchObject({ inH: 480, earliestH: 480, renewedH: 720 });
    expect(calibrationDue(40)).toMatchObject({ inH: 0 });
  });
});

const due = (change: Partial<Due>): Due => ({
  kind: "proof",
  of: "high float",
  inH: 100,
  earliestH: 100,
  renewedH: 840,
  ...change,
});

describe("the answer beforehand", () => {
  test.each([
    ["earliest 99.9 h, from 100 h on", due({ earliestH: 99.9 }), 100, 200, "before", "before-leaving"],
    ["earliest 100 h, from 100 h on", due({}), 100, 200, "within", "before-leaving"],
    ["earliest 100 h, back in 100 h", due({}), 0, 100, "after", "nothing"],
    ["expected after, earliest within", due({ inH: 300, earliestH: 100 }), 0, 200, "within", "before-leaving"],
    ["nobody can tell", due({ inH: null, earliestH: null }), 0, 200, "unknown", "before-leaving"],
    ["a proof that lasts 840 h, away for 840 h", due({}), 0, 840, "within", "before-leaving"],
    ["a proof that lasts 840 h, away for 841 h", due({}), 0, 841, "within", "stays-due"],
    [
      "a reservoir that lasts 53 h, away for 54 h",
      due({ kind: "reservoir", renewedH: 53 }),
      99,
      153,
      "within",
      "sitter",
    ],
    ["a lock", due({ kind: "lock", inH: 0, earliestH: 0, renewedH: null }), 0, 1000, "within", "before-leaving"],
  ] as const)("%s: %s", (_, one, fromH, toH, when, remedy) => {
    expect(forecastAbsence([one], { fromH, toH })).toMatchObject({ verdict: remedy, rows: [{ when, remedy }] });
  });

  /** Hand-computed above: reservoir 53.3 h, measurement 135.8 h, high float in 35 days, calibration in 30. */
  const healthy = sortDues([
    ...proofsDue(proofs(0), SETTINGS),
    calibrationDue(0),
    measurementDue({ excessUl: 0 }, planTopOff(SETTINGS), PER_DAY) as Due,
    reservoirDue(4, 4, PER_DAY),
  ]);

  test("healthy box, two days: nothing falls due", () => {
    const words = describeOutlook(forecastAbsence(healthy, { fromH: 0, toH: 48 }), METRIC);
    expect(words).toMatchObject({ verdict: "Nothing runs out or falls due before you are back.", asks: [] });
    expect(words.lasts[0]).toBe("The reservoir holds 4 L and is empty in 2 days.");
  });

  // 336 h / 53.3 h = 6.3: full six times after the first, the first 53.3 h after leaving.
  test("healthy box, 14 days: refill six times, the first within 2 days, and one measurement within 5; nothing else", () => {
    const words = describeOutlook(forecastAbsence(healthy, { fromH: 0, toH: 336 }), METRIC);
    expect(words.verdict).toBe(
      "2 things run out or fall due before you are back, and somebody must come meanwhile, for the reservoir and a measurement of the salinity.",
    );
    expect(words.asks).toEqual([
      "The reservoir holds 4 L and is empty in 2 days. Fill it to 4 L before you leave: that lasts 2 days at least. Have it refilled 6 times, first in 2 days, no later.",
      "The salinity is to be measured by hand in 8 days, at the earliest in 5 days: after that less is poured, or nothing. Measure and enter it before you leave, and have somebody with a meter do so again in 5 days, no later.",
    ]);
  });

  test("14 days from the 25th day on: both monthly proofs and the calibration before leaving, in words", () => {
    const { asks } = describeOutlook(forecastAbsence(healthy, { fromH: 600, toH: 936 }), METRIC);
    expect(asks).toContain(
      "Due to be proven again in 35 days: high float and residual-current device. Prove before you leave.",
    );
    expect(asks).toContain(
      "The calibration of the conductivity probe falls due in 30 days. Calibrate before you leave.",
    );
  });

  test("40 days in a box without top-off: nobody must come, two lines fall due again and wait", () => {
    const dry = [...proofsDue(proofs(0), SETTINGS), calibrationDue(0)];
    const words = describeOutlook(forecastAbsence(dry, { fromH: 0, toH: 960 }), METRIC);
    expect(words.verdict).toMatch(/^2 things .* what falls due then waits for you\.$/);
    expect(words.asks.join(" ")).toMatch(/falls due again in 35 days, and waits for you/);
  });

  test("a lock stands: named first, to be cleared before leaving", () => {
    const locked = sortDues([...healthy, due({ kind: "lock", of: "Top-off", inH: 0, earliestH: 0, renewedH: null })]);
    const { asks } = describeOutlook(forecastAbsence(locked, { fromH: 0, toH: 24 }), METRIC);
    expect(asks).toEqual(["Top-off is locked. Find its cause and clear it before you leave."]);
  });

  // 4 L / 3.785411784 = 1.06 US gal (definition of the gallon).
  test("gallons chosen: 1.1 US gal", () => {
    const gallons = { ...METRIC, volume: "US gal" } as const;
    const { asks } = describeOutlook(forecastAbsence(healthy, { fromH: 0, toH: 336 }), gallons);
    expect(asks[0]).toMatch(/holds 1\.1 US gal .* Fill it to 1\.1 US gal/);
  });
});
