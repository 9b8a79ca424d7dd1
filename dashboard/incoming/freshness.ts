import { computed, type ReadonlySignal, signal } from "@preact/signals";

/**
 * How fresh what the page shows is. Retained is not fresh: the broker hands out old words to whoever comes, so only a
 * clock of the box that arrives live is a word from the controller.
 */
export interface Freshness {
  readonly fresh: ReadonlySignal<boolean>;
  /** The box's own time, carried on between its words while they are fresh; null = never told. */
  readonly boxNowMs: ReadonlySignal<number | null>;
  /** The box's time in its last word. */
  readonly lastWordMs: ReadonlySignal<number | null>;
  readonly link: ReadonlySignal<"connecting" | "open" | "closed">;
  /** How often a live word came after a silence; what was missed meanwhile is worth fetching then. */
  readonly returns: ReadonlySignal<number>;
  opened(): void;
  closed(): void;
  clockTold(boxMs: number, retained: boolean): void;
  stateTold(state: string): void;
  tick(): void;
}

export function createFreshness(nowMs: () => number, speed: ReadonlySignal<number>): Freshness {
  const link = signal<"connecting" | "open" | "closed">("connecting");
  const heardAtMs = signal<number | null>(null);
  const lastWordMs = signal<number | null>(null);
  const state = signal("");
  const pageNowMs = signal(nowMs());
  const returns = signal(0);

  const fresh = computed(() => {
    const heard = heardAtMs.value;
    if (link.value !== "open" || heard === null) return false;
    return pageNowMs.value - heard <= SILENCE_MS && !GONE.includes(state.value);
  });

  return {
    fresh,
    link,
    lastWordMs,
    returns,
    boxNowMs: computed(() => {
      const word = lastWordMs.value;
      const heard = heardAtMs.value;
      if (word === null || heard === null || !fresh.value) return word;
      return word + Math.max(0, pageNowMs.value - heard) * speed.value;
    }),
    opened() {
      link.value = "open";
    },
    closed() {
      link.value = "closed";
    },
    clockTold(boxMs, retained) {
      lastWordMs.value = boxMs;
      pageNowMs.value = nowMs();
      if (retained) return;
      const wasFresh = fresh.peek();
      heardAtMs.value = nowMs();
      if (!wasFresh) returns.value += 1;
    },
    stateTold(told) {
      state.value = told;
    },
    tick() {
      pageNowMs.value = nowMs();
    },
  };
}

/** The controller says its time every second; three words and more must be missing before the page says so. */
export const SILENCE_MS = 6_000;
/** What `$state` says when the device has gone (Homie convention 5). */
const GONE: readonly string[] = ["lost", "disconnected", "sleeping"];
