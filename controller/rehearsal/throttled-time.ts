import type { Reason, ScanRecord } from "../../shared/contract/index.ts";

/** Follows for how long litres, and nothing else, have kept top-off from pouring what is due. */
export interface ThrottleWatch {
  see(record: ScanRecord, atH: number): void;
  hours(): number;
}

/** Litres that may not be poured yet, though nothing is locked. */
const BY_LITRES: readonly Reason[] = ["daily-budget-used", "excess-litres"];

export const isThrottled = ({ topOff }: Pick<ScanRecord, "topOff">): boolean =>
  topOff.latch === null && BY_LITRES.includes(topOff.why);

export function watchThrottle(): ThrottleWatch {
  let hours = 0;
  let since: number | null = null;
  return {
    see: (record, atH) => {
      if (since !== null) hours += atH - since;
      since = isThrottled(record) ? atH : null;
    },
    hours: () => hours,
  };
}
