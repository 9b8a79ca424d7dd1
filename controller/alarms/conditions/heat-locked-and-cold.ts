import type { HeatStatus } from "../../../shared/contract/index.ts";
import { type Condition, never } from "../condition.ts";
import { coldestC, degrees, heaterWords, isLow, joinedWords, latchWords } from "../evidence.ts";

const COLD_C = 22;
const DEADBAND_K = 0.3;

const isLocked = ({ latch }: HeatStatus): boolean => latch !== null;

export const heatLockedAndCold: Condition = {
  id: "heat-locked-and-cold",
  title: "The heater is locked and the box grows cold",
  priority: "high",
  cause: "A lock of the heat was not answered, and nothing else warms the water.",
  consequence: "The box goes on cooling towards the room.",
  whatToDo:
    "Measure the temperature by hand. Find what the lock names, put it right and clear the lock at the tank; if that takes long, hang a spare heater with a thermostat of its own into the display.",
  timeToRespond: "Two hours.",
  inAbsence: "for-sitter",
  onDelayMs: 300_000,
  offDelayMs: 1_800_000,
  deadband: "0.3 K",
  limit: "heat is locked and the coldest thermometer reads 22 °C or less",
  clears: "by-itself",
  suppressedWhen: "never",
  stands: (facts, _settings, isActive) =>
    facts.heaters.some(isLocked) && isLow(coldestC(facts), COLD_C, DEADBAND_K, isActive),
  suppressed: never,
  lockedOut: never,
  detail: (facts) =>
    joinedWords(
      degrees(coldestC(facts)),
      heaterWords(facts, isLocked),
      latchWords(facts.heaters.find(isLocked)?.latch ?? null),
    ),
};
