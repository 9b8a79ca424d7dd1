import type { Commands } from "../../shared/contract/image.ts";

/**
 * Relay and guard of the pump take turns to break the load, so that both stay able to: a contact that never breaks
 * anything may be welded without anybody knowing.
 */
export interface Turns {
  /** Opens first the next time that both are to open. */
  readonly next: PumpContact;
  /** The other one, while it still waits for its moment. */
  readonly held: { readonly part: PumpContact; readonly untilMs: number } | null;
}

type PumpContact = "top-off-pump" | "water-guard";

export const FIRST_TURN: Turns = { next: "top-off-pump", held: null };

/** What the contacts do now on their way from `shown` to `wanted`; the load is broken at once, whoever's turn it is. */
export function takeTurns(
  turns: Turns,
  shown: Commands,
  wanted: Commands,
  nowMs: number,
  apartMs: number,
): { readonly turns: Turns; readonly commands: Commands } {
  const { next, held } = turns;
  const bothOff = !wanted["top-off-pump"] && !wanted["water-guard"];
  if (held !== null) {
    if (bothOff && nowMs < held.untilMs) return { turns, commands: { ...wanted, [held.part]: true } };
    return { turns: { next, held: null }, commands: wanted };
  }
  if (!bothOff || !shown["top-off-pump"] || !shown["water-guard"]) return { turns, commands: wanted };
  const part = next === "top-off-pump" ? "water-guard" : "top-off-pump";
  return { turns: { next: part, held: { part, untilMs: nowMs + apartMs } }, commands: { ...wanted, [part]: true } };
}
