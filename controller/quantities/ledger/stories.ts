/**
 * The stories that could explain what a window shows, and how likely each is. Outside the proven core.
 *
 * A window gives two numbers: litres beyond expected evaporation, and change of the shown salinity. Every story says in
 * which direction they may move together, and how far; what is left over must be noise. Their likelihoods are plain
 * normal densities, compared by Bayes' rule; hand tests weigh in as a third number, and what was measured in the
 * reservoir as a word for or against one story. Each story is one line of a table:
 *
 *   litres   salinity    direction
 *     0         0        evaporation only
 *     L         0        more evaporation, or a pump weaker than proven
 *     L      −L·S/V      fresh water that nothing evaporated, or salt water leaving
 *     0      − or +      the probe drifts: a hand test has not moved
 *     0         −        salt is slowly lost: a hand test has moved as well
 *     0         +        the reservoir is not fresh: a hand test has moved as well
 */
export interface Window {
  readonly days: number;
  /** Of these, how many at the end the water was not at its mark: what went in then tells nothing. */
  readonly blindDays: number;
  /** Litres beyond expected evaporation, and one standard deviation. */
  readonly litres: number;
  readonly litresDeviation: number;
  /** Change of the shown salinity; null = no probe. */
  readonly salinity: number | null;
  readonly salinityDeviation: number;
  /** S/V, salinity per litre. */
  readonly perLitre: number;
  /** Litres poured in the window: only they can bring salt. */
  readonly pouredL: number;
}

/** One hand test, and what the probe showed then, both as they would be without the water changes since. */
export interface HandEvidence {
  readonly byHand: number;
  readonly byProbe: number;
}

/** What a person has measured. `reservoirIsFresh`: null = nobody has measured what is in it now. */
export interface Evidence {
  readonly tests: readonly HandEvidence[];
  readonly reservoirIsFresh: boolean | null;
}

export type Story = "evaporation" | "more" | "less" | "fresh" | "drift" | "drift-up" | "salt-loss" | "salty";

export type Shares = { readonly [Each in Story]: number };

export const STORIES = ["evaporation", "more", "less", "fresh", "drift", "drift-up", "salt-loss", "salty"] as const;

/** Before anything is seen. *Common practice*: most days are quiet, and a probe fouls more often than salt is lost;
 *  a fouled probe reads low (trade facts §4), so that what rises is rather the water than the probe. */
const BEFORE: Shares = {
  evaporation: 0.72,
  more: 0.08,
  less: 0.06,
  fresh: 0.06,
  drift: 0.035,
  "drift-up": 0.005,
  "salt-loss": 0.02,
  salty: 0.02,
};
/** How far a story may go in a day, one standard deviation. */
const LITRES_A_DAY = 1.5;
const SALINITY_A_DAY = 0.2;
/** What a keeper's hand test is worth, one standard deviation (*common practice*). */
export const HAND_TEST_DEVIATION = 0.3;
/** One wrong test among many must not be worth more than it can be. */
const MOST_SQUARES = 25;
/** How often what is said of the reservoir is wrong: other water, another can, a dirty prism (*common practice*). */
const RESERVOIR_WRONG = 0.02;
const LEAST_REACH = 0.005;
/** Flow, volume and cell are each known to some percent, so that no change fits its story better than this. */
const MISFIT = 0.12;

/** The share of each story in the whole, 0–1. */
export function tellStories(window: Window, evidence: Evidence): Shares {
  const logs = STORIES.map(
    (story) => Math.log(BEFORE[story]) + logLikelihood(story, window) + byEvidence(story, evidence),
  );
  const most = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - most));
  const sum = weights.reduce((all, weight) => all + weight, 0);
  return Object.fromEntries(STORIES.map((story, index) => [story, weights[index]! / sum])) as unknown as Shares;
}

interface Direction {
  readonly litres: number;
  readonly salinity: number;
  /** Sign that the amplitude must have. */
  readonly sign: -1 | 1;
  readonly reach: number;
}

function directionOf(story: Story, window: Window): Direction | null {
  const reachL = LITRES_A_DAY * Math.max(0.5, window.days);
  const reachS = SALINITY_A_DAY * Math.max(1, window.days);
  switch (story) {
    case "evaporation":
      return null;
    case "more":
      return { litres: 1, salinity: 0, sign: 1, reach: reachL };
    case "less":
      return { litres: 1, salinity: 0, sign: -1, reach: reachL / 2 };
    case "fresh":
      return { litres: 1, salinity: -window.perLitre, sign: 1, reach: reachL };
    case "drift":
      return { litres: 0, salinity: 1, sign: -1, reach: reachS };
    case "drift-up":
      return { litres: 0, salinity: 1, sign: 1, reach: reachS };
    case "salt-loss":
      return { litres: 0, salinity: 1, sign: -1, reach: reachS };
    case "salty":
      return { litres: 0, salinity: 1, sign: 1, reach: Math.max(LEAST_REACH, window.perLitre * window.pouredL) };
  }
}

/** Normal density of both numbers, noise plus one direction: Σ = D + r² v vᵀ, inverted by Sherman and Morrison. */
function logLikelihood(story: Story, window: Window): number {
  const direction = directionOf(story, window);
  const [d1, d2] = variances(window, direction);
  const z1 = window.litres;
  const z2 = window.salinity ?? 0;
  const known = window.salinity !== null;
  const plain = -0.5 * (z1 ** 2 / d1 + Math.log(d1) + (known ? z2 ** 2 / d2 + Math.log(d2) : 0));
  if (direction === null) return plain;
  const v2 = known ? direction.salinity : 0;
  const information = direction.litres ** 2 / d1 + v2 ** 2 / d2;
  const pull = (direction.litres * z1) / d1 + (v2 * z2) / d2;
  const spread = direction.reach ** 2;
  const variance = spread / (1 + spread * information);
  const amplitude = variance * pull;
  const along = plain - 0.5 * Math.log(1 + spread * information) + 0.5 * pull * amplitude;
  return along + Math.log(2 * normalBelow((direction.sign * amplitude) / Math.sqrt(variance)) + 1e-12);
}

function variances(window: Window, direction: Direction | null): [number, number] {
  const misfit = direction === null || direction.salinity === 0 ? 0 : MISFIT * Math.abs(window.salinity ?? 0);
  return [window.litresDeviation ** 2, window.salinityDeviation ** 2 + misfit ** 2];
}

const byEvidence = (story: Story, { tests, reservoirIsFresh }: Evidence): number =>
  byHand(story, tests) + byReservoir(story, reservoirIsFresh);

function byReservoir(story: Story, isFresh: boolean | null): number {
  if (isFresh === null) return 0;
  const fits = isFresh === (story !== "salty");
  return Math.log(fits ? 1 - RESERVOIR_WRONG : RESERVOIR_WRONG);
}

/**
 * A drifting probe leaves the hand tests where they were; in every other story they go with the probe. What is left of
 * them beside that, around their own mean, must be the hand's noise.
 */
function byHand(story: Story, tests: readonly HandEvidence[]): number {
  if (tests.length < 2) return 0;
  const follows = story === "drift" || story === "drift-up" ? 0 : 1;
  const left = tests.map((test) => test.byHand - follows * test.byProbe);
  const mean = left.reduce((sum, each) => sum + each, 0) / left.length;
  const squares = left.reduce((sum, each) => sum + (each - mean) ** 2, 0);
  return -0.5 * Math.min(MOST_SQUARES, squares / HAND_TEST_DEVIATION ** 2);
}

/** Share of a normal distribution below z: the logistic approximation, within 0.01 everywhere. */
const normalBelow = (z: number): number => 1 / (1 + Math.exp(-1.702 * z));
