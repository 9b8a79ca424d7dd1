import * as u from "../../../../shared/units/index.ts";
import type { Choice } from "../../values/kind.ts";
import * as kinds from "../../values/kinds.ts";
import { allow, ask, defineCalculator, makeResult, presume, presumeChoice, refuseOutside } from "../calculator.ts";
import { BETA, CELL, DS18B20, IEC60751, STEINHART_HART } from "../sources.ts";

const platinumKind: Choice<"Pt100" | "Pt1000"> = {
  what: "platinum thermometer",
  words: ["Pt100", "Pt1000"],
  question: "Pt100 or Pt1000?",
};

const EITHER = "From a resistance or from a temperature? Add either --resistance or --temp.";

export const platinum = defineCalculator({
  name: "platinum",
  purpose: "temperature of a platinum thermometer from its resistance, or back",
  asks: {
    sensor: presumeChoice(platinumKind, "which", "Pt100"),
    resistance: allow(kinds.resistance, "measured"),
    temp: allow(kinds.temperature, "to calculate the resistance of"),
  },
  calculate: ({ sensor, resistance, temp }) => {
    if ((resistance === undefined) === (temp === undefined)) return { refused: EITHER };
    const R0 = sensor === "Pt100" ? u.PT100 : u.PT1000;
    const t = resistance === undefined ? temp! : u.platinumTemperature(resistance, R0);
    const R = t === null ? null : u.platinumResistance(t, R0);
    if (t === null || R === null) return refuseOutside("IEC 60751", "−200 to 850 °C");
    return { results: [makeResult("temperature", t, "°C", 3), makeResult("resistance", R, "Ω", 4)], why: [IEC60751] };
  },
});

export const thermistor = defineCalculator({
  name: "thermistor",
  purpose: "temperature of an NTC thermistor from its resistance, or back",
  asks: {
    resistance: allow(kinds.resistance, "measured"),
    temp: allow(kinds.temperature, "to calculate the resistance of"),
    at25: allow(kinds.resistance, "nominal, at 25 °C, for the two-constant law"),
    beta: allow(kinds.kelvins, "of the two-constant law"),
    a: allow(kinds.plain, "Steinhart–Hart coefficient A"),
    b: allow(kinds.plain, "Steinhart–Hart coefficient B"),
    c: allow(kinds.plain, "Steinhart–Hart coefficient C"),
  },
  calculate: ({ resistance, temp, at25, beta, a, b, c }) => {
    if ((resistance === undefined) === (temp === undefined)) return { refused: EITHER };
    const law = lawOf(at25, beta, a, b, c);
    if (law === null) {
      return {
        refused: "Which thermistor? Add --at25 10kohm and --beta 3977K, or --a, --b and --c of Steinhart–Hart.",
      };
    }
    const t = resistance === undefined ? temp! : law.temperature(resistance);
    const R = t === null ? null : law.resistance(t);
    if (t === null || R === null) return refuseOutside("a thermistor", "−60 to 300 °C");
    return { results: [makeResult("temperature", t, "°C", 3), makeResult("resistance", R, "Ω", 2)], why: [law.why] };
  },
});

function lawOf(R0: u.Ohms | undefined, beta: u.Kelvin | undefined, A?: number, B?: number, C?: number) {
  if (A !== undefined && B !== undefined && C !== undefined) {
    const curve = { A, B, C };
    return {
      why: STEINHART_HART,
      temperature: (R: u.Ohms) => u.steinhartHartTemperature(R, curve),
      resistance: (t: u.Celsius) => u.steinhartHartResistance(t, curve),
    };
  }
  if (R0 === undefined || beta === undefined) return null;
  const bead = { R0, beta };
  return {
    why: BETA,
    temperature: (R: u.Ohms) => u.betaTemperature(R, bead),
    resistance: (t: u.Celsius) => u.betaResistance(t, bead),
  };
}

const FAULTS: Record<u.ScratchpadFault, string> = {
  "wrong-length": "A scratchpad has nine bytes; write them in hexadecimal, the first received first.",
  "all-zero": "All zeros: the data line is shorted. (Its check would pass.)",
  "no-device": "All ones: nothing answered on the bus.",
  crc: "The check byte does not fit: the frame was damaged on the way.",
  "not-a-thermometer": "The configuration byte is none of this thermometer's; another device answered, or badly.",
  "power-on-value": "85.0 °C is the value of power-on: no conversion has run.",
  starved: "127.94 °C: the supply collapsed during the conversion; wire its supply, do not feed it over the data line.",
  "out-of-range": "Outside −55 to 125 °C, which it cannot measure.",
};

export const ds18b20 = defineCalculator({
  name: "ds18b20",
  purpose: "temperature from the nine bytes of a DS18B20's scratchpad, or what is wrong with them",
  asks: { bytes: ask(kinds.bytes, "all nine, the check byte last") },
  calculate: ({ bytes }) => {
    const reading = u.ds18b20Temperature(bytes);
    if (reading.kind === "bad") return { refused: FAULTS[reading.reason] };
    return {
      results: [
        makeResult("temperature", reading.value, "°C", 4),
        makeResult("the same", u.fahrenheitFromCelsius(reading.value), "°F", 3),
        makeResult("resolution", reading.resolutionBits, "bit", 0),
      ],
      why: [DS18B20],
    };
  },
});

export const cell = defineCalculator({
  name: "cell-constant",
  purpose: "conductivity from a cell's conductance, or the constant that a standard gives it",
  asks: {
    constant: presume(kinds.cellConstant, "of the cell", "1/cm"),
    conductance: allow(kinds.conductance, "measured between the electrodes"),
    standard: allow(kinds.conductivity, "of the standard at its own temperature"),
    read: allow(kinds.conductivity, "what the probe reads in it, uncompensated"),
  },
  calculate: ({ constant, conductance, standard, read }) => {
    if (conductance !== undefined) {
      const kappa = u.conductivityFromConductance(conductance, constant);
      if (kappa === null) return refuseOutside("a cell", "a conductance of 0 or more, a constant above 0");
      return { results: [makeResult("conductivity", kappa, "mS/cm", 4)], why: [CELL] };
    }
    if (standard === undefined || read === undefined) {
      return { refused: "Add --conductance to measure, or --standard and --read to calibrate." };
    }
    const calibrated = u.calibratedCellConstant(constant, standard, read);
    if (calibrated === null) return refuseOutside("a calibration", "readings above 0");
    const change = (calibrated / constant - 1) * 100;
    return {
      results: [makeResult("cell constant", calibrated, "1/cm", 5), makeResult("change", change, "%", 2)],
      why: [CELL],
      notes:
        Math.abs(change) > 5
          ? ["More than 5 %: clean the cell and repeat; more than 15 %: replace it (common practice)."]
          : [],
    };
  },
});
