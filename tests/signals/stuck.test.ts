import { describe, expect, test } from "vitest";
import { FRESH_CONDUCTIVITY, readConductivity } from "../../controller/signals/conductivity.ts";
import {
  FRESH_THERMOMETER,
  ROOM_THERMOMETER,
  readThermometer,
  type ThermometerScene,
  WATER_THERMOMETER,
} from "../../controller/signals/thermometer.ts";

const HOUR_MS = 3_600_000;
/** A scan a second, so that six hours are few. */
const SCENE: ThermometerScene = {
  creditMs: 1_000,
  elapsedMs: 1_000,
  gap: false,
  rateMeansNothing: false,
  heaterSwitched: false,
};

function thermometer(
  hours: number,
  valueAt: (ms: number) => number,
  change: Partial<ThermometerScene> = {},
  kind = WATER_THERMOMETER,
) {
  let memory = FRESH_THERMOMETER;
  let signal = readThermometer(memory, null, kind, SCENE).signal;
  for (let ms = 0; ms < hours * HOUR_MS; ms += 1_000) {
    const scene = { ...SCENE, ...change, heaterSwitched: change.heaterSwitched === true && ms === HOUR_MS };
    const reading = { value: valueAt(ms), fault: null, ageMs: 100, sample: ms };
    ({ memory, signal } = readThermometer(memory, reading, kind, scene));
  }
  return signal;
}

describe("a thermometer that stands still for six hours", () => {
  test("is stuck where the heater has switched meanwhile", () => {
    expect(thermometer(6.1, () => 25, { heaterSwitched: true })).toMatchObject({ quality: "bad", doubt: "stuck" });
  });
  test("is believed where it has not", () => {
    expect(thermometer(6.1, () => 25)).toMatchObject({ quality: "good" });
  });
  test("is believed for less, and when it moves by one step", () => {
    expect(thermometer(5.9, () => 25, { heaterSwitched: true }).quality).toBe("good");
    expect(thermometer(8, (ms) => (ms < 3 * HOUR_MS ? 25 : 25.07), { heaterSwitched: true }).quality).toBe("good");
  });
  test("is believed in a room", () => {
    expect(thermometer(8, () => 22, { heaterSwitched: true }, ROOM_THERMOMETER).quality).toBe("good");
  });
});

describe("a thermometer that moves faster than 3 K/h", () => {
  const slope = (kelvinPerHour: number) => (ms: number) => 25 - (kelvinPerHour * ms) / HOUR_MS;
  test("is doubted after twenty full minutes, not before", () => {
    expect(thermometer(0.3, slope(4)).doubt).toBeNull();
    expect(thermometer(0.4, slope(4))).toMatchObject({ quality: "uncertain", doubt: "rate" });
  });
  test("is believed at 2.9 K/h", () => {
    expect(thermometer(1, slope(2.9)).doubt).toBeNull();
  });
  test("is believed in a hold", () => {
    expect(thermometer(1, slope(4), { rateMeansNothing: true }).doubt).toBeNull();
  });
  test("is believed in a room", () => {
    expect(thermometer(1, slope(4), {}, ROOM_THERMOMETER).doubt).toBeNull();
  });
});

describe("conductivity", () => {
  function cell(hours: number, noise: number, bubbles = false, own: number | null = 25) {
    let memory = FRESH_CONDUCTIVITY;
    let signals = readConductivity(memory, null, 1_000, 1_000, false, false).signals;
    for (let ms = 0; ms < hours * HOUR_MS; ms += 1_000) {
      const conductivityMsPerCm = 53 + ((ms / 1_000) % 2 === 0 ? noise : -noise);
      const reading = { value: { conductivityMsPerCm, temperatureC: own }, fault: null, ageMs: 100, sample: ms };
      ({ memory, signals } = readConductivity(memory, reading, 1_000, 1_000, false, bubbles));
    }
    return signals;
  }
  test("without any noise for an hour is stuck, whatever the heater does", () => {
    expect(cell(1.01, 0).conductivity).toMatchObject({ quality: "bad", doubt: "stuck" });
    expect(cell(0.99, 0).conductivity.quality).toBe("good");
    expect(cell(2, 0.001).conductivity.quality).toBe("good");
  });
  test("among bubbles is uncertain and keeps its value", () => {
    expect(cell(0.01, 0.01, true).conductivity).toMatchObject({ quality: "uncertain", doubt: "bubbles" });
  });
  test("an instrument without a thermometer of its own has conductivity and no temperature", () => {
    const signals = cell(0.01, 0.01, false, null);
    expect(signals.conductivity.quality).toBe("good");
    expect(signals.temperature.value).toBeNull();
  });
});
