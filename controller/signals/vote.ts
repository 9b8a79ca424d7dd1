import type { Signal } from "../../shared/contract/signal.ts";
import { DISAGREE_AFTER_MS, THERMOMETERS_AGREE_K, THERMOMETERS_APART_K } from "../../shared/settings/limits.ts";
import { doubted, notFitted } from "./probe.ts";
import {
  type Answered,
  answeredBy,
  believedOf,
  coldestAnsweringC,
  isKnownToFail,
  standingOf,
  type Witness,
  type Witnesses,
} from "./witness.ts";

/** How far the thermometers may be believed together. */
export type Trust =
  /** The two agree, or the only one fitted is well. */
  | "full"
  /** Two of three agree: heat as usual, with the alarm. */
  | "agreed"
  /** What controls has been seen to follow the heater, and nothing else can be believed: heat as usual where the heater
   *  has a thermostat of its own that was seen to cut. */
  | "answered"
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
  /** The warmest of all that are not bad: what cuts, whoever controls. */
  readonly warmest: Signal;
  readonly coldestC: number | null;
  /** Of those that follow the heater. */
  readonly coldestAnsweringC: number | null;
  readonly answered: Answered;
  readonly trust: Trust;
  readonly apart: Apart;
  readonly near: Near;
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

/** With whom the cell's own thermometer agrees: taken back a little later than given, so that noise never plays with it. */
export interface Near {
  readonly first: boolean;
  readonly second: boolean;
  /** Of two that are both near, the clearly nearer one: the one in the middle of three. */
  readonly nearer: "first" | "second" | null;
}

export const NEAR_NOBODY: Near = { first: false, second: false, nearer: null };
const THIRD_AGREES_K = 1;
const THIRD_DIFFERS_K = 1.3;
const NEARER_BY_K = 0.2;

/** `mean`: both may be believed together. `warmer`: they have disagreed for long. `warmest`: without flow. */
export type Source =
  | "none"
  | "mean"
  | "warmer"
  | "first"
  | "second"
  | "third"
  | "first-of-two"
  | "second-of-two"
  | "third-of-three"
  | "warmest"
  | "first-with-third"
  | "second-with-third";

export interface VoteMemory {
  readonly apart: Apart;
  readonly near: Near;
}

/**
 * Two thermometers, and the conductivity probe's own as a third vote. First leave those that hang in the air or do not
 * follow the heater, as long as another is left: the thermometer that answers the heater is in the water, whatever the
 * count of votes. Of those that are left:
 * beyond 0.7 K the warmer of the two controls and cuts at once, and the mean again only after as much agreement: noise
 * about the limit never heats by the mean. Doubt and alarm come after five minutes, so that a spike makes neither. Where
 * they contradict each other, the one that was seen to follow the heater is believed, then the one that the third sides
 * with: of two near it the nearer, so that one wrong of three changes nothing in the water. Where one of two is lost, the third takes its place.
 */
export function vote(all: Witnesses, before: VoteMemory, creditMs: number, isFlowing: boolean): Vote {
  const believed = believedOf(all);
  const { first, second, third } = believed;
  const near = nearnessOf(all, before.near);
  const voted =
    first !== null && second !== null
      ? ofPair(first, second, third, near, followApart(before.apart, distance(first, second), creditMs))
      : ofFewer(all, first ?? second, third, near, before.apart);
  const opinion = isFlowing ? voted : withoutFlow(voted, believed);
  return {
    ...opinion,
    // Where all that is left has been seen not to follow the heater, nobody's agreement is worth much.
    trust: isKnownToFail(first ?? second ?? third) ? lowered(opinion.trust) : opinion.trust,
    warmest: warmestOf(all),
    coldestAnsweringC: coldestAnsweringC(all),
    answered: answeredBy(all),
    near,
  };
}

type Opinion = Omit<Vote, "warmest" | "near" | "coldestAnsweringC" | "answered">;

/** Where no water flows between them they need not agree, and the heater warms the water around it alone: the warmest
 *  controls, so that it is never heated there by what is cold elsewhere. */
function withoutFlow(opinion: Opinion, believed: ReturnType<typeof believedOf>): Opinion {
  if (opinion.trust === "full" || opinion.trust === "none") return opinion;
  const { first, second, third } = believed;
  const heard = [first, second, third].filter((witness) => witness !== null);
  const warmest = heard.reduce((one, other) => (celsiusOf(other) > celsiusOf(one) ? other : one));
  return {
    ...opinion,
    control: doubted(warmest.signal, "uncertain", warmest.signal.doubt ?? opinion.control.doubt ?? "disagrees"),
    trendC: celsiusOf(warmest),
    trust: "doubtful",
    source: "warmest",
  };
}

/** The warmer of the two; what has no value is no candidate. */
export const warmerOf = (one: Signal, other: Signal): Signal =>
  one.value === null || (other.value !== null && other.value > one.value) ? other : one;

function warmestOf({ first, second, third }: Witnesses): Signal {
  const warmest = warmerOf(warmerOf(first.signal, second.signal), third.signal);
  return warmest.value === null ? notFitted : warmest;
}

const celsiusOf = ({ signal }: Witness): number => signal.value as number;
const distance = (one: Witness, other: Witness): number => Math.abs(celsiusOf(one) - celsiusOf(other));
const lowered = (trust: Trust): Trust => (trust === "undecided" || trust === "none" ? trust : "doubtful");

function nearnessOf({ first, second, third }: Witnesses, before: Near): Near {
  const near = (other: Witness, was: boolean): boolean =>
    third.signal.value !== null &&
    other.signal.value !== null &&
    distance(third, other) <= (was ? THIRD_DIFFERS_K : THIRD_AGREES_K);
  const [ofFirst, ofSecond] = [near(first, before.first), near(second, before.second)];
  const nearer = ofFirst && ofSecond ? nearerOf(distance(third, second) - distance(third, first), before.nearer) : null;
  const isSame = ofFirst === before.first && ofSecond === before.second && nearer === before.nearer;
  return isSame ? before : { first: ofFirst, second: ofSecond, nearer };
}

function nearerOf(byK: number, before: Near["nearer"]): Near["nearer"] {
  if (byK >= NEARER_BY_K || (before === "first" && byK > 0)) return "first";
  return byK <= -NEARER_BY_K || (before === "second" && byK < 0) ? "second" : null;
}

function followApart(before: Apart, apartK: number, creditMs: number): Apart {
  const isApart = apartK > THERMOMETERS_AGREE_K;
  if (!isApart && before.forMs === 0) return NEVER_APART;
  const forMs = Math.max(0, Math.min(DISAGREE_AFTER_MS, before.forMs + (isApart ? creditMs : -creditMs)));
  return { forMs, doubted: forMs === DISAGREE_AFTER_MS || (before.doubted && forMs > 0) };
}

function ofPair(first: Witness, second: Witness, third: Witness | null, near: Near, apart: Apart): Opinion {
  const contradict = distance(first, second) > THERMOMETERS_APART_K;
  const agree = !contradict && !apart.doubted;
  // Two that hang in the air together do not outvote the cell's own that follows the heater.
  const isAlone = third !== null && !near.first && !near.second;
  const knowsBetter = isAlone && standingOf(third) > Math.max(standingOf(first), standingOf(second));
  if (knowsBetter) return believe(third, "answered", apart, "third-of-three");
  if (agree) return together(first, second, apart);
  const right = rightOf(first, second, near);
  if (right !== null) {
    const backed = right === first ? near.first : near.second;
    const [against, source]: [Witness, Source] = right === first ? [second, "first-of-two"] : [first, "second-of-two"];
    return believe(right, backed ? "agreed" : "answered", apart, source, against);
  }
  const warmer = celsiusOf(first) >= celsiusOf(second) ? first : second;
  const colder = warmer === first ? second : first;
  if (near.first && near.second) return apartFrom(warmer, colder, "agreed", apart, "warmer");
  if (contradict) return apartFrom(warmer, colder, "undecided", apart, warmer.who === "first" ? "first" : "second");
  const bothAnswer = first.answer === "expected" && second.answer === "expected";
  return apartFrom(warmer, colder, bothAnswer ? "answered" : "doubtful", apart, "warmer");
}

/** Of two that disagree, the one that may be believed; null = nobody can say. */
function rightOf(first: Witness, second: Witness, near: Near): Witness | null {
  const [one, other] = [standingOf(first), standingOf(second)];
  if (one !== other) return one > other ? first : second;
  if (near.first !== near.second) return near.first ? first : second;
  if (near.nearer === null) return null;
  return near.nearer === "first" ? first : second;
}

/** They disagree: the warmer controls. */
const apartFrom = (warmer: Witness, colder: Witness, trust: Trust, apart: Apart, source: Source): Opinion => ({
  control: doubted(warmer.signal, "uncertain", "disagrees"),
  trendC: celsiusOf(warmer),
  coldestC: celsiusOf(colder),
  trust,
  apart,
  source,
});

function together({ signal: first }: Witness, { signal: second }: Witness, apart: Apart): Opinion {
  const a = first.value as number;
  const b = second.value as number;
  const mean = (a + b) / 2;
  const value = apart.forMs > 0 ? Math.max(a, b) : mean;
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
    coldestC: Math.min(a, b),
    trust: control.quality === "good" ? "full" : "doubtful",
    apart,
    source: "mean",
  };
}

/** At most one of the two can be believed. How long they were apart stays as it was: a lost sample shows no agreement. */
function ofFewer(all: Witnesses, left: Witness | null, third: Witness | null, near: Near, apart: Apart): Opinion {
  if (left === null) {
    if (third !== null) return believe(third, "answered", apart, "third");
    const control = worst(all.first.signal, all.second.signal);
    return { control, trendC: null, coldestC: null, trust: "none", apart, source: "none" };
  }
  const who = left.who === "second" ? "second" : "first";
  const onlyOneFitted = all.first.signal.doubt === "not-fitted" || all.second.signal.doubt === "not-fitted";
  const knowsBetter = third !== null && !near[who] && standingOf(third) > standingOf(left);
  if (onlyOneFitted && left.signal.quality === "good" && !knowsBetter) {
    return {
      control: left.signal,
      trendC: celsiusOf(left),
      coldestC: celsiusOf(left),
      trust: "full",
      apart,
      source: who,
    };
  }
  if (third === null) return believe(left, "answered", apart, who);
  if (near[who]) return believe(left, "agreed", apart, `${who}-with-third`);
  if (standingOf(third) !== standingOf(left)) {
    const source = knowsBetter ? "third-of-three" : `${who}-with-third`;
    return believe(knowsBetter ? third : left, "answered", apart, source as Source);
  }
  const warmer = celsiusOf(third) > celsiusOf(left) ? third : left;
  const colder = warmer === third ? left : third;
  const source: Source = warmer === third ? "third" : `${who}-with-third`;
  if (distance(left, third) > THERMOMETERS_APART_K) return apartFrom(warmer, colder, "undecided", apart, source);
  return apartFrom(warmer, colder, left.answer === "expected" ? "answered" : "doubtful", apart, source);
}

/** One controls. Alone it is believed as far as it was seen to follow the heater. */
function believe(one: Witness, trust: "agreed" | "answered", apart: Apart, source: Source, against?: Witness): Opinion {
  const { signal, answer } = one;
  const isVouchedFor = trust === "agreed" && signal.quality === "good" && against === undefined;
  const doubt = signal.doubt ?? (against === undefined ? "single" : "disagrees");
  return {
    control: isVouchedFor ? signal : doubted(signal, "uncertain", doubt),
    trendC: celsiusOf(one),
    coldestC: celsiusOf(one),
    trust: signal.doubt === "rate" || (trust === "answered" && answer !== "expected") ? "doubtful" : trust,
    apart,
    source,
  };
}

/** The more telling of two bad signals. */
const worst = (first: Signal, second: Signal): Signal => (first.doubt === "not-fitted" ? second : first);
