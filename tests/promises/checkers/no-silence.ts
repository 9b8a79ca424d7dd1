import { type Broken, type Life, type Sample, sampleAt } from "../life.ts";
import { DRIFTS, type Drift, toldAtH } from "../right-alarms.ts";

const SALINITY = 1;
const KELVIN = 2;

/**
 * H7: nothing harms in silence. Every drift of salinity by 1 or of temperature by 2 K is announced by the right alarm
 * before it is reached. `drifts`: those that are asked for.
 */
export function noSilence(life: Life, brokeAtH = 0, drifts: readonly Drift[] = DRIFTS): readonly Broken[] {
  const start = sampleAt(life, brokeAtH);
  const reached: Readonly<Record<Drift, (sample: Sample) => boolean>> = {
    salty: ({ salinity }) => salinity - start.salinity >= SALINITY,
    fresh: ({ salinity }) => start.salinity - salinity >= SALINITY,
    cold: ({ celsius }) => life.setpointC - celsius >= KELVIN,
    hot: ({ celsius }) => celsius - life.setpointC >= KELVIN,
  };
  return drifts.flatMap((drift): Broken[] => {
    const there = life.samples.find((sample) => sample.atH >= brokeAtH && reached[drift](sample));
    if (there === undefined || toldAtH(life.alarms, drift, brokeAtH, there.atH) !== null) return [];
    const later = toldAtH(life.alarms, drift, brokeAtH, life.hours);
    const told = later === null ? "and nobody was told" : `told only at ${later.toFixed(1)} h`;
    return [{ promise: "H7", atH: there.atH, what: `${WORDS[drift]} at ${there.atH.toFixed(1)} h, ${told}` }];
  });
}

const WORDS: Readonly<Record<Drift, string>> = {
  salty: `saltier by ${SALINITY}`,
  fresh: `fresher by ${SALINITY}`,
  cold: `colder by ${KELVIN} K`,
  hot: `hotter by ${KELVIN} K`,
};
