import type { Elapsed } from "../../shared/contract/elapsed.ts";
import { SCAN_GAP_MS } from "../../shared/settings/limits.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { creditMostMs } from "../../shared/settings/waits.ts";

/** What a scan after so many milliseconds counts. */
export const elapsedSince = (ms: number, settings: Pick<Settings, "scanMs">): Elapsed => ({
  ms,
  creditMs: Math.min(ms, creditMostMs(settings)),
  gap: ms > SCAN_GAP_MS,
});
