import type { Calibrated, Session, Standard } from "./calibration.ts";
import type { ProofPart, ProvingRun } from "./proving.ts";
import type { NodeId } from "./topics.ts";

/** The walk along the parts as a person is led through it, at the terminal and on the page. */
export interface WalkStep {
  /** What will be watched, and what counts as seen. */
  readonly watches: string;
  /** What can hurt while it is done; null = nothing beyond wet hands. */
  readonly caution: string | null;
  /** What is put back afterwards; null = nothing was changed. */
  readonly after: string | null;
  /** Hands are in the water or at the parts in it: a hold comes first. */
  readonly inHold: boolean;
  /** What of the tank is worth seeing meanwhile. */
  readonly shows: readonly Seen[];
}

/** A reading by its place in the tree of topics. */
export interface Seen {
  readonly name: string;
  readonly node: NodeId;
  readonly property: string;
  readonly unit: string;
}

const MAINS =
  "Mains and salt water kill: residual-current protection on, dry hands at the plug, the plug pulled before hands go " +
  "in. Anything behind the plug is a licensed electrician's, under your local code.";
const WATER =
  "Keep water away from sockets and plugs; have a towel and a jug at hand, and stay until the pump has stopped.";

const BOTH_WAYS = "Both ways are seen here, and each must last for a second.";

const position = (name: string, node: NodeId): Seen => ({ name, node, property: "position", unit: "" });
const celsius = (name: string, node: NodeId): Seen => ({ name, node, property: "value", unit: "°C" });
const relay = (name: string, node: NodeId): Seen => ({ name, node, property: "on", unit: "" });
const HIGH = position("high float", "high-float");
const WORKING = position("working float", "working-float");
const FLOOR = position("floor", "floor-sensor");
const PUMP = relay("pump relay", "top-off-pump");
const HEATER = relay("heater relay", "heater-1");
const SECOND_HEATER = relay("second heater relay", "heater-2");
const WARMTH = celsius("water", "temperature");
const BOTH = [celsius("thermometer 1", "thermometer-1"), celsius("thermometer 2", "thermometer-2")];

export const WALK: Readonly<Record<ProofPart, WalkStep>> = {
  "high-float": {
    watches:
      "Both ways are seen here, and each must last for a second. Its own contact in the supply of the pump is tried " +
      "apart, as wiring-notes/high-float.md says.",
    caution: null,
    after: null,
    inHold: true,
    shows: [HIGH],
  },
  "working-float": {
    watches: BOTH_WAYS,
    caution: null,
    after: null,
    inHold: true,
    shows: [WORKING],
  },
  "low-float": {
    watches: BOTH_WAYS,
    caution: null,
    after: null,
    inHold: true,
    shows: [position("low float", "low-float")],
  },
  "reservoir-float": {
    watches: BOTH_WAYS,
    caution: null,
    after: null,
    inHold: true,
    shows: [position("reservoir float", "reservoir-float")],
  },
  "floor-sensor": {
    watches: BOTH_WAYS,
    caution: null,
    after: null,
    inHold: true,
    shows: [FLOOR],
  },
  "pump-off-level": {
    watches:
      "Stop the return pump. The last chamber fills: the working float must read full and the high float stay dry.",
    caution: MAINS,
    after: "Start the return pump again, and see that it runs.",
    inHold: false,
    shows: [position("return pump", "return-sensor"), WORKING, HIGH],
  },
  "water-guard": {
    watches: "The relay closes while the guard stays open: the pump must stand still. If it runs, the guard is stuck.",
    caution: WATER,
    after: null,
    inHold: false,
    shows: [PUMP, FLOOR],
  },
  "top-off-pump": {
    watches: "The pump runs into a jug. Read what is in it: two runs within 10 % of each other make the flow.",
    caution: WATER,
    after: "Empty the jug; its water may go back into the reservoir.",
    inHold: false,
    shows: [PUMP, HIGH, FLOOR],
  },
  siphon: {
    watches:
      "The pump runs and stops with its tube where it always hangs. For a minute, nothing may go on running, either way.",
    caution: WATER,
    after: "Put the tube's end back where it hangs: in air, above the highest water.",
    inHold: false,
    shows: [PUMP, HIGH, FLOOR],
  },
  "thermometer-1": {
    watches: "Warm the thermometer in your hand. It must rise by a kelvin, and the other must not.",
    caution: null,
    after: "Hang it back in the water where it hung.",
    inHold: true,
    shows: BOTH,
  },
  "thermometer-2": {
    watches: "Warm the thermometer in your hand. It must rise by a kelvin, and the other must not.",
    caution: null,
    after: "Hang it back in the water where it hung.",
    inHold: true,
    shows: BOTH,
  },
  "heat-guard": {
    watches:
      "The relay closes while the guard stays open: the heater must stay dark. If it lights, the guard is stuck.",
    caution: MAINS,
    after: null,
    inHold: false,
    shows: [HEATER, WARMTH],
  },
  "heater-1": {
    watches: "The heater is on for a moment: its lamp, or a plug-in power meter, shows it.",
    caution: MAINS,
    after: null,
    inHold: false,
    shows: [HEATER, WARMTH],
  },
  "heater-thermostat": {
    watches:
      "Turn the heater's own thermostat below the water: switched on, the heater must stay dark. Then turn it back to 1–1.5 K above the setpoint.",
    caution: MAINS,
    after: "Look once more: the heater's own thermostat stands 1–1.5 K above the setpoint.",
    inHold: false,
    shows: [HEATER, WARMTH],
  },
  "heat-guard-2": {
    watches:
      "The second heater's relay closes while its guard stays open: the second heater must stay dark. If it lights, the guard is stuck.",
    caution: MAINS,
    after: null,
    inHold: false,
    shows: [SECOND_HEATER, WARMTH],
  },
  "heater-2": {
    watches: "The second heater is on for a moment: its lamp, or a plug-in power meter, shows it.",
    caution: MAINS,
    after: null,
    inHold: false,
    shows: [SECOND_HEATER, WARMTH],
  },
  "heater-2-thermostat": {
    watches:
      "Turn the second heater's own thermostat below the water: switched on, the second heater must stay dark. Then turn it back to 1–1.5 K above the setpoint.",
    caution: MAINS,
    after: "Look once more: the second heater's own thermostat stands 1–1.5 K above the setpoint.",
    inHold: false,
    shows: [SECOND_HEATER, WARMTH],
  },
  "protective-device": {
    watches:
      "Press its test button: it must trip at once and darken every plug at the tank. Switch it on again and look that all of them run.",
    caution: MAINS,
    after: null,
    inHold: false,
    shows: [],
  },
};

/** What a run usually takes, seconds. */
export const USUAL_RUN_S: Readonly<Record<ProvingRun, number>> = {
  "pump-off-level": 120,
  "water-guard": 5,
  "top-off-pump": 10,
  siphon: 30,
  "thermometer-1": 120,
  "thermometer-2": 120,
  "heat-guard": 10,
  "heater-1": 60,
  "heater-thermostat": 30,
  "heat-guard-2": 10,
  "heater-2": 60,
  "heater-2-thermostat": 30,
};

export const SESSION_WORDS: Readonly<Record<Session, string>> = {
  conductivity: "conductivity cell",
  "thermometer-1": "thermometer 1",
  "thermometer-2": "thermometer 2",
  thermometers: "both thermometers, against each other",
};

/** How standards are called, with what a bottle says of them at 25 °C; their values are with the equations. */
export const STANDARD_WORDS: Readonly<Record<Standard, string>> = {
  "sea-water-35": "sea water of practical salinity 35 (53.07 mS/cm)",
  "kcl-0.1-molal": "potassium chloride, 0.1 mol in a kilogram of water (12.82 mS/cm)",
  "kcl-0.01-molal": "potassium chloride, 0.01 mol in a kilogram of water (1.408 mS/cm)",
  "kcl-0.1-molar": "potassium chloride, 0.1 mol in a litre (12.88 mS/cm)",
  label: "another one, with a value on its label",
};

/** Whether a probe under calibration stands still, in a few words. */
export function stillWords(watchedMs: number, neededMs: number, isSteady: boolean): string {
  if (isSteady) return "steady";
  return watchedMs < neededMs ? `watched for ${Math.floor(watchedMs / 1000)} of ${neededMs / 1000} s` : "still moving";
}

export const CALIBRATED_WORDS: Readonly<Record<Calibrated, string>> = {
  conductivity: "factor of the conductivity cell",
  "thermometer-1": "added to thermometer 1",
  "thermometer-2": "added to thermometer 2",
  "top-off-flow": "flow of the top-off pump",
  "high-float-mm": "height of the high float",
  "low-float-mm": "height of the low float",
  "float-hysteresis-mm": "travel of the working float",
  "pump-off-level-mm": "level with the return pump off",
};
