import { describe, expect, test } from "vitest";
import {
  asSaid,
  correctedConductivity,
  correctedTemperature,
  UNCORRECTED,
  withDoubt,
} from "../../controller/signals/corrected.ts";
import { notFitted } from "../../controller/signals/probe.ts";
import type { ConductivityReading, Reading, Signal, ThermometerReading } from "../../shared/contract/index.ts";

/** A correction moves what was measured and nothing else: it makes no water of a fault, and nothing older or younger. */
const SAID: ThermometerReading = { value: 25, fault: null, ageMs: 300, sample: 7 };
const BROKEN: ThermometerReading = { value: null, fault: "open-circuit", ageMs: 300, sample: 7 };
const CELL: Reading<ConductivityReading> = {
  value: { conductivityMsPerCm: 50, temperatureC: 25 },
  fault: null,
  ageMs: 300,
  sample: 7,
};
const DRY: Reading<ConductivityReading> = { value: null, fault: "no-answer", ageMs: 300, sample: 7 };
const SIGNAL: Signal = {
  value: 25.25,
  quality: "uncertain",
  doubt: "spike",
  ageMs: 300,
  uncertainty: 0.5,
  lastValue: 25.25,
  lastValueAgeMs: 100,
};

describe("a thermometer that was compared", () => {
  test("says what it said and the kelvins that were found, as old as it was", () => {
    expect(correctedTemperature(SAID, -0.5)).toEqual({ ...SAID, value: 24.5 });
    expect(correctedTemperature(SAID, 0)).toEqual(SAID);
  });
  test("is no temperature where it is broken or not there: half a kelvin is no water", () => {
    expect(correctedTemperature(BROKEN, 0.5)).toEqual(BROKEN);
    expect(correctedTemperature(null, 0.5)).toBeNull();
  });
  test("as it said it itself is the same signal without the kelvins, so that a correction never delays the cut-out", () => {
    expect(asSaid(SIGNAL, 0.25)).toEqual({ ...SIGNAL, value: 25 });
    expect(asSaid(SIGNAL, -0.25)).toEqual({ ...SIGNAL, value: 25.5 });
    expect(asSaid(SIGNAL, 0)).toEqual(SIGNAL);
    expect(asSaid(notFitted, -0.5)).toEqual(notFitted);
  });
  test("is as uncertain as the comparison left it, and a lost one has no uncertainty to be shown", () => {
    expect(withDoubt(SIGNAL, 0.2)).toEqual({ ...SIGNAL, uncertainty: 0.2 });
    expect(withDoubt(SIGNAL, 0.5)).toEqual(SIGNAL);
    expect(withDoubt(notFitted, 0.2)).toEqual(notFitted);
  });
});

describe("a cell that was calibrated", () => {
  test("measures by its factor, and its own thermometer says what it said", () => {
    expect(correctedConductivity(CELL, 1.04)).toEqual({
      ...CELL,
      value: { conductivityMsPerCm: 52, temperatureC: 25 },
    });
    expect(correctedConductivity(CELL, 1)).toEqual(CELL);
  });
  test("measures nothing where it does not answer or is not fitted", () => {
    expect(correctedConductivity(DRY, 1.04)).toEqual(DRY);
    expect(correctedConductivity(null, 1.04)).toBeNull();
  });
});

test("without a calibration nothing is moved, and a bare thermometer is doubted by half a kelvin", () => {
  expect(UNCORRECTED).toEqual({
    firstK: 0,
    secondK: 0,
    // Common practice for a bare digital thermometer.
    firstDoubtK: 0.5,
    secondDoubtK: 0.5,
    cellFactor: 1,
    changed: false,
  });
});
