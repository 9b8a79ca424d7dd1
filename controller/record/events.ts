import type { RecordEvent } from "./events-between.ts";
import type { Store, StoredEvent } from "./store.ts";

/** The log of what happened. Lines are only ever added; the oldest of twenty thousand goes. */
export interface Events {
  append(atMs: number, event: RecordEvent): void;
  /** Newest first, those not yet on disk included. */
  newest(most: number): LoggedEvent[];
  pending(): { readonly events: readonly StoredEvent[]; taken(): void };
}

export interface LoggedEvent extends RecordEvent {
  readonly atMs: number;
}

/** Should the disk be gone, this many lines are kept without it. */
const MOST_PENDING = 1_000;

export function createEvents(store: Store): Events {
  let waiting: StoredEvent[] = [];
  return {
    append(atMs, event) {
      waiting.push({ atMs: Math.round(atMs), body: JSON.stringify(event) });
      if (waiting.length > MOST_PENDING) waiting = waiting.slice(-MOST_PENDING);
    },
    newest(most) {
      const unsaved = waiting.slice(-most).reverse();
      const saved = store.events(Number.MAX_SAFE_INTEGER, most - unsaved.length);
      return [...unsaved, ...saved].map(({ atMs, body }) => ({ atMs, ...(JSON.parse(body) as RecordEvent) }));
    },
    pending() {
      const sent = waiting.length;
      return {
        events: waiting,
        taken: () => {
          waiting = waiting.slice(sent);
        },
      };
    },
  };
}
