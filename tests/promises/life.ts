import type { Report } from "../../controller/rehearsal/index.ts";

/**
 * What the water suffered and what people were told, of one box over some days: all that a promise is held against.
 * Nothing in it comes from what the controller believed.
 */
export interface Life {
  readonly hours: number;
  readonly setpointC: number;
  readonly volumeL: number;
  /** In order of time, the first at the beginning. */
  readonly samples: readonly Sample[];
  readonly alarms: Report["alarms"];
  readonly lockouts: readonly { readonly reason: string; readonly atH: number }[];
  readonly asks: Report["asks"];
}

export interface Sample {
  readonly atH: number;
  readonly salinity: number;
  readonly celsius: number;
  /** Since the beginning. */
  readonly evaporatedL: number;
  /** Since the sample before: litres, and nothing else, kept top-off from pouring. */
  readonly throttledH: number;
}

/** What a promise was broken by, in words, and when. */
export interface Broken {
  readonly promise: PromiseId;
  readonly atH: number;
  readonly what: string;
}

export const PROMISES = ["H1", "H2", "H3", "H4", "H5", "H6", "H7"] as const;
export type PromiseId = (typeof PROMISES)[number];

export const WEEK_H = 168;

/** The samples of a span, both ends included. */
export const between = ({ samples }: Life, fromH: number, untilH: number): readonly Sample[] =>
  samples.filter(({ atH }) => atH >= fromH && atH <= untilH);

/** The last sample at this hour or before it. */
export function sampleAt({ samples }: Life, hour: number): Sample {
  let found = samples[0];
  for (const sample of samples) {
    if (sample.atH > hour) break;
    found = sample;
  }
  if (found === undefined) throw new Error("a life without a sample");
  return found;
}

export interface Span {
  readonly lowest: number;
  readonly highest: number;
  readonly width: number;
}

export function spanOf(samples: readonly Sample[], of: "salinity" | "celsius"): Span {
  let lowest = Infinity;
  let highest = -Infinity;
  for (const sample of samples) {
    lowest = Math.min(lowest, sample[of]);
    highest = Math.max(highest, sample[of]);
  }
  return { lowest, highest, width: highest - lowest };
}

/** By how much the salinity rises when what evaporated between two samples is not put back: S·E/(V − E). */
export function riseOf({ volumeL }: Life, from: Sample, until: Sample): number {
  const evaporatedL = until.evaporatedL - from.evaporatedL;
  return (from.salinity * evaporatedL) / (volumeL - evaporatedL);
}

/** Alarms that wake somebody. */
export const loudAlarms = ({ alarms }: Pick<Life, "alarms">): Life["alarms"] =>
  alarms.filter(({ priority }) => priority !== "low");
