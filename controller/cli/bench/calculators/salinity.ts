import * as w from "../../../../shared/seawater/index.ts";
import * as u from "../../../../shared/units/index.ts";
import * as kinds from "../../values/kinds.ts";
import { allow, ask, defineCalculator, makeResult, presume, refuseOutside } from "../calculator.ts";
import { formatScale } from "../format.ts";
import { COMPENSATION, EOS80, GUM, PSS78, SEA_RANGE, STANDARD_SALT, TEOS10 } from "../sources.ts";
import { doubtAsks, doubtsOf } from "./uncertainty.ts";

export const salinity = defineCalculator({
  name: "salinity",
  purpose: "salinity from conductivity and temperature, with its uncertainty",
  asks: {
    conductivity: ask(kinds.conductivity, "as measured"),
    temp: ask(kinds.temperature, "of the water at the probe"),
    pressure: presume(kinds.seaPressure, "sea pressure", "0dbar"),
    compensation: allow(kinds.percentPerK, "the instrument's linear compensation, if it compensated the reading"),
    reference: allow(kinds.temperature, "the temperature that it compensated to"),
    ...doubtAsks,
  },
  calculate: (given) => {
    const raw = rawOf(given);
    if (raw === null || typeof raw === "object")
      return raw ?? refuseOutside("the compensation", "0 to 10 %/K, −2 to 40 °C");
    const SP = w.practicalSalinity(raw, given.temp, given.pressure);
    if (SP === null) return refuseOutside("the practical salinity scale", `${SEA_RANGE}, 0 to 10000 dbar`);
    const doubt = w.salinityUncertainty({
      conductivityMsPerCm: raw,
      t90C: given.temp,
      pDbar: given.pressure,
      ...doubtsOf(given),
    });
    const extrapolated = w.salinityStanding(given.temp) === "extrapolated";
    return {
      results: [
        { ...makeResult("practical salinity", SP, "SP", 2), ...(doubt === null ? {} : { expanded: doubt.expanded }) },
        makeResult("absolute salinity", w.absoluteSalinity(SP)!, "g/kg", 2),
        ...(given.compensation === undefined ? [] : [makeResult("conductivity uncompensated", raw, "mS/cm", 3)]),
      ],
      why: [PSS78, STANDARD_SALT, GUM, ...(given.compensation === undefined ? [] : [COMPENSATION])],
      notes: [
        ...(extrapolated ? ["Above 35 °C the scale is extrapolated: good arithmetic, untested sea water."] : []),
        "The ± is for the doubts of an ordinary probe unless yours were given; `bench uncertainty` shows its parts.",
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

export const rawConductivity = defineCalculator({
  name: "raw-conductivity",
  purpose: "undo an instrument's linear temperature compensation",
  asks: {
    conductivity: ask(kinds.conductivity, "as the instrument shows it, compensated"),
    temp: ask(kinds.temperature, "of the water"),
    compensation: ask(kinds.percentPerK, "the instrument's coefficient"),
    reference: ask(kinds.temperature, "the temperature that it compensates to"),
  },
  calculate: ({ conductivity, temp, compensation, reference }) => {
    const raw = w.rawConductivity(conductivity, temp, { percentPerK: compensation, referenceC: reference });
    if (raw === null) return refuseOutside("a linear compensation", "0 to 10 %/K, −2 to 40 °C");
    return { results: [makeResult("conductivity", raw, "mS/cm", 4)], why: [COMPENSATION] };
  },
});

export const conductivity = defineCalculator({
  name: "conductivity",
  purpose: "conductivity of sea water of a known salinity",
  asks: {
    salinity: ask(kinds.salinity, "of the water"),
    temp: ask(kinds.temperature, "of the water"),
    pressure: presume(kinds.seaPressure, "sea pressure", "0dbar"),
  },
  calculate: ({ salinity: SP, temp, pressure }) => {
    const C = w.conductivityFromSalinity(SP, temp, pressure);
    if (C === null) return refuseOutside("the practical salinity scale", `${SEA_RANGE}, 0 to 10000 dbar`);
    return {
      results: [
        makeResult("conductivity", C, "mS/cm", 3),
        makeResult("the same water at 25 °C", w.conductivityFromSalinity(SP, u.celsius(25))!, "mS/cm", 3),
      ],
      why: [PSS78],
    };
  },
});

export const conductivityAt25 = defineCalculator({
  name: "conductivity-at-25",
  purpose: "what this water would conduct at 25 °C, by sea water's own law",
  asks: {
    conductivity: ask(kinds.conductivity, "as the water has it, uncompensated"),
    temp: ask(kinds.temperature, "of the water"),
  },
  calculate: ({ conductivity: C, temp }) => {
    const at25 = w.conductivityAt25(C, temp);
    if (at25 === null) return refuseOutside("the practical salinity scale", SEA_RANGE);
    return { results: [makeResult("conductivity at 25 °C", at25, "mS/cm", 3)], why: [PSS78] };
  },
});

export const standardAt = defineCalculator({
  name: "standard-at",
  purpose: "what a sea-water standard labelled at 25 °C conducts at another temperature",
  asks: {
    label: ask(kinds.conductivity, "as its label says for 25 °C"),
    temp: ask(kinds.temperature, "of the standard in use"),
  },
  calculate: ({ label, temp }) => {
    const C = w.conductivityFromAt25(label, temp);
    if (C === null) return refuseOutside("the practical salinity scale", SEA_RANGE);
    return {
      results: [makeResult("conductivity", C, "mS/cm", 3)],
      why: [PSS78],
      notes: ["For a standard of sea water; potassium chloride changes a little differently with temperature."],
    };
  },
});

export const absoluteSalinity = defineCalculator({
  name: "absolute-salinity",
  purpose: "practical and absolute salinity, either from the other",
  asks: { salinity: ask(kinds.salinity, "on either scale") },
  calculate: ({ salinity: SP }) => {
    const SA = w.absoluteSalinity(SP);
    if (SA === null) return refuseOutside("the scale", "SP 0 to 42, 0 to 42.198 g/kg");
    return {
      results: [makeResult("practical salinity", SP, "SP", 4), makeResult("absolute salinity", SA, "g/kg", 4)],
      why: [STANDARD_SALT],
    };
  },
});

const gravityAsks = {
  marked: ask(
    kinds.gravityScale,
    "temperature printed beside the scale of hydrometer or refractometer, or both of them",
  ),
  temp: allow(kinds.temperature, "of the water that a hydrometer floats in, where it is another than the one printed"),
};

/** A hydrometer in other water than it was made for shows that water's density over the density that its scale is for. */
const scaleInUse = (marked: u.GravityReference, temp: u.Celsius | undefined): u.GravityReference => ({
  ...marked,
  sampleC: temp ?? marked.sampleC,
});

export const specificGravity = defineCalculator({
  name: "specific-gravity",
  purpose: "what a hydrometer or refractometer shows in sea water of a known salinity",
  asks: { salinity: ask(kinds.salinity, "of the water"), ...gravityAsks },
  calculate: ({ salinity: SP, marked, temp }) => {
    const scale = scaleInUse(marked, temp);
    const sg = w.specificGravity(SP, scale);
    if (sg === null) return refuseOutside("EOS-80", SEA_RANGE);
    return {
      results: [makeResult(`specific gravity ${formatScale(scale)}`, sg, "", 5)],
      why: [EOS80],
      notes: [NOT_CORRECTED],
    };
  },
});

export const salinityFromSg = defineCalculator({
  name: "salinity-from-sg",
  purpose: "salinity from what a hydrometer or refractometer shows",
  asks: { sg: ask(kinds.gravity, "as read"), ...gravityAsks },
  calculate: ({ sg, marked, temp }) => {
    const scale = scaleInUse(marked, temp);
    const SP = w.salinityFromSpecificGravity(sg, scale);
    if (SP === null) return refuseOutside("EOS-80", `a gravity of ${SEA_RANGE}`);
    return {
      results: [
        makeResult("practical salinity", SP, "SP", 2),
        makeResult("absolute salinity", w.absoluteSalinity(SP)!, "g/kg", 2),
      ],
      why: [EOS80, STANDARD_SALT],
      notes: [`Read as ${formatScale(scale)}; 0.001 in the reading is 1.3 in salinity.`, NOT_CORRECTED],
    };
  },
});

const NOT_CORRECTED =
  "A hydrometer's glass expands and a refractometer measures light: neither is corrected here. Set it in a standard of 35.";

export const density = defineCalculator({
  name: "density",
  purpose: "density of sea water at the surface, by two equations",
  asks: { salinity: ask(kinds.salinity, "of the water"), temp: ask(kinds.temperature, "of the water") },
  calculate: ({ salinity: SP, temp }) => {
    const SA = w.absoluteSalinity(SP);
    const teos10 = SA === null ? null : w.densityTeos10(SA, temp);
    const eos80 = w.densityEos80(SP, temp);
    if (teos10 === null || eos80 === null) return refuseOutside("the equations of state", SEA_RANGE);
    return {
      results: [makeResult("density, TEOS-10", teos10, "kg/m³", 4), makeResult("density, EOS-80", eos80, "kg/m³", 4)],
      why: [TEOS10, EOS80],
    };
  },
});

export const heatCapacity = defineCalculator({
  name: "heat-capacity",
  purpose: "heat capacity of sea water at the surface",
  asks: {
    salinity: ask(kinds.salinity, "of the water"),
    temp: ask(kinds.temperature, "of the water"),
    volume: allow(kinds.volume, "of the water, to calculate it whole"),
  },
  calculate: ({ salinity: SP, temp, volume }) => {
    const SA = w.absoluteSalinity(SP);
    const cp = SA === null ? null : w.heatCapacity(SA, temp);
    if (SA === null || cp === null) return refuseOutside("TEOS-10", SEA_RANGE);
    const whole = volume === undefined ? [] : [(volume * w.densityTeos10(SA, temp)! * cp) / 1e6];
    return {
      results: [
        makeResult("heat capacity", cp, "J/(kg K)", 2),
        ...whole.map((kilojoules) => makeResult("of the whole volume", kilojoules, "kJ/K", 1)),
      ],
      why: [TEOS10],
    };
  },
});
