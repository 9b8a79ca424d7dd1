import type { AlarmPriority, ScanRecord } from "../../shared/contract/index.ts";
import type { Report } from "./report.ts";
import { createSpans } from "./spans.ts";

/**
 * Follows every alarm from the moment it is raised until it is neither active nor held by its latch. What design
 * suppresses is not raised; what only waits to be acknowledged is over.
 */
export interface AlarmWatch {
  see(record: ScanRecord, atH: number): void;
  rows(): Report["alarms"][number][];
}

export function watchAlarmRows(): AlarmWatch {
  let nowH = 0;
  const spans = createSpans<{ id: string; priority: AlarmPriority }>(() => nowH);
  return {
    see: (record, atH) => {
      nowH = atH;
      for (const { id, priority, state } of record.alarms) {
        if (state !== "returned" && state !== "suppressed") spans.stands(id, () => ({ id, priority }));
      }
      spans.close(atH);
    },
    rows: () => spans.all.map(({ id, priority, atH, clearedAtH }) => ({ id, priority, raisedAtH: atH, clearedAtH })),
  };
}
