import type { Signal } from "../../shared/contract/signal.ts";
import { DISAGREE_AFTER_MS, THERMOMETERS_AGREE_K, THERMOMETERS_APART_K } from "../../shared/settings/limits.ts";
import { doubted, notFitted } from "./probe.ts";

/** How far the thermometers may be believed together. */
export type Trust =
  | "full"
  /** One is missing or they disagree a little: heat at a cautious duty, by the warmer. */
  | "doubtful"
  /** They contradict each other and nobody can say which is right. */
  | "undecided"
  | "none";

export interface Vote {
  /** What the heat is controlled by. */
  readonly control: Signal;
  /** What a trend is made of, °C: the mean of both while they may be believed together, whoever controls meanwhile. */
  readonly trendC: number | null;
  /** The warmest that is not bad: what cuts. */
  readonly warmest: Signal;
  readonly coldestC: number | null;
  readonly trust: Trust;
  readonly apart: Apart;
  /** Whose word controls, and against whom. When it changes, the reading may step although the water did not. */
  readonly source: Source;
}

/** How long the two have been apart, as an amount: agreement takes from it what disagreement has added. */
export interface Apart {
  readonly forMs: number;
  /** They were apart for long enough, and have not agreed for as long since. */
  readonly doubted: boolean;
}

export const NEVER_APART: Apart = { forMs: 0, doubted: false };

/** `mean`: both may be believed together. `warmer`: they have disagreed for long. */
export type Source =
  | "none"
  | "mean"
  | "warmer"
  | "first"
  | "second"
  | "third"
  | "first-of-two"
  | "second-of-two"
  | "first-with-third"
  | "second-with-third";

/**
 * Two thermometers, and the conductivity probe's own as a third vote.
 * Beyond 0.7 K the warmer controls and cuts at once, and the mean again only after as much agreement: noise about the
 * limit never heats by the mean. Doubt and alarm come after five minutes, so that a spike makes neither.
 * Above 2 K a probe with a rate fault is excluded first, then the one that the third vote contradicts. Where one of two
 * is lost, the third takes its place.
 */
export function vote(first: Signal, second: Signal, third: Signal, before: Apart, creditMs: number): Vote {
  const a = first.value;
  const b = second.value;
  if (a === null || b === null) return alone(first, second, third, before);
  const apartK = Math.abs(a - b);
  const warmer = a >= b ? first : second;
  const colder = a >= b ? second : first;
  const apart = followApart(before, apartK > THERMOMETERS_AGREE_K, creditMs);
  if (apartK > THERMOMETERS_APART_K) {
    const right = excluded(first, second, third);
    if (right !== null) return single(right, warmer, apart, right === first ? "first-of-two" : "second-of-two");
    return apartFrom(warmer, colder, "undecided", apart, warmer === first ? "first" : "second");
  }
  return apart.doubted
    ? apartFrom(warmer, colder, "doubtful", apart, "warmer")
    : together(first, second, warmer, apart);
}

/** The warmer of the two; what has no value is no candidate. */
export const warmerOf = (one: Signal, other: Signal): Signal =>
  one.value === null || (other.value !== null && other.value > one.value) ? other : one;

function followApart(before: Apart, isApart: boolean, creditMs: number): Apart {
  if (!isApart && before.forMs === 0) return NEVER_APART;
  const forMs = Math.max(0, Math.min(DISAGREE_AFTER_MS, before.forMs + (isApart ? creditMs : -creditMs)));
  return { forMs, doubted: forMs === DISAGREE_AFTER_MS || (before.doubted && forMs > 0) };
}

/** They disagree: the warmer controls and cuts. */
const apartFrom = (warmer: Signal, colder: Signal, trust: Trust, apart: Apart, source: Source): Vote => ({
  control: doubted(warmer, "uncertain", "disagrees"),
  trendC: warmer.value,
  warmest: warmer,
  coldestC: colder.value,
  trust,
  apart,
  source,
});

function together(first: Signal, second: Signal, warmer: Signal, apart: Apart): Vote {
  const a = first.value as number;
  const b = second.value as number;
  const mean = (a + b) / 2;
  const value = apart.forMs > 0 ? warmer.value : mean;
  // A spike was replaced already; what the other has against it weighs more.
  const doubt = first.doubt === null || first.doubt === "spike" ? (second.doubt ?? first.doubt) : first.doubt;
  const control: Signal = {
    value,
    quality: doubt === null || doubt === "spike" ? "good" : "uncertain",
    doubt,
    ageMs: Math.max(first.ageMs, second.ageMs),
    uncertainty: Math.max(first.uncertainty ?? 0, second.uncertainty ?? 0),
    lastValue: value,
    lastValueAgeMs: Math.max(first.lastValueAgeMs, second.lastValueAgeMs),
  };
  return {
    control,
    trendC: mean,
    warmest: warmer,
    coldestC: Math.min(a, b),
    trust: control.quality === "good" ? "full" : "doubtful",
    apart,
    source: "mean",
  };
}

/** At most one of the two has a value. How long they were apart stays as it was: one lost sample shows no agreement. */
function alone(first: Signal, second: Signal, third: Signal, apart: Apart): Vote {
  const left = first.value !== null ? first : second.value !== null ? second : null;
  if (left === null) {
    if (third.value !== null) return single(third, third, apart, "third");
    return {
      control: worst(first, second),
      trendC: null,
      warmest: notFitted,
      coldestC: null,
      trust: "none",
      apart,
      source: "none",
    };
  }
  const source = left === first ? "first" : "second";
  const onlyOneFitted = first.doubt === "not-fitted" || second.doubt === "not-fitted";
  if (onlyOneFitted && left.quality === "good") {
    return { control: left, trendC: left.value, warmest: left, coldestC: left.value, trust: "full", apart, source };
  }
  if (onlyOneFitted || third.value === null) return single(left, left, apart, source);
  // One that hangs in the air, perhaps, is excluded first; it cuts on.
  if (left.doubt === "rate" && third.doubt === null) return single(third, warmerOf(left, third), apart, "third");
  const thirdIsWarmer = third.value > (left.value as number);
  const warmer = thirdIsWarmer ? third : left;
  if (Math.abs(third.value - (left.value as number)) > THERMOMETERS_APART_K) {
    const ofWhom: Source = thirdIsWarmer ? "third" : `${source}-with-third`;
    return apartFrom(warmer, thirdIsWarmer ? left : third, "undecided", apart, ofWhom);
  }
  return single(left, warmer, apart, `${source}-with-third`);
}

const single = (left: Signal, warmest: Signal, apart: Apart, source: Source): Vote => ({
  control: doubted(left, "uncertain", left.doubt ?? "single"),
  trendC: left.value,
  warmest,
  coldestC: left.value,
  trust: "doubtful",
  apart,
  source,
});

/** Of two that contradict each other, the one that may be believed; null = undecided. */
function excluded(first: Signal, second: Signal, third: Signal): Signal | null {
  if (first.doubt === "rate" && second.doubt !== "rate") return second;
  if (second.doubt === "rate" && first.doubt !== "rate") return first;
  if (third.value === null || third.doubt !== null) return null;
  const nearFirst = Math.abs(third.value - (first.value as number)) <= THERMOMETERS_AGREE_K;
  const nearSecond = Math.abs(third.value - (second.value as number)) <= THERMOMETERS_AGREE_K;
  if (nearFirst === nearSecond) return null;
  return nearFirst ? first : second;
}

/** The more telling of two bad signals. */
const worst = (first: Signal, second: Signal): Signal => (first.doubt === "not-fitted" ? second : first);
