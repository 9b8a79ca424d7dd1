import { sourceWaterFrom } from "../../shared/chemistry/index.ts";
import type { Elapsed } from "../../shared/contract/elapsed.ts";
import type { ConductivityReading, Reading } from "../../shared/contract/reading.ts";
import type { Signal } from "../../shared/contract/signal.ts";
import { followProbe, notFitted, type ProbeKind, type ProbeMemory, signalOf } from "./probe.ts";

/** Dissolved solids of the water that fills the reservoir, mg/L: from pure to what no tap gives. */
const SOURCE_PROBE: ProbeKind = {
  least: 0,
  most: 2000,
  spikeFloor: 2,
  stillStep: 0.01,
  rate: { bins: 2, binMs: 60_000 },
};
/**
 * Common practice: a twentieth for cell and compensation, and half a milligram where next to nothing is dissolved and
 * 2 % a kelvin is no longer true. Pure water may read the same for months, so standing still says nothing.
 */
const DOUBT_SHARE = 0.05;
const DOUBT_LEAST_MG_PER_L = 0.5;

export function readSourceWater(
  memory: ProbeMemory,
  reading: Reading<ConductivityReading> | null | undefined,
  elapsed: Elapsed,
): { memory: ProbeMemory; signal: Signal } {
  if (reading === null || reading === undefined) return { memory, signal: notFitted };
  const solids = solidsOf(reading);
  const next = followProbe(memory, solids, SOURCE_PROBE, elapsed);
  const doubt = Math.max(DOUBT_LEAST_MG_PER_L, DOUBT_SHARE * (next.value ?? 0));
  return { memory: next, signal: signalOf(next, solids, doubt) };
}

function solidsOf(reading: Reading<ConductivityReading>): Reading<number> {
  const { ageMs, sample } = reading;
  if (reading.value === null) return { value: null, fault: reading.fault, ageMs, sample };
  const water = sourceWaterFrom(reading.value);
  return water === null
    ? { value: null, fault: "not-a-number", ageMs, sample }
    : { value: water.tdsMgPerL, fault: null, ageMs, sample };
}
