import type { Signal } from "../../../shared/contract/signal.ts";
import type { FanSeen } from "../fan.ts";

/** What the ledger looks at, once a minute and whenever somebody enters a hand test. */
export interface LedgerSeen {
  /** Since it last looked. */
  readonly elapsedMs: number;
  /** A scan came so late that nobody knows what happened between. */
  readonly gap: boolean;
  /** Null = no start. */
  readonly start: { readonly offMs: number | null } | null;
  /** Litres poured in all, at the proven flow. */
  readonly pouredTotalL: number;
  /** The water has stood at its mark for its time and nothing was poured since. */
  readonly full: boolean;
  /** The working float reads low. */
  readonly low: boolean;
  /** The return pump runs, the level has settled, nobody's hands are in: floats and probe mean the water. */
  readonly judged: boolean;
  readonly hands: boolean;
  /** Level or salinity alarm, or top-off locked: nothing is learned. */
  readonly frozen: boolean;
  readonly salinity: Signal;
  readonly calibrationDays: number;
  readonly temperatureC: number | null;
  readonly roomC: number | null;
  /** Watts of the heaters that are on. */
  readonly heaterW: number;
  readonly fan: FanSeen;
  readonly handTest: number | null;
  /** What was said of the reservoir: its salinity, or null for new water that nobody has measured. Null = nothing. */
  readonly reservoir: { readonly salinity: number | null } | null;
  readonly reservoirL: number | null;
}
