import { absence } from "./absence/index.ts";
import { calibration } from "./calibration/index.ts";
import { heat } from "./heat/index.ts";
import { turns } from "./heat/turn-taking.ts";
import { hold } from "./hold/index.ts";
import { ledger } from "./ledger/index.ts";
import type { Machine } from "./machine.ts";
import { presence } from "./presence.ts";
import { proving } from "./proving/index.ts";
import { sourceWater } from "./source-water.ts";
import { thermometerTrust } from "./thermometer-trust.ts";
import { topOff } from "./top-off/index.ts";

/**
 * Every part that decides or remembers, in the order in which each is heard, steps and looks. Whoever comes later sees
 * what those before it have just decided.
 */
export const EVERY_MACHINE: readonly Machine<unknown, unknown, unknown, unknown>[] = [
  // Who stands at the tank, before anything is asked of them.
  presence,
  hold,
  // Calibrations before proofs: what was proven with a calibration falls with it.
  calibration,
  // A run is noted before the machine that switches its part begins it, or refuses.
  proving,
  // Whose turn it is, before either heater looks; then the first, so that the second one sees what it has decided.
  turns,
  heat("heater-1"),
  heat("heater-2"),
  topOff,
  // These look at what was poured and heated.
  ledger,
  sourceWater,
  thermometerTrust,
  // Last: it asks all others what will fall due.
  absence,
];
