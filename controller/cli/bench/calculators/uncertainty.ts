import * as w from "../../../../shared/seawater/index.ts";
import type * as u from "../../../../shared/units/index.ts";
import { makeDoubtKind } from "../../values/doubt.ts";
import * as kinds from "../../values/kinds.ts";
import { ask, defineCalculator, makeResult, presume, refuseOutside } from "../calculator.ts";
import { GUM, PSS78, SEA_RANGE } from "../sources.ts";

/** The doubts of an ordinary probe a month after its calibration (common practice), each of which may be given. */
export const doubtAsks = {
  cellDoubt: presume(makeDoubtKind(kinds.percentage), "doubt of the cell constant", "1%:half"),
  tempDoubt: presume(makeDoubtKind(kinds.differenceK), "doubt of the temperature", "0.5K:half"),
  noise: presume(makeDoubtKind(kinds.conductivity), "scatter of the conductivity", "0.07mS/cm:k1"),
  drift: presume(makeDoubtKind(kinds.percentage), "drift in 30 days", "1%:half"),
  since: presume(kinds.age, "time since the calibration", "30d"),
  composition: presume(makeDoubtKind(kinds.salinity), "doubt of the salt's composition", "0.15SP:k1"),
};

type Given = {
  readonly cellDoubt: u.Doubt<u.Percent>;
  readonly tempDoubt: u.Doubt<u.Kelvin>;
  readonly noise: u.Doubt<u.MillisiemensPerCm>;
  readonly drift: u.Doubt<u.Percent>;
  readonly since: u.Days;
  readonly composition: u.Doubt<u.PracticalSalinity>;
};

export const doubtsOf = (given: Given) => ({
  cellConstant: given.cellDoubt,
  temperature: given.tempDoubt,
  noise: given.noise,
  driftPer30Days: given.drift,
  sinceCalibration: given.since,
  composition: given.composition,
});

export const uncertainty = defineCalculator({
  name: "uncertainty",
  purpose: "uncertainty of a salinity from a conductivity probe, part by part",
  asks: {
    conductivity: ask(kinds.conductivity, "as measured, uncompensated"),
    temp: ask(kinds.temperature, "of the water"),
    pressure: presume(kinds.seaPressure, "sea pressure", "0dbar"),
    ...doubtAsks,
  },
  calculate: (given) => {
    const SP = w.practicalSalinity(given.conductivity, given.temp, given.pressure);
    const doubt = w.salinityUncertainty({
      conductivityMsPerCm: given.conductivity,
      t90C: given.temp,
      pDbar: given.pressure,
      ...doubtsOf(given),
    });
    if (SP === null || doubt === null)
      return refuseOutside("the practical salinity scale", `${SEA_RANGE}, doubts of 0 or more`);
    const { parts } = doubt;
    return {
      results: [
        { ...makeResult("practical salinity", SP, "SP", 2), expanded: doubt.expanded },
        makeResult("part of the cell constant", parts.cellConstant, "SP (k = 1)", 3),
        makeResult("part of the temperature", parts.temperature, "SP (k = 1)", 3),
        makeResult("part of the temperature at calibration", parts.temperatureAtCalibration, "SP (k = 1)", 3),
        makeResult("part of the noise", parts.noise, "SP (k = 1)", 3),
        makeResult("part of the drift", parts.drift, "SP (k = 1)", 3),
        makeResult("part of the composition", parts.composition, "SP (k = 1)", 3),
      ],
      why: [GUM, PSS78],
    };
  },
});
