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
  /** The warmest that is not bad: what cuts. */
  readonly warmest: Signal;
  readonly coldestC: number | null;
  readonly trust: Trust;
  /** How long they have been apart; amount in memory. */
  readonly apartMs: number;
  /** Whose word controls, and against whom. When it changes, the reading may step although the water did not. */
  readonly source: Source;
}

export type Source =
  | "none"
  | "mean"
  | "first"
  | "second"
  | "third"
  | "first-of-two"
  | "second-of-two"
  | "first-with-third"
  | "second-with-third";

/**
 * Two thermometers, and the conductivity probe's own as a third vote.
 * Agreeing within 0.7 K the mean controls; beyond, the warmer controls and cuts. Above 2 K a probe with a rate fault is
 * excluded first, then the one that the third vote contradicts. Where one of two is lost, the third takes its place.
 */
export function vote(first: Signal, second: Signal, third: Signal, apartMs: number, creditMs: number): Vote {
  const a = first.value;
  const b = second.value;
  if (a === null || b === null) return alone(first, second, third, apartMs);
  const apart = Math.abs(a - b);
  const warmer = a >= b ? first : second;
  const colder = a >= b ? second : first;
  if (apart <= THERMOMETERS_AGREE_K) return agreed(first, second, warmer, Math.max(0, apartMs - creditMs));
  const forMs = Math.min(DISAGREE_AFTER_MS, apartMs + creditMs);
  if (apart > THERMOMETERS_APART_K) {
    const right = excluded(first, second, third);
    if (right !== null) return single(right, warmer, forMs, right === first ? "first-of-two" : "second-of-two");
    return apartFrom(warmer, colder, "undecided", forMs, warmer === first ? "first" : "second");
  }
  if (forMs < DISAGREE_AFTER_MS) return agreed(first, second, warmer, forMs);
  return apartFrom(warmer, colder, "doubtful", forMs, warmer === first ? "first" : "second");
}

/** They disagree: the warmer controls and cuts. */
const apartFrom = (warmer: Signal, colder: Signal, trust: Trust, apartMs: number, source: Source): Vote => ({
  control: doubted(warmer, "uncertain", "disagrees"),
  warmest: warmer,
  coldestC: colder.value,
  trust,
  apartMs,
  source,
});

function agreed(first: Signal, second: Signal, warmest: Signal, apartMs: number): Vote {
  const a = first.value as number;
  const b = second.value as number;
  // A spike was replaced already; what the other has against it weighs more.
  const doubt = first.doubt === null || first.doubt === "spike" ? (second.doubt ?? first.doubt) : first.doubt;
  const control: Signal = {
    value: (a + b) / 2,
    quality: doubt === null || doubt === "spike" ? "good" : "uncertain",
    doubt,
    ageMs: Math.max(first.ageMs, second.ageMs),
    uncertainty: Math.max(first.uncertainty ?? 0, second.uncertainty ?? 0),
    lastValue: (a + b) / 2,
    lastValueAgeMs: Math.max(first.lastValueAgeMs, second.lastValueAgeMs),
  };
  return {
    control,
    warmest,
    coldestC: Math.min(a, b),
    trust: control.quality === "good" ? "full" : "doubtful",
    apartMs,
    source: "mean",
  };
}

/** At most one of the two has a value. How long they were apart stays as it was: one lost sample shows no agreement. */
function alone(first: Signal, second: Signal, third: Signal, apartMs: number): Vote {
  const left = first.value !== null ? first : second.value !== null ? second : null;
  if (left === null) {
    if (third.value !== null) return single(third, third, apartMs, "third");
    return {
      control: worst(first, second),
      warmest: notFitted,
      coldestC: null,
      trust: "none",
      apartMs,
      source: "none",
    };
  }
  const source = left === first ? "first" : "second";
  const onlyOneFitted = first.doubt === "not-fitted" || second.doubt === "not-fitted";
  if (onlyOneFitted && left.quality === "good") {
    return { control: left, warmest: left, coldestC: left.value, trust: "full", apartMs, source };
  }
  if (onlyOneFitted || third.value === null) return single(left, left, apartMs, source);
  const thirdIsWarmer = third.value > (left.value as number);
  const warmer = thirdIsWarmer ? third : left;
  if (Math.abs(third.value - (left.value as number)) > THERMOMETERS_APART_K) {
    const ofWhom: Source = thirdIsWarmer ? "third" : `${source}-with-third`;
    return apartFrom(warmer, thirdIsWarmer ? left : third, "undecided", apartMs, ofWhom);
  }
  return single(left, warmer, apartMs, `${source}-with-third`);
}

const single = (left: Signal, warmest: Signal, apartMs: number, source: Source): Vote => ({
  control: doubted(left, "uncertain", left.doubt ?? "single"),
  warmest,
  coldestC: left.value,
  trust: "doubtful",
  apartMs,
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
