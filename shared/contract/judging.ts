import type { ProofPart } from "./proving.ts";

/**
 * What a person has to say before a part is called proven: the scan sees floats and levels by itself, but no jug, no lamp
 * and no pump that stands still. One description for every place where somebody is asked.
 */
export type Judging =
  /** Nothing: the scan has seen it. */
  | { readonly kind: "seen" }
  /** Yes or no; `no` leaves it unproven, and says what to do. */
  | { readonly kind: "yes-or-no"; readonly asks: string; readonly ifNot: string }
  /** A figure that is read, with the name that the request has for it. */
  | {
      readonly kind: "measured";
      readonly field: "ml" | "mm";
      readonly asks: string;
      readonly why: string;
      readonly least: number;
      readonly most: number;
      readonly mayBeLeftOut: boolean;
      /** A question of yes or no beside it. */
      readonly also: { readonly field: "backward"; readonly asks: string } | null;
    };

const SEEN: Judging = { kind: "seen" };
const GUARD_STUCK = (what: string) =>
  `Then its contact is stuck or bridged: unplug the ${what} and replace the guard. It stays unproven.`;
const HEATER_DARK =
  "Look at plug, guard and relay, and whether its own thermostat stands above the water. It stays unproven.";
const THERMOSTAT_STUCK = "A heater whose thermostat does not cut belongs in the bin: unplug it. It stays unproven.";

const yesOrNo = (asks: string, ifNot: string): Judging => ({ kind: "yes-or-no", asks, ifNot });

export const JUDGING: Readonly<Record<ProofPart, Judging>> = {
  "high-float": SEEN,
  "working-float": SEEN,
  "low-float": SEEN,
  "reservoir-float": SEEN,
  "floor-sensor": SEEN,
  "pump-off-level": {
    kind: "measured",
    field: "mm",
    asks: "How far does the water stand above the working mark",
    why: "Measured while it stands there, it is a mark from now on.",
    least: -300,
    most: 300,
    mayBeLeftOut: true,
    also: null,
  },
  "water-guard": yesOrNo("Did the pump stand still", GUARD_STUCK("pump")),
  "top-off-pump": {
    kind: "measured",
    field: "ml",
    asks: "How much is in the jug",
    why: "Empty the jug before the next run.",
    least: 0,
    most: 5000,
    mayBeLeftOut: false,
    also: null,
  },
  siphon: {
    kind: "measured",
    field: "ml",
    asks: "How much ran into the jug after the pump had stopped",
    why: "0 when nothing did.",
    least: 0,
    most: 5000,
    mayBeLeftOut: false,
    also: { field: "backward", asks: "Did water run back towards the reservoir" },
  },
  "thermometer-1": SEEN,
  "thermometer-2": SEEN,
  "heat-guard": yesOrNo("Did the heater stay dark", GUARD_STUCK("heater")),
  "heater-1": yesOrNo("Did the heater come on", HEATER_DARK),
  "heater-thermostat": yesOrNo(
    "Did the heater stay dark, and is its thermostat back 1–1.5 K above the setpoint",
    THERMOSTAT_STUCK,
  ),
  "heat-guard-2": yesOrNo("Did the second heater stay dark", GUARD_STUCK("heater")),
  "heater-2": yesOrNo("Did the second heater come on", HEATER_DARK),
  "heater-2-thermostat": yesOrNo(
    "Did the second heater stay dark, and is its thermostat back 1–1.5 K above the setpoint",
    THERMOSTAT_STUCK,
  ),
  "protective-device": yesOrNo(
    "Did it trip at once, and does everything run again",
    "Unplug everything at the tank and call an electrician before hands go in. It stays unproven.",
  ),
};
