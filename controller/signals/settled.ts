import type { Source, Trust, Vote } from "./vote.ts";
import { standingOf, type Witness, type Witnesses } from "./witness.ts";

/**
 * What is left after a loss is heated by with care at first, and as usual only when the same thermometers have said the
 * same for ten minutes: so no reading that goes bad ever switches a heater on, and whatever comes and goes never does.
 */
const SETTLES_MS = 600_000;
/** A single witness is believed near the course that was last agreed; that follows it so slowly that a step shows. */
const COURSE_K = 1;
const COURSE_K_PER_MS = 0.5 / 3_600_000;

/** Volatile. */
export interface SettledMemory {
  readonly source: Source;
  /** Who was heard in the last scan, and not in the air for all we know: a bit each. */
  readonly heard: number;
  /** For how long the vote has gone by the same source with nobody lost; saturates. */
  readonly forMs: number;
  /** °C; null = nothing was agreed since the start. */
  readonly courseC: number | null;
}

export const NOTHING_SETTLED: SettledMemory = { source: "none", heard: 0, forMs: 0, courseC: null };

export interface Settled {
  readonly memory: SettledMemory;
  readonly trust: Trust;
  /** The trust is more than a doubt, and has been for its time. */
  readonly isSettled: boolean;
}

export function settle(
  before: SettledMemory,
  { source, trust, control }: Vote,
  all: Witnesses,
  creditMs: number,
): Settled {
  const heard = heardBits(all);
  const isLost = (before.heard & ~heard) !== 0;
  const isOther = source !== before.source;
  const forMs = settledMs(before.forMs, trust, isOther, isLost, creditMs);
  const isSettled = forMs === SETTLES_MS && isUsual(trust);
  // What two have agreed on is worth nothing once they were seen to hang in the air.
  const courseBefore = isOther && source === "third-of-three" ? null : before.courseC;
  const courseC = followCourse(courseBefore, control.value, trust, isSettled, creditMs);
  const offCourse = trust === "answered" && source !== "warmer" && !isNear(courseC, control.value);
  const memory = { source, heard, forMs, courseC };
  if (!isUsual(trust)) return { memory, trust, isSettled: false };
  return forMs < SETTLES_MS || offCourse
    ? { memory, trust: "doubtful", isSettled: false }
    : { memory, trust, isSettled: true };
}

const isUsual = (trust: Trust): boolean => trust === "full" || trust === "agreed" || trust === "answered";

const heardBits = ({ first, second, third }: Witnesses): number =>
  (isHeard(first) ? 1 : 0) + (isHeard(second) ? 2 : 0) + (isHeard(third) ? 4 : 0);

const isHeard = (witness: Witness): boolean => witness.signal.value !== null && standingOf(witness) > 0;

/** Full trust is believed at once where nobody was lost for it; it needs no third, so that losing one changes nothing. */
function settledMs(forMs: number, trust: Trust, isOther: boolean, isLost: boolean, creditMs: number): number {
  if (trust === "full") {
    if (isOther) return isLost ? 0 : SETTLES_MS;
    return Math.min(SETTLES_MS, forMs + creditMs);
  }
  return isOther || isLost ? 0 : Math.min(SETTLES_MS, forMs + creditMs);
}

function followCourse(
  courseC: number | null,
  celsius: number | null,
  trust: Trust,
  isSettled: boolean,
  creditMs: number,
): number | null {
  if (celsius === null) return courseC;
  if (courseC === null) return isSettled ? celsius : null;
  if (isSettled && trust !== "answered") return celsius;
  const most = COURSE_K_PER_MS * creditMs;
  return courseC + Math.max(-most, Math.min(most, celsius - courseC));
}

const isNear = (courseC: number | null, celsius: number | null): boolean =>
  courseC !== null && celsius !== null && Math.abs(celsius - courseC) <= COURSE_K;
