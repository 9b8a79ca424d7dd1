import type { ProofPart, ProvingRun } from "../../../shared/contract/proving.ts";
import type { SeenBothWays } from "./parts.ts";

/** What to do to show that a part works; of what is lifted and let fall, what was seen says it. */
export const WHAT_TO_SHOW: Readonly<Record<Exclude<ProofPart, SeenBothWays>, string>> = {
  "pump-off-level":
    "Stop the return pump, then run prove pump-off-level: for two minutes the high float must stay dry.",
  "water-guard":
    "Hold the tube over a jug and run prove water-guard: the relay closes, the guard stays open, nothing may run.",
  "top-off-pump": "Hold the tube over a jug, run prove top-off-pump, and say how many millilitres came. Twice.",
  siphon: "Hold the tube over a jug at its usual height and run prove siphon: after the stop nothing may run on.",
  "thermometer-1": "In a hold, run prove thermometer-1 and warm thermometer 1 in your hand until it rose by 1 K.",
  "thermometer-2": "In a hold, run prove thermometer-2 and warm thermometer 2 in your hand until it rose by 1 K.",
  "heat-guard": "Run prove heat-guard: the relay closes, the guard stays open, and the heater must stay off.",
  "heater-1": "Run the heater (prove heater-1) with the heater under water, and see that it comes on.",
  "heater-thermostat":
    "Run prove heater-thermostat, turn the heater's own thermostat below the water and see it cut; then set it 1 to 1.5 K above the setpoint.",
  "heat-guard-2":
    "Run prove heat-guard-2: the second heater's relay closes, its guard stays open, and it must stay off.",
  "heater-2": "Run the second heater (prove heater-2) under water, and see that it comes on.",
  "heater-2-thermostat":
    "Run prove heater-2-thermostat, turn the second heater's own thermostat below the water and see it cut; then set it 1 to 1.5 K above the setpoint.",
  "protective-device":
    "Press the test button of the residual-current device: everything on it must go dead. Switch it on again and see that all returns.",
};

const BEGUN: Readonly<Record<ProvingRun, (forS: string) => string>> = {
  "pump-off-level": (forS) => `Watching ${forS}. Leave the return pump off.`,
  "water-guard": (forS) =>
    `The pump's relay closes ${forS} and the water guard stays open: the pump must stand still. Keep the tube over a jug.`,
  "top-off-pump": (forS) => `The pump runs ${forS}. Hold the tube over a jug.`,
  siphon: (forS) => `The pump runs ${forS}; then the jug is watched for a minute. Hold the tube over it.`,
  "thermometer-1": (forS) => `Watching ${forS}. Warm thermometer 1 in your hand.`,
  "thermometer-2": (forS) => `Watching ${forS}. Warm thermometer 2 in your hand.`,
  "heat-guard": (forS) => `The heater's relay closes ${forS} and the heat guard stays open: the heater must stay dark.`,
  "heater-1": (forS) => `The heater is on ${forS}. Look whether it comes on.`,
  "heater-thermostat": (forS) =>
    `The heater is switched on ${forS}: its own thermostat, turned below the water, must keep it dark.`,
  "heat-guard-2": (forS) =>
    `The second heater's relay closes ${forS} and its guard stays open: the second heater must stay dark.`,
  "heater-2": (forS) => `The second heater is on ${forS}. Look whether it comes on.`,
  "heater-2-thermostat": (forS) =>
    `The second heater is switched on ${forS}: its own thermostat, turned below the water, must keep it dark.`,
};

/** What happens now, and what to look at. */
export const begunWords = (part: ProvingRun, seconds: number): string => BEGUN[part](`for ${seconds} s`);
