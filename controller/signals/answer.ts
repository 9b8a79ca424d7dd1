/**
 * Whether a thermometer answers the heater: how much faster it rises when the heater comes on and slower when it goes
 * off, against what the heater makes of the water. That is the best evidence of what a thermometer hangs in: no room, no
 * lamp and no cup follows a heater. A regression outside the decisions, which see only the class. Volatile, and for each
 * thermometer apart.
 */
export type Answer =
  /** Not enough was seen. */
  | "unknown"
  /** It does not follow: it hangs in the air, in a cup, or repeats itself; or the heater makes no heat. */
  | "below"
  | "expected"
  /** It rises more steeply than the water can: it hangs beside the heater. */
  | "above";

/** Shares of the predicted rise between which a thermometer follows. */
const LEAST_SHARE = 0.25;
const MOST_SHARE = 2;
/** So many standard errors lie between what was seen and a limit before a class is given or changed. */
const SURE_ERRORS = 2;
/**
 * Heat and rise are looked at against their own means of the last bins, so that only what changes with a switch of the
 * heater counts: a window that is opened, or a lamp, changes the slope without one. A switch is worth about six.
 */
const MEAN_BINS = 12;
const LEAST_EVIDENCE = 9;
/** No room makes this of a slope by chance: little evidence is enough. */
const STEEP_SHARE = 6;
const STEEP_EVIDENCE = 1;
/** More of either is scaled down, so that the newest counts most. A class once given outlives a summer without heat. */
const MOST_EVIDENCE = 36;
const MOST_BINS = 1_000;

/** What the heater makes of the water in one bin, so that noise and the steps of a thermometer are small beside it. */
const BIN_K = 0.02;
const BIN_LEAST_MS = 60_000;
const BIN_MOST_MS = 600_000;

/** No water changes so fast, K/h: the thermometer was moved, and what was known of it is known no longer. */
const FASTEST_K_PER_H = 6;
/** While nobody looked, in a hold or without flow, it may have gone this far; and beside a heater that has just switched,
 *  which takes some bins to show. */
const MOVED_K = 1;
const SWITCH_SHOWS_BINS = 12;

/** The heater has just been found without effect, or flow is not shown where it is needed: what was seen before says
 *  nothing of now. What is seen while the doubt lasts counts. */
export function doubtAnswers(before: AnswerMemory, doubted: boolean): AnswerMemory {
  if (doubted === before.doubted) return before;
  return doubted ? { ...NOTHING_ANSWERED, doubted } : { ...before, doubted };
}

export interface AnswerScene {
  readonly creditMs: number;
  /** Kelvin per millisecond of the heaters that were on since the last scan, and of all of them. */
  readonly heatKPerMs: number;
  readonly fullKPerMs: number;
  /** Hands, poured water, no flow, no mains: what the readings do says nothing of the heater. */
  readonly meansNothing: boolean;
}

export interface AnswerMemory {
  /** The bin under way. */
  readonly binMs: number;
  readonly binK: number;
  /** Heat of the bin before, as a share; null = nothing was watched in it. */
  readonly share: number | null;
  /** Bins since a heater was switched. */
  readonly sinceSwitch: number;
  readonly doubted: boolean;
  readonly first: Follower;
  readonly second: Follower;
  readonly third: Follower;
}

/** One thermometer, and the sums of a regression of its rise on the heat, both in shares of what the heater makes in a bin. */
export interface Follower {
  readonly answer: Answer;
  readonly sumC: number;
  readonly samples: number;
  /** Mean of the newest bin that was watched; null = none yet. */
  readonly meanC: number | null;
  /** The next bin joins this mean without a pause. */
  readonly joined: boolean;
  /** Bins that the means are made of; saturates. */
  readonly meanBins: number;
  readonly meanHeat: number;
  readonly meanRise: number;
  readonly bins: number;
  readonly heatHeat: number;
  readonly heatRise: number;
  readonly riseRise: number;
}

const NOTHING_SEEN: Follower = {
  answer: "unknown",
  sumC: 0,
  samples: 0,
  meanC: null,
  joined: false,
  meanBins: 0,
  meanHeat: 0,
  meanRise: 0,
  bins: 0,
  heatHeat: 0,
  heatRise: 0,
  riseRise: 0,
};

export const NOTHING_ANSWERED: AnswerMemory = {
  binMs: 0,
  binK: 0,
  share: null,
  sinceSwitch: 0,
  doubted: false,
  first: NOTHING_SEEN,
  second: NOTHING_SEEN,
  third: NOTHING_SEEN,
};

export type AnswerReadings = { readonly [Who in "first" | "second" | "third"]: number | null };

export function followAnswers(memory: AnswerMemory, readings: AnswerReadings, scene: AnswerScene): AnswerMemory {
  if (scene.meansNothing || scene.fullKPerMs <= 0) return interrupted(memory);
  const sampled = {
    binMs: memory.binMs + scene.creditMs,
    binK: memory.binK + scene.heatKPerMs * scene.creditMs,
    share: memory.share,
    sinceSwitch: memory.sinceSwitch,
    doubted: memory.doubted,
    first: addSample(memory.first, readings.first),
    second: addSample(memory.second, readings.second),
    third: addSample(memory.third, readings.third),
  };
  return sampled.binMs < binLengthMs(scene) ? sampled : closeBin(sampled, scene);
}

const binLengthMs = ({ fullKPerMs }: AnswerScene): number =>
  Math.min(BIN_MOST_MS, Math.max(BIN_LEAST_MS, BIN_K / fullKPerMs));

const addSample = (follower: Follower, celsius: number | null): Follower =>
  celsius === null ? follower : { ...follower, sumC: follower.sumC + celsius, samples: follower.samples + 1 };

/** The bin under way is dropped; what was seen before stays. */
function interrupted(memory: AnswerMemory): AnswerMemory {
  if (memory.binMs === 0 && memory.share === null) return memory;
  const apart = (follower: Follower): Follower => ({ ...follower, sumC: 0, samples: 0, joined: false });
  return {
    binMs: 0,
    binK: 0,
    share: null,
    sinceSwitch: 0,
    doubted: memory.doubted,
    first: apart(memory.first),
    second: apart(memory.second),
    third: apart(memory.third),
  };
}

/** The rise from the middle of one bin to the middle of the next is made by half of the heat of each. */
function closeBin(memory: AnswerMemory, scene: AnswerScene): AnswerMemory {
  const { binMs, share, doubted, first, second, third } = memory;
  const fullK = scene.fullKPerMs * binMs;
  const own = memory.binK / fullK;
  const isSteady = own === share;
  const sinceSwitch = isSteady ? Math.min(SWITCH_SHOWS_BINS, memory.sinceSwitch + 1) : 0;
  const bin: Bin = {
    heat: share === null ? null : (share + own) / 2,
    fullK,
    farthestK: sinceSwitch < SWITCH_SHOWS_BINS ? MOVED_K : (FASTEST_K_PER_H * binMs) / 3_600_000,
  };
  return {
    binMs: 0,
    binK: 0,
    share: own,
    sinceSwitch,
    doubted,
    first: closeFor(first, bin),
    second: closeFor(second, bin),
    third: closeFor(third, bin),
  };
}

/** What a bin was like, for all thermometers. */
interface Bin {
  /** Share of the heat between the middle of the bin before and of this one; null = nobody knows. */
  readonly heat: number | null;
  readonly fullK: number;
  /** A rise beyond this was made by no water and no heater. */
  readonly farthestK: number;
}

function closeFor(follower: Follower, { heat, fullK, farthestK }: Bin): Follower {
  if (follower.samples === 0) return { ...follower, joined: false };
  const meanC = follower.sumC / follower.samples;
  const next = { ...follower, sumC: 0, samples: 0, meanC, joined: true };
  if (follower.meanC === null) return next;
  const riseK = meanC - follower.meanC;
  if (Math.abs(riseK) > (follower.joined ? farthestK : MOVED_K)) return { ...NOTHING_SEEN, meanC, joined: true };
  return follower.joined && heat !== null ? judge(weighed(next, heat, riseK / fullK)) : { ...next, meanBins: 0 };
}

/** One more bin; what is more evidence than needed makes the older one count less. */
function weighed(follower: Follower, heatNow: number, riseNow: number): Follower {
  const { meanBins, meanHeat, meanRise } = follower;
  const heat = meanBins === 0 ? 0 : heatNow - meanHeat;
  const rise = meanBins === 0 ? 0 : riseNow - meanRise;
  const of = Math.min(MEAN_BINS, meanBins + 1);
  const heatHeat = follower.heatHeat + heat * heat;
  const kept = Math.min(1, MOST_BINS / (follower.bins + 1), heatHeat > 0 ? MOST_EVIDENCE / heatHeat : 1);
  return {
    ...follower,
    meanBins: of,
    meanHeat: meanHeat + (heatNow - meanHeat) / of,
    meanRise: meanRise + (riseNow - meanRise) / of,
    bins: kept * (follower.bins + 1),
    heatHeat: kept * heatHeat,
    heatRise: kept * (follower.heatRise + heat * rise),
    riseRise: kept * (follower.riseRise + rise * rise),
  };
}

/** A class is given, and taken back, only where the doubt of the regression lies wholly on one side of its limit. */
function judge(follower: Follower): Follower {
  const { bins, heatHeat, heatRise, riseRise } = follower;
  if (heatHeat < STEEP_EVIDENCE) return follower;
  const share = heatRise / heatHeat;
  const unexplained = Math.max(0, riseRise - share * heatRise);
  const doubt = SURE_ERRORS * Math.sqrt(unexplained / bins / heatHeat);
  if (heatHeat < LEAST_EVIDENCE && share - doubt < STEEP_SHARE) return follower;
  const answer = classOf(share, doubt, follower.answer);
  return answer === follower.answer ? follower : { ...follower, answer };
}

function classOf(share: number, doubt: number, before: Answer): Answer {
  if (share + doubt < LEAST_SHARE) return "below";
  if (share - doubt > MOST_SHARE) return "above";
  return share - doubt > LEAST_SHARE && share + doubt < MOST_SHARE ? "expected" : before;
}
