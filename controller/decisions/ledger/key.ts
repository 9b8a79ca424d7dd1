import type { LedgerDurable, LedgerSeen, LedgerVolatile } from "../../quantities/ledger/index.ts";
import type { Key } from "../machine.ts";

export interface LedgerKept {
  readonly ledger: LedgerVolatile;
  /** Since the ledger last looked. */
  readonly sinceMs: number;
  /** What somebody has said since then. */
  readonly told: Pick<LedgerSeen, "handTest" | "reservoir">;
}

export const LEDGER: Key<LedgerDurable, LedgerKept> = { name: "ledger" };
