import type { Doubtful } from "../../../shared/contract/ledger.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import type { Fills, Hands, LearnedEvaporation, LedgerDurable, LedgerVolatile } from "./memory.ts";
import type { LedgerSeen } from "./seen.ts";

/**
 * Litres from fill to fill: only when the water has risen to its mark again do litres and hours belong together. The
 * way between the two marks of the float is always the same, so the litres that the pump *says* it needed for it tell
 * whether the pump still gives what it gave when it was proven.
 */
export interface Filled {
  readonly fills: Fills;
  readonly hands: Hands;
  readonly durable: LedgerDurable;
}

const FILLS_KEPT = 9;
const FILLS_TO_LEARN = 12;
const FILLS_LEAST = 5;
/** Against the marks of the float; a fill beyond these is no ordinary fill and teaches nothing. */
const ORDINARY: readonly [number, number] = [0.5, 1.6];
/** Confirming, pouring a slice or two, settling. */
/** Weaker than this it is weak, and no whim of the float. */
const WEAK = 0.8;
const MOST_MISSING = 0.1;
const ORDINARY_LOW_MS = 600_000;
const MS_A_DAY = 86_400_000;
/** The whole fills of a float vary by about this share; before they were learned, its geometry does. */
const FILL_DOUBT = 0.12;
const GEOMETRY_DOUBT = 0.3;
/** k = 2: a fill is small, and what stays in the tube or runs on after it is a good part of it (*common practice*). */
const SHARE_DOUBT = 0.15;

export const firstFill = (): Fills => ({
  lastTotalL: null,
  pendingL: 0,
  lowMs: 0,
  pouredL: 0,
  fullAtMs: null,
  fullAtDryingMs: 0,
  recentL: [],
});

export function followFills(
  { fills, hands, runMs, dryingMs }: LedgerVolatile,
  durable: LedgerDurable,
  seen: LedgerSeen,
  settings: Settings,
): Filled {
  const counted = grown(fills, seen);
  if (!seen.full || counted.pendingL <= 0) return { fills: counted, hands, durable };
  const full = { ...counted, pendingL: 0, lowMs: 0, fullAtMs: runMs, fullAtDryingMs: dryingMs };
  // Nobody saw the beginning of the first fill.
  if (counted.fullAtMs === null) return { fills: full, hands, durable };
  if (hands.litresOpen) {
    const made = { ...full, pouredL: counted.pouredL + evaporatedL(durable, dryingMs - counted.fullAtDryingMs) };
    return { fills: made, hands: { ...hands, litresOpen: false }, durable };
  }
  const poured = { ...full, pouredL: counted.pouredL + counted.pendingL };
  if (counted.lowMs > ORDINARY_LOW_MS) return { fills: poured, hands, durable };
  const recentL = [...counted.recentL.slice(1 - FILLS_KEPT), counted.pendingL];
  return { fills: { ...poured, recentL }, hands, durable: withFill(durable, counted.pendingL, settings) };
}

/** Hands, or a return pump at rest: litres are counted, but no level tells that the water is full. */
export const heldFills = ({ fills, hands }: LedgerVolatile, durable: LedgerDurable, seen: LedgerSeen): Filled => ({
  fills: grown(fills, seen),
  hands,
  durable,
});

const grown = (fills: Fills, { pouredTotalL, low, elapsedMs }: LedgerSeen): Fills => ({
  ...fills,
  lowMs: fills.lowMs + (low ? elapsedMs : 0),
  lastTotalL: pouredTotalL,
  pendingL: fills.pendingL + Math.max(0, pouredTotalL - (fills.lastTotalL ?? pouredTotalL)),
});

function withFill(durable: LedgerDurable, litres: number, { tank }: Settings): LedgerDurable {
  if (durable.fillsLearned >= FILLS_TO_LEARN) return durable;
  const share = litres / (tank.floatHysteresisMm * tank.lastChamberM2);
  if (share < ORDINARY[0] || share > ORDINARY[1]) return durable;
  const fillsLearned = durable.fillsLearned + 1;
  return { ...durable, fillsLearned, fillL: durable.fillL + (litres - durable.fillL) / fillsLearned };
}

export const evaporatedL = ({ evaporationLPerDay }: LearnedEvaporation, dryingMs: number): number =>
  (evaporationLPerDay * dryingMs) / MS_A_DAY;

/** Share of the tank that is not there, since the water was last at its mark: evaporated as expected, less what went in. */
export function missingShare({ fills, dryingMs }: LedgerVolatile, durable: LedgerDurable, settings: Settings): number {
  if (fills.fullAtMs === null) return 0;
  const goneL = evaporatedL(durable, dryingMs - fills.fullAtDryingMs);
  const weak = weakShare(pumpStrength(fills, durable));
  const missingL = goneL - fills.pendingL * litreShareOf(durable, settings).value * weak;
  return Math.min(MOST_MISSING, Math.max(0, missingL / settings.tank.netVolumeL));
}

/**
 * Litres in the tank for a litre that the pump says. The tube fills anew in every pour and some water runs on after it,
 * so a small pour gives less than its seconds say; the marks of the float say the same from the other side. Neither is
 * the better one, so the truth is taken to lie between.
 */
export function litreShareOf({ fillL, fillsLearned }: LedgerDurable, { tank }: Settings): Doubtful {
  if (fillsLearned < FILLS_LEAST) return { value: 1, uncertainty: GEOMETRY_DOUBT / 2 };
  const byMarks = (tank.floatHysteresisMm * tank.lastChamberM2) / fillL;
  return { value: (1 + byMarks) / 2, uncertainty: Math.hypot(SHARE_DOUBT, Math.abs(1 - byMarks) / 2) };
}

/** Flow against the proven flow, from the middle one of the last fills. Null = too few fills. */
export function pumpStrength({ recentL }: Fills, durable: LedgerDurable): Doubtful | null {
  if (recentL.length < FILLS_LEAST) return null;
  const sorted = [...recentL].sort((a, b) => a - b);
  const middle = sorted[Math.floor(sorted.length / 2)]!;
  const value = durable.fillL / middle;
  const doubt = durable.fillsLearned >= FILLS_TO_LEARN / 2 ? FILL_DOUBT : GEOMETRY_DOUBT;
  return { value, uncertainty: doubt * value };
}

/** A weak pump says more litres than it gives. */
export const weakShare = (strength: Doubtful | null): number =>
  strength !== null && strength.value < WEAK ? strength.value : 1;
