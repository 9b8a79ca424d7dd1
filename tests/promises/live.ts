import {
  type Report,
  rehearse,
  rehearseBareParts,
  type Scenario,
  settingsOf,
} from "../../controller/rehearsal/index.ts";
import type { Tank } from "../../controller/rehearsal/plant/tank.ts";
import { salinityOf } from "../../controller/rehearsal/plant/water.ts";
import { isThrottled } from "../../controller/rehearsal/throttled-time.ts";
import type { ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { liveAllKnowing } from "../campaign/all-knowing.ts";
import type { Life, Sample } from "./life.ts";

/** Lives of one scenario: with the controller, with the bare parts, by the hand that knows the water. */
export interface LiveOptions {
  readonly seed: number;
  readonly settings: Settings;
}

const MS_PER_H = 3_600_000;
const SAMPLE_EVERY_MS = 300_000;

/** Looks at the water every five minutes, and hears for how long top-off was throttled. */
function createSampler(first: Sample, scanMs: number) {
  const samples: Sample[] = [first];
  let nowMs = 0;
  let throttledH = 0;
  let throttledFromH: number | null = null;
  return {
    samples,
    watch: ({ state }: Tank): void => {
      nowMs += scanMs;
      if (nowMs % SAMPLE_EVERY_MS >= scanMs) return;
      const { accounts, heat, water } = state;
      samples.push({
        atH: nowMs / MS_PER_H,
        salinity: salinityOf(water),
        celsius: heat.restC,
        evaporatedL: accounts.evaporatedL,
        throttledH,
      });
      throttledH = 0;
    },
    hear: (record: ScanRecord, atH: number): void => {
      if (throttledFromH !== null) throttledH += atH - throttledFromH;
      throttledFromH = isThrottled(record) ? atH : null;
    },
  };
}

const NOBODY_IS_TOLD = { alarms: [], lockouts: [], asks: [] };

export function liveOurs(scenario: Scenario, options: LiveOptions): { readonly life: Life; readonly report: Report } {
  const { base, sampler } = begin(scenario, options);
  const { watch, hear } = sampler;
  const report = rehearse(scenario, { ...options, scans: "adaptive", watch, hear });
  const { alarms, lockouts, asks } = report;
  return { report, life: { ...base, samples: sampler.samples, alarms, lockouts, asks } };
}

export function liveBare(scenario: Scenario, options: LiveOptions): Life {
  const { base, sampler } = begin(scenario, options);
  rehearseBareParts(scenario, { ...options, watch: sampler.watch });
  return { ...base, ...NOBODY_IS_TOLD, samples: sampler.samples };
}

export function liveBest(scenario: Scenario, options: LiveOptions): Life {
  const { base, sampler } = begin(scenario, options);
  liveAllKnowing(scenario, { ...options, watch: sampler.watch });
  return { ...base, ...NOBODY_IS_TOLD, samples: sampler.samples };
}

function begin(scenario: Scenario, { settings: file }: LiveOptions) {
  const { scanMs, tank, targets } = settingsOf(scenario, file);
  const first: Sample = {
    atH: 0,
    salinity: scenario.start.salinity ?? targets.salinity,
    celsius: scenario.start.temperatureC ?? targets.temperatureC,
    evaporatedL: 0,
    throttledH: 0,
  };
  const base = { hours: scenario.hours, setpointC: targets.temperatureC, volumeL: tank.netVolumeL };
  return { base, sampler: createSampler(first, scanMs) };
}
