import type { Belief, LedgerGap } from "../../../shared/contract/ledger.ts";
import type { Believed } from "./believed.ts";
import type { Hour } from "./memory.ts";
import { type Evidence, type Shares, tellStories, type Window } from "./stories.ts";
import { type Expected, LEAST_HOURS, windowOf } from "./window.ts";

/** Half a day shows a sudden thing, a day and a half what has just begun, four days what is slow. */
const WINDOWS_H = [12, 36, 96] as const;
export const LONGEST_H = 96;
/** Below this share no story is told. */
const LEAST_SHARE = 0.6;
const QUIET_SHARE = 0.8;
/** Of the window, the water may have been away from its mark for this long. */
const BLIND_SHARE = 0.5;
/** One half of the undecided pair has this much of it: told apart. */
const SETTLED_SHARE = 0.9;

/** What the hours say. The window in which the quiet story does worst tells it; all may agree that nothing happens. */
export function believe(
  hours: readonly Hour[],
  expected: Expected,
  evidence: Evidence,
  contested: boolean,
  gap: LedgerGap,
): Believed {
  if (hours.length < LEAST_HOURS) return nothing(gap);
  if (contested) return nothing("hand-test-contradicts");
  let told: { window: Window; shares: Shares } | null = null;
  for (const count of WINDOWS_H) {
    const window = windowOf(hours, count, expected);
    if (window === null) continue;
    const shares = tellStories(window, evidence);
    // While all is quiet the longest window is the sharpest.
    const telling = Math.min(QUIET_SHARE, quiet(shares));
    if (told === null || telling <= Math.min(QUIET_SHARE, quiet(told.shares))) told = { window, shares };
    if (hours.length <= count) break;
  }
  if (told === null) return nothing(gap);
  const { window, shares } = told;
  if (window.salinity === null) return { ...nothing("no-salinity"), window };
  const best = bestOf(shares);
  // Of litres nothing is known then; what salinity and hand tests say alone may still be told.
  const needsLitres = best.belief === "evaporation-only" || best.belief === "more-evaporation-or-weaker-pump";
  const blind = window.blindDays > BLIND_SHARE * window.days;
  if (blind && (needsLitres || best.belief === "unknown")) return { ...nothing("not-at-mark"), window };
  return { ...best, window };
}

const quiet = (shares: Shares): number => shares.evaporation + shares.less;

function bestOf(shares: Shares): Omit<Believed, "window"> {
  const drift = shares.drift + shares["drift-up"];
  const pair = drift + shares["salt-loss"];
  const beliefs: readonly (readonly [Belief, number])[] = [
    ["evaporation-only", quiet(shares)],
    ["more-evaporation-or-weaker-pump", shares.more],
    ["fresh-water-or-salt-leaving", shares.fresh],
    ["probe-drift-or-slow-salt-loss", pair],
    ["reservoir-not-fresh", shares.salty],
  ];
  const [belief, sureness] = beliefs.reduce((best, each) => (each[1] > best[1] ? each : best));
  if (sureness < LEAST_SHARE) return nothing("no-story-fits");
  const settled = belief === "probe-drift-or-slow-salt-loss" ? settledOf(drift, pair) : null;
  return { belief, sureness, because: null, settled };
}

function settledOf(drift: number, pair: number): Believed["settled"] {
  if (drift / pair > SETTLED_SHARE) return "probe-drift";
  return drift / pair < 1 - SETTLED_SHARE ? "salt-loss" : null;
}

const nothing = (because: LedgerGap): Believed => ({
  belief: "unknown",
  sureness: 0,
  because,
  settled: null,
  window: null,
});

export const NOTHING_BELIEVED: Believed = nothing("starting");
