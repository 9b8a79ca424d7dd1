import { PROBE_STALE_MS } from "../../shared/settings/limits.ts";
import type { Source, Vote } from "./vote.ts";

/** What is watched for an hour goes by one and the same source, and waits while that is lost for a moment. Volatile. */
export interface WatchedMemory {
  readonly source: Source;
  /** For how long the vote has gone by another. */
  readonly awayMs: number;
}

export const NOTHING_WATCHED: WatchedMemory = { source: "none", awayMs: 0 };

export interface Watched {
  /** °C; null = for a moment the vote goes by another source: time passes, and nothing can be compared. */
  readonly valueC: number | null;
  /** From this scan on by another source, with another offset: whatever was being watched begins anew. */
  readonly anew: boolean;
}

/** One garbled answer an hour must not hide a dead heater or a welded relay: only a loss that lasts begins anew. */
export function followWatched(
  memory: WatchedMemory,
  { source, trendC }: Vote,
  elapsedMs: number,
): { readonly memory: WatchedMemory; readonly watched: Watched } {
  if (source === memory.source) {
    return { memory: memory.awayMs === 0 ? memory : { source, awayMs: 0 }, watched: { valueC: trendC, anew: false } };
  }
  const awayMs = memory.awayMs + elapsedMs;
  if (memory.source !== "none" && awayMs <= PROBE_STALE_MS) {
    return { memory: { source: memory.source, awayMs }, watched: { valueC: null, anew: false } };
  }
  return { memory: { source, awayMs: 0 }, watched: { valueC: trendC, anew: true } };
}
