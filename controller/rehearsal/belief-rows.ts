import type { ScanRecord } from "../../shared/contract/index.ts";
import type { LedgerStatus } from "../../shared/contract/ledger.ts";
import type { Report } from "./report.ts";

/** What a record shows of the ledger of water and salt, where it has one. */
type Told = ScanRecord & { readonly ledger?: Pick<LedgerStatus, "belief" | "sureness"> };

/** Follows what the ledger believes: a row when it changes its mind, or has become surer or less sure by a quarter. */
export interface BeliefWatch {
  see(record: Told, atH: number): void;
  rows(): Report["beliefs"];
}

const TELLING = 0.25;

export function watchBeliefs(): BeliefWatch {
  const rows: Report["beliefs"][number][] = [];
  return {
    see: ({ ledger }, atH) => {
      if (ledger === undefined) return;
      const last = rows.at(-1);
      const same = last?.ledger === ledger.belief && Math.abs(last.sureness - ledger.sureness) < TELLING;
      if (!same) rows.push({ atH, ledger: ledger.belief, sureness: ledger.sureness });
    },
    rows: () => rows,
  };
}
