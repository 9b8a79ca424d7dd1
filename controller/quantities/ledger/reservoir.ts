import type { Outcome } from "../../../shared/contract/requests.ts";
import type { LedgerDurable } from "./memory.ts";
import type { LedgerSeen } from "./seen.ts";

/** What a person has measured in the reservoir: it speaks of the water that was filled in last, and of no other. */

/** Salinity up to which it is fresh: a refractometer's zero is no better (*common practice*), and less does no harm. */
const FRESH_MOST = 2;

export const NEVER_MEASURED = { reservoirSalinity: null, reservoirTestedAtL: 0 } as const;

/** `reservoirL`: what the reservoir holds when it is full. Once as much was poured, it has been filled again. */
export function withReservoir(durable: LedgerDurable, seen: LedgerSeen, reservoirL: number): LedgerDurable {
  const { reservoirSalinity, reservoirTestedAtL } = durable;
  if (seen.reservoir !== null) {
    return { ...durable, reservoirSalinity: seen.reservoir.salinity, reservoirTestedAtL: seen.pouredTotalL };
  }
  if (reservoirSalinity === null) return durable;
  const pouredL = seen.pouredTotalL - reservoirTestedAtL;
  return pouredL >= 0 && pouredL < reservoirL ? durable : { ...durable, reservoirSalinity: null };
}

/** Null = nobody has measured what is in it now. */
export const reservoirIsFresh = ({ reservoirSalinity }: LedgerDurable): boolean | null =>
  reservoirSalinity === null ? null : reservoirSalinity <= FRESH_MOST;

/** Refused where it is no salinity that water has. */
export function reservoirAnswer(salinity: number): Pick<Outcome, "accepted" | "why"> {
  if (!(salinity >= 0 && salinity <= 42)) return { accepted: false, why: "A salinity from 0 to 42 is expected." };
  const noted = `Noted: the reservoir holds water of ${salinity.toFixed(1)}`;
  return {
    accepted: true,
    why:
      salinity <= FRESH_MOST
        ? `${noted}, which is fresh. It counts until the reservoir is filled again.`
        : `${noted}, which is not fresh. Hold top-off, empty the reservoir, rinse it and fill it with fresh water.`,
  };
}
