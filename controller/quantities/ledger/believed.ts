import type { Belief, LedgerGap } from "../../../shared/contract/ledger.ts";
import type { Window } from "./stories.ts";

/** What the ledger believes, and by what. */
export interface Believed {
  readonly belief: Belief;
  readonly sureness: number;
  readonly because: LedgerGap | null;
  readonly settled: "probe-drift" | "salt-loss" | null;
  /** The window that told the most; null = there was none. */
  readonly window: Window | null;
}
