import { LOCK_OF, type ScanRecord } from "../../shared/contract/index.ts";
import type { Report } from "./report.ts";
import { createSpans } from "./spans.ts";

/**
 * Follows everything that wants a person, from the moment it does: an alarm of any priority, the question after a hold,
 * a lock that only a person can clear.
 */
export interface AskWatch {
  see(record: ScanRecord, atH: number): void;
  rows(): Report["asks"];
}

type Seen = Pick<ScanRecord, "alarms" | "hold" | "topOff" | "heaters">;

/** Asks for water in the reservoir: of all asks the one that a sitter is there for. */
export const REFILL_ASKS: readonly string[] = ["reservoir-low", "reservoir-empty"];

export function watchAskRows(): AskWatch {
  let nowH = 0;
  const spans = createSpans<{ what: string }>(() => nowH);
  return {
    see: (record, atH) => {
      nowH = atH;
      for (const what of asksOf(record)) spans.stands(what, () => ({ what }));
      spans.close(atH);
    },
    rows: () => spans.all.map(({ atH, what }) => ({ atH, what })),
  };
}

const NONE: readonly string[] = [];

function asksOf({ alarms, hold, topOff, heaters }: Seen): readonly string[] {
  const locked = heaters.filter(({ latch }) => latch !== null);
  if (alarms.length === 0 && !hold.question && topOff.latch === null && locked.length === 0) return NONE;
  const asks = new Set(
    alarms.filter(({ state }) => state !== "returned" && state !== "suppressed").map(({ id }) => id),
  );
  // The question is there before its alarm: it is one ask, not two.
  if (hold.question) asks.add("hold-question");
  if (topOff.latch !== null) asks.add("clear top-off");
  for (const { heater } of locked) asks.add(`clear ${LOCK_OF[heater]}`);
  return [...asks];
}
