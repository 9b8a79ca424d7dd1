import type { ReadingFault, ThermometerReading } from "../../shared/contract/reading.ts";
import type { Register, TemperatureUnit, Thermistor } from "../../shared/settings/index.ts";
import {
  betaTemperature,
  celsiusFromFahrenheit,
  celsiusFromKelvin,
  ds18b20Temperature,
  fahrenheit,
  kelvin,
  ohms,
  type ScratchpadFault,
} from "../../shared/units/index.ts";
import type { Heard } from "../boards/index.ts";
import { reading, unusable } from "./reading.ts";
import { numberFrom } from "./register.ts";
import { numberInText } from "./text.ts";

/** °C from a register of a transmitter. Whether it can be true is for the signals to say. */
export const thermometerReading = (
  words: Heard<readonly number[]>,
  register: Pick<Register, "type" | "wordOrder" | "scale" | "offset">,
  nowMs: number,
): ThermometerReading => reading(words, nowMs, (raw) => numberFrom(raw, register));

/** °C from the memory of a DS18B20. */
export const oneWireReading = (scratchpad: Heard<readonly number[]>, nowMs: number): ThermometerReading =>
  reading(scratchpad, nowMs, (bytes) => {
    const found = ds18b20Temperature(bytes);
    return found.kind === "good" ? found.value : unusable(FAULTS[found.reason]);
  });

const FAULTS: Record<ScratchpadFault, ReadingFault> = {
  "wrong-length": "garbled",
  "all-zero": "all-zero",
  "no-device": "open-circuit",
  crc: "garbled",
  "not-a-thermometer": "garbled",
  "power-on-value": "power-on-value",
  starved: "not-a-number",
  "out-of-range": "not-a-number",
};

/** Nearer than this to an end of the supply the pin sees a broken or a shorted wire, not a thermistor in water. */
const END_OF_SUPPLY = 0.02;

/** °C from an NTC between the pin and ground, with a resistor to the supply. */
export const thermistorReading = (
  shareOfSupply: Heard<number>,
  { seriesOhms, ohmsAt25C, betaK }: Thermistor,
  nowMs: number,
): ThermometerReading =>
  reading(shareOfSupply, nowMs, (share) => {
    if (share < END_OF_SUPPLY) return unusable("short-circuit");
    if (share > 1 - END_OF_SUPPLY) return unusable("open-circuit");
    const resistance = ohms((seriesOhms * share) / (1 - share));
    return betaTemperature(resistance, { R0: ohms(ohmsAt25C), beta: kelvin(betaK) });
  });

/** °C from what an instrument wrote. */
export const textThermometerReading = (text: Heard<string>, unit: TemperatureUnit, nowMs: number): ThermometerReading =>
  reading(text, nowMs, (written) => {
    const value = numberInText(written);
    return value === null ? null : CELSIUS_FROM[unit](value);
  });

const CELSIUS_FROM: Record<TemperatureUnit, (value: number) => number> = {
  "°C": (value) => value,
  "°F": (value) => celsiusFromFahrenheit(fahrenheit(value)),
  K: (value) => celsiusFromKelvin(kelvin(value)),
};
