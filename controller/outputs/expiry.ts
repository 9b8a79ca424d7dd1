import { type Commands, EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { OUTPUT_EXPIRY_MS } from "../../shared/settings/limits.ts";

/** What the outputs may do, and for how much longer. */
export interface Permit {
  readonly commands: Commands;
  /** Whole milliseconds until everything falls off, 0 when it has. */
  readonly leftMs: number;
}

export const EXPIRED: Permit = { commands: EVERYTHING_OFF, leftMs: 0 };

/** A healthy scan renews all outputs at once, so that none of them can live on the renewal of another. */
export const renewed = (commands: Commands): Permit => ({ commands, leftMs: OUTPUT_EXPIRY_MS });

/** The permit after some time without renewal. A clock that runs backwards or is no number expires it at once. */
export function passed(permit: Permit, elapsedMs: number): Permit {
  if (!(elapsedMs >= 0 && elapsedMs < permit.leftMs)) return EXPIRED;
  return { commands: permit.commands, leftMs: permit.leftMs - elapsedMs };
}
