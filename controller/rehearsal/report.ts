import type { AlarmPriority, Belief, HeaterPart, Reason } from "../../shared/contract/index.ts";
import type { Truth } from "./plant/truth.ts";

/** What a rehearsal gives back. `truth` is the tank's, never the controller's belief. */
export interface Report {
  readonly name: string;
  readonly seed: number;
  readonly hours: number;
  readonly scans: number;
  readonly truth: Truth;
  readonly alarms: readonly {
    readonly id: string;
    readonly priority: AlarmPriority;
    readonly raisedAtH: number;
    readonly clearedAtH: number | null;
  }[];
  readonly trips: readonly TripRow[];
  readonly lockouts: readonly {
    readonly reason: Reason;
    readonly atH: number;
    readonly clearedAtH: number | null;
  }[];
  /** What the ledger of water and salt believed, from then on. */
  readonly beliefs: readonly { readonly atH: number; readonly ledger: Belief; readonly sureness: number }[];
  /** Hours in which litres, and nothing else, kept top-off from pouring what was due. */
  readonly throttledH: number;
  /** Everything that wanted a person, and since when. */
  readonly asks: readonly { readonly atH: number; readonly what: string }[];
  /** Alarms that belong together, by the one that came first. */
  readonly episodes: readonly { readonly cause: string; readonly atH: number; readonly alarms: readonly string[] }[];
  readonly violations: readonly Violation[];
  /** The same scenario on the same tank with a bare float, relay and thermostat, where it was asked for. */
  readonly bare?: { readonly truth: Truth };
}

export interface TripRow {
  readonly reason: Reason;
  /** Whose output was opened. */
  readonly part: "top-off-pump" | HeaterPart;
  readonly latched: boolean;
  readonly atH: number;
  readonly clearedAtH: number | null;
}

export interface Violation {
  readonly invariant: string;
  readonly atH: number;
  readonly detail: string;
}

/** Four decimals everywhere, so that the same run gives the same bytes. */
export function rounded<Value>(value: Value): Value {
  if (typeof value === "number") return (Math.round(value * 1e4) / 1e4 + 0) as Value;
  if (Array.isArray(value)) return value.map(rounded) as Value;
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, rounded(each)])) as Value;
}
