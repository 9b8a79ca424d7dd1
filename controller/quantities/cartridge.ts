import type { SourceWaterStatus } from "../../shared/contract/record.ts";
import type { Signal } from "../../shared/contract/signal.ts";

/** What the cartridge that makes the source water has given since it was changed. Durable; nothing is decided by it. */
export interface CartridgeMemory {
  /** A charge: it takes all time, off-time too. Null = nobody has said when it was changed, or it is no longer known. */
  readonly cartridgeAgeMs: number | null;
  /** Microlitres that top-off has poured since. */
  readonly cartridgeUl: number | null;
}

export const NEW_CARTRIDGE: CartridgeMemory = { cartridgeAgeMs: 0, cartridgeUl: 0 };
export const UNKNOWN_CARTRIDGE: CartridgeMemory = { cartridgeAgeMs: null, cartridgeUl: null };

const MOST_AGE_MS = 10 * 365 * 86_400_000;
const MOST_UL = 1e12;

export function followCartridge(memory: CartridgeMemory, elapsedMs: number, pouredUl: number): CartridgeMemory {
  const { cartridgeAgeMs, cartridgeUl } = memory;
  return {
    cartridgeAgeMs: cartridgeAgeMs === null ? null : Math.min(MOST_AGE_MS, cartridgeAgeMs + elapsedMs),
    cartridgeUl: cartridgeUl === null ? null : Math.min(MOST_UL, cartridgeUl + Math.max(0, pouredUl)),
  };
}

/** Nothing was poured while the controller was off; how old the cartridge is nobody knows where that time is not known. */
export const cartridgeAfterRestart = (memory: CartridgeMemory, offMs: number | null): CartridgeMemory =>
  offMs === null ? { ...memory, cartridgeAgeMs: null } : followCartridge(memory, offMs, 0);

const MS_PER_DAY = 86_400_000;
const UL_PER_L = 1_000_000;

export const sourceWaterStatus = (
  tds: Signal,
  { cartridgeAgeMs, cartridgeUl }: CartridgeMemory,
): SourceWaterStatus => ({
  tds,
  litresSinceChange: cartridgeUl === null ? null : cartridgeUl / UL_PER_L,
  daysSinceChange: cartridgeAgeMs === null ? null : cartridgeAgeMs / MS_PER_DAY,
});
