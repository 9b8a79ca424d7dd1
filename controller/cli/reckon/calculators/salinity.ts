import * as w from "../../../../shared/seawater/index.ts";
import * as u from "../../../../shared/units/index.ts";
import { asked, calculator, optional, outside, preset, result } from "../calculator.ts";
import * as kinds from "../kinds.ts";
import { COMPENSATION, EOS80, GUM, PSS78, SEA_RANGE, STANDARD_SALT, TEOS10 } from "../sources.ts";
import { doubtAsks, doubtsOf } from "./uncertainty.ts";

export const salinity = calculator({
  name: "salinity",
  purpose: "salinity from conductivity and temperature, with its uncertainty",
  asks: {
    conductivity: asked(kinds.conductivity, "as measured"),
    temp: asked(kinds.temperature, "of the water at the probe"),
    pressure: preset(kinds.seaPressure, "sea pressure", "0dbar"),
    compensation: optional(kinds.percentPerK, "the instrument's linear compensation, if it compensated the reading"),
    reference: optional(kinds.temperature, "the temperature that it compensated to"),
    ...doubtAsks,
  },
  reckon: (given) => {
    const raw = rawOf(given);
    if (raw === null || typeof raw === "object") return raw ?? outside("the compensation", "0 to 10 %/K, −2 to 40 °C");
    const SP = w.practicalSalinity(raw, given.temp, given.pressure);
    if (SP === null) return outside("the practical salinity scale", `${SEA_RANGE}, 0 to 10000 dbar`);
    const doubt = w.salinityUncertainty({
      conductivityMsPerCm: raw,
      t90C: given.temp,
      pDbar: given.pressure,
      ...doubtsOf(given),
    });
    const extrapolated = w.salinityStanding(given.temp) === "extrapolated";
    return {
      results: [
        { ...result("practical salinity", SP, "SP", 2), ...(doubt === null ? {} : { expanded: doubt.expanded }) },
        result("absolute salinity", w.absoluteSalinity(SP)!, "g/kg", 2),
        ...(given.compensation === undefined ? [] : [result("conductivity uncompensated", raw, "mS/cm", 3)]),
      ],
      why: [PSS78, STANDARD_SALT, GUM, ...(given.compensation === undefined ? [] : [COMPENSATION])],
      notes: [
        ...(extrapolated ? ["Above 35 °C the scale is extrapolated: good arithmetic, untested sea water."] : []),
        "The ± is for the doubts of an ordinary probe unless yours were given; `reckon uncertainty` shows its parts.",
      ],
    };
  },
});

type Compensated = {
  readonly conductivity: u.MillisiemensPerCm;
  readonly temp: u.Celsius;
  readonly compensation: u.PercentPerKelvin | undefined;
  readonly reference: u.Celsius | undefined;
};

function rawOf({ conductivity, temp, compensation, reference }: Compensated) {
  if (compensation === undefined && reference === undefined) return conductivity;
  if (compensation === undefined)
    return { refused: "Compensated to that temperature, by how much? Add --compensation 2%/K." };
  if (reference === undefined)
    return { refused: "Compensated to which temperature? Add --reference 25C or what the instrument says." };
  return w.rawConductivity(conductivity, temp, { percentPerK: compensation, referenceC: reference });
}

export const rawConductivity = calculator({
  name: "raw-conductivity",
  purpose: "undo an instrument's linear temperature compensation",
  asks: {
    conductivity: asked(kinds.conductivity, "as the instrument shows it, compensated"),
    temp: asked(kinds.temperature, "of the water"),
    compensation: asked(kinds.percentPerK, "the instrument's coefficient"),
    reference: asked(kinds.temperature, "the temperature that it compensates to"),
  },
  reckon: ({ conductivity, temp, compensation, reference }) => {
    const raw = w.rawConductivity(conductivity, temp, { percentPerK: compensation, referenceC: reference });
    if (raw === null) return outside("a linear compensation", "0 to 10 %/K, −2 to 40 °C");
    return { results: [result("conductivity", raw, "mS/cm", 4)], why: [COMPENSATION] };
  },
});

export const conductivity = calculator({
  name: "conductivity",
  purpose: "conductivity of sea water of a known salinity",
  asks: {
    salinity: asked(kinds.salinity, "of the water"),
    temp: asked(kinds.temperature, "of the water"),
    pressure: preset(kinds.seaPressure, "sea pressure", "0dbar"),
  },
  reckon: ({ salinity: SP, temp, pressure }) => {
    const C = w.conductivityFromSalinity(SP, temp, pressure);
    if (C === null) return outside("the practical salinity scale", `${SEA_RANGE}, 0 to 10000 dbar`);
    return {
      results: [
        result("conductivity", C, "mS/cm", 3),
        result("the same water at 25 °C", w.conductivityFromSalinity(SP, u.celsius(25))!, "mS/cm", 3),
      ],
      why: [PSS78],
    };
  },
});

export const conductivityAt25 = calculator({
  name: "conductivity-at-25",
  purpose: "what this water would conduct at 25 °C, by sea water's own law",
  asks: {
    conductivity: asked(kinds.conductivity, "as the water has it, uncompensated"),
    temp: asked(kinds.temperature, "of the water"),
  },
  reckon: ({ conductivity: C, temp }) => {
    const at25 = w.conductivityAt25(C, temp);
    if (at25 === null) return outside("the practical salinity scale", SEA_RANGE);
    return { results: [result("conductivity at 25 °C", at25, "mS/cm", 3)], why: [PSS78] };
  },
});

export const standardAt = calculator({
  name: "standard-at",
  purpose: "what a sea-water standard labelled at 25 °C conducts at another temperature",
  asks: {
    label: asked(kinds.conductivity, "as its label says for 25 °C"),
    temp: asked(kinds.temperature, "of the standard in use"),
  },
  reckon: ({ label, temp }) => {
    const C = w.conductivityFromAt25(label, temp);
    if (C === null) return outside("the practical salinity scale", SEA_RANGE);
    return {
      results: [result("conductivity", C, "mS/cm", 3)],
      why: [PSS78],
      notes: ["For a standard of sea water; potassium chloride changes a little differently with temperature."],
    };
  },
});

export const absoluteSalinity = calculator({
  name: "absolute-salinity",
  purpose: "practical and absolute salinity, either from the other",
  asks: { salinity: asked(kinds.salinity, "on either scale") },
  reckon: ({ salinity: SP }) => {
    const SA = w.absoluteSalinity(SP);
    if (SA === null) return outside("the scale", "SP 0 to 42, 0 to 42.198 g/kg");
    return {
      results: [result("practical salinity", SP, "SP", 4), result("absolute salinity", SA, "g/kg", 4)],
      why: [STANDARD_SALT],
    };
  },
});

export const specificGravity = calculator({
  name: "specific-gravity",
  purpose: "specific gravity of sea water on a scale of two temperatures",
  asks: {
    salinity: asked(kinds.salinity, "of the water"),
    sample: asked(kinds.temperature, "of the sample, the first of the scale's two temperatures"),
    water: asked(kinds.temperature, "of the pure water it is compared with, the second"),
  },
  reckon: ({ salinity: SP, sample, water }) => {
    const sg = w.specificGravity(SP, { sampleC: sample, waterC: water });
    if (sg === null) return outside("EOS-80", SEA_RANGE);
    return { results: [result(`specific gravity ${scale(sample, water)}`, sg, "", 5)], why: [EOS80] };
  },
});

export const salinityFromSg = calculator({
  name: "salinity-from-sg",
  purpose: "salinity from a specific gravity and its two temperatures",
  asks: {
    sg: asked(kinds.gravity, "as read"),
    sample: asked(kinds.temperature, "of the sample, the first of the scale's two temperatures"),
    water: asked(kinds.temperature, "of the pure water it is compared with, the second"),
  },
  reckon: ({ sg, sample, water }) => {
    const SP = w.salinityFromSpecificGravity(sg, { sampleC: sample, waterC: water });
    if (SP === null) return outside("EOS-80", `a gravity of ${SEA_RANGE}`);
    return {
      results: [
        result("practical salinity", SP, "SP", 2),
        result("absolute salinity", w.absoluteSalinity(SP)!, "g/kg", 2),
      ],
      why: [EOS80, STANDARD_SALT],
      notes: [
        `Read on the scale ${scale(sample, water)}; 0.001 in the reading is 1.3 in salinity.`,
        "A hydrometer's glass expands and a refractometer measures light: neither is corrected here.",
      ],
    };
  },
});

const scale = (sample: u.Celsius, water: u.Celsius): string =>
  `${Number(sample.toFixed(2))}/${Number(water.toFixed(2))} °C`;

export const density = calculator({
  name: "density",
  purpose: "density of sea water at the surface, by two equations",
  asks: { salinity: asked(kinds.salinity, "of the water"), temp: asked(kinds.temperature, "of the water") },
  reckon: ({ salinity: SP, temp }) => {
    const SA = w.absoluteSalinity(SP);
    const teos10 = SA === null ? null : w.densityTeos10(SA, temp);
    const eos80 = w.densityEos80(SP, temp);
    if (teos10 === null || eos80 === null) return outside("the equations of state", SEA_RANGE);
    return {
      results: [result("density, TEOS-10", teos10, "kg/m³", 4), result("density, EOS-80", eos80, "kg/m³", 4)],
      why: [TEOS10, EOS80],
    };
  },
});

export const heatCapacity = calculator({
  name: "heat-capacity",
  purpose: "heat capacity of sea water at the surface",
  asks: {
    salinity: asked(kinds.salinity, "of the water"),
    temp: asked(kinds.temperature, "of the water"),
    volume: optional(kinds.volume, "of the water, to reckon it whole"),
  },
  reckon: ({ salinity: SP, temp, volume }) => {
    const SA = w.absoluteSalinity(SP);
    const cp = SA === null ? null : w.heatCapacity(SA, temp);
    if (SA === null || cp === null) return outside("TEOS-10", SEA_RANGE);
    const whole = volume === undefined ? [] : [(volume * w.densityTeos10(SA, temp)! * cp) / 1e6];
    return {
      results: [
        result("heat capacity", cp, "J/(kg K)", 2),
        ...whole.map((kilojoules) => result("of the whole volume", kilojoules, "kJ/K", 1)),
      ],
      why: [TEOS10],
    };
  },
});
