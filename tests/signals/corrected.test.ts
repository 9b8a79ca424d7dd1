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

describe("a thermometer with a correction", () => {
  test("25 °C and −0.5 K: 24.5 °C, age and sample as read", () => {
    expect(correctedTemperature(SAID, -0.5)).toEqual({ ...SAID, value: 24.5 });
    expect(correctedTemperature(SAID, 0)).toEqual(SAID);
  });
  test("open circuit or not fitted, +0.5 K: still that fault, no value", () => {
    expect(correctedTemperature(BROKEN, 0.5)).toEqual(BROKEN);
    expect(correctedTemperature(null, 0.5)).toBeNull();
  });
  test("asSaid of 25.25 °C less 0.25 K: 25 °C, quality and last value as they are; no value: unchanged", () => {
    expect(asSaid(SIGNAL, 0.25)).toEqual({ ...SIGNAL, value: 25 });
    expect(asSaid(SIGNAL, -0.25)).toEqual({ ...SIGNAL, value: 25.5 });
    expect(asSaid(SIGNAL, 0)).toEqual(SIGNAL);
    expect(asSaid(notFitted, -0.5)).toEqual(notFitted);
  });
  test("doubt of 0.2 K instead of 0.5: uncertainty 0.2; no value: none", () => {
    expect(withDoubt(SIGNAL, 0.2)).toEqual({ ...SIGNAL, uncertainty: 0.2 });
    expect(withDoubt(SIGNAL, 0.5)).toEqual(SIGNAL);
    expect(withDoubt(notFitted, 0.2)).toEqual(notFitted);
  });
});

describe("a cell with a factor", () => {
  test("50 mS/cm and 1.04: 52 mS/cm, its own temperature as read", () => {
    expect(correctedConductivity(CELL, 1.04)).toEqual({
      ...CELL,
      value: { conductivityMsPerCm: 52, temperatureC: 25 },
    });
    expect(correctedConductivity(CELL, 1)).toEqual(CELL);
  });
  test("no answer or not fitted, 1.04: no value", () => {
    expect(correctedConductivity(DRY, 1.04)).toEqual(DRY);
    expect(correctedConductivity(null, 1.04)).toBeNull();
  });
});

test("no calibration: 0 K, factor 1, doubt of 0.5 K each", () => {
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
