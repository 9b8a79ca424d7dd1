import type { ScanRecord } from "../../shared/contract/index.ts";
import type { Report } from "./report.ts";

/** Follows what the ledger believes: a row when it changes its mind, or has become surer or less sure by a quarter. */
export interface BeliefWatch {
  see(record: Pick<ScanRecord, "ledger">, atH: number): void;
  rows(): Report["beliefs"];
}

const TELLING = 0.25;

export function watchBeliefs(): BeliefWatch {
  const rows: Report["beliefs"][number][] = [];
  return {
    see: ({ ledger: { belief, sureness } }, atH) => {
      const last = rows.at(-1);
      const same = last?.ledger === belief && Math.abs(last.sureness - sureness) < TELLING;
      if (!same) rows.push({ atH, ledger: belief, sureness });
    },
    rows: () => rows,
  };
}
