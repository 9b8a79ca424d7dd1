import type { ProofPart } from "../../../shared/contract/proving.ts";

/** What to do to show that a part works. */
export const WHAT_TO_SHOW: Readonly<Record<ProofPart, string>> = {
  "high-float": "Start a hold, lift the high float until it reads wet, and let it fall until it reads dry.",
  "working-float": "Start a hold, lift the working float until it reads full, and press it down until it reads low.",
  "low-float": "Start a hold, let the low float hang until it reads uncovered, and lift it until it reads covered.",
  "reservoir-float": "Lift the reservoir float until it reads water, and let it fall until it reads empty.",
  "floor-sensor": "Touch the floor sensor with a wet cloth until it reads wet, then wipe it dry.",
  "pump-off-level":
    "Stop the return pump, then run prove pump-off-level: for two minutes the high float must stay dry.",
  "water-guard":
    "Hold the tube over a jug and run prove water-guard: the relay closes, the guard stays open, nothing may run.",
  "top-off-pump": "Hold the tube over a jug, run prove top-off-pump, and say how many millilitres came. Twice.",
  siphon: "Hold the tube over a jug at its usual height and run prove siphon: after the stop nothing may run on.",
  "thermometer-1": "Start a hold, run prove thermometer-1, and warm thermometer 1 in your hand until it rose by 1 K.",
  "thermometer-2": "Start a hold, run prove thermometer-2, and warm thermometer 2 in your hand until it rose by 1 K.",
  "heat-guard": "Run prove heat-guard: the relay closes, the guard stays open, and the heater must stay off.",
  "heater-1": "Run the heater (prove heater-1) with the heater under water, and see that it comes on.",
  "heater-thermostat":
    "Run prove heater-thermostat, turn the heater's own thermostat below the water and see it cut; then set it 1 to 1.5 K above the setpoint.",
  "protective-device":
    "Press the test button of the residual-current device: everything on it must go dead. Switch it on again and see that all returns.",
};
