import * as z from "zod";
import type { Due } from "../../shared/contract/absence.ts";
import type { SourceWaterStatus } from "../../shared/contract/record.ts";
import type { Signal } from "../../shared/contract/signal.ts";

const MOST_AGE_MS = 10 * 365 * 86_400_000;
const MOST_UL = 1e12;

export const UNKNOWN_CARTRIDGE = { cartridgeAgeMs: null, cartridgeUl: null } as const;

/** What the cartridge that makes the source water has given since it was changed. Durable; nothing is decided by it. */
export const storedCartridge = z
  .object({
    /** It takes all time, off-time too. Null = nobody has said when it was changed, or it is no longer known. */
    cartridgeAgeMs: z.number().min(0).max(MOST_AGE_MS).nullable(),
    /** Microlitres that top-off has poured since. */
    cartridgeUl: z.number().min(0).max(MOST_UL).nullable(),
  })
  .readonly()
  .catch(UNKNOWN_CARTRIDGE);
export type CartridgeMemory = z.infer<typeof storedCartridge>;

export const NEW_CARTRIDGE: CartridgeMemory = { cartridgeAgeMs: 0, cartridgeUl: 0 };

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

/** How much a cartridge gives hangs on the water that it is fed with, and nobody tells us of that. */
export const cartridgeDue: Due = { kind: "cartridge", of: null, inH: null, earliestH: null, renewedH: null };
