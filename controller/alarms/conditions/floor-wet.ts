import { type Condition, never } from "../condition.ts";
import { causeStands, isOn, unknownWords, waterLatch } from "../evidence.ts";

const LOCKOUT = ["floor-wet"] as const;

export const floorWet: Condition = {
  id: "floor-wet",
  title: "Water on the floor",
  priority: "high",
  cause: "The box leaks or runs over, a hose came off, or water was spilt.",
  consequence: "Salt water near mains can kill; floor and furniture suffer, and the box runs empty.",
  whatToDo:
    "Switch the power off at the breaker before you touch anything wet. Find where the water comes from and stop it. Dry the sensor, then clear the lock at the tank.",
  timeToRespond: "Minutes.",
  inAbsence: "for-sitter",
  onDelayMs: 2_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "floor sensor wet",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts, _settings, isActive) =>
    isOn(facts.contacts["floor-sensor"], isActive) || causeStands(waterLatch(facts, LOCKOUT)),
  suppressed: never,
  lockedOut: (facts) => waterLatch(facts, LOCKOUT) !== null,
  detail: (facts) => unknownWords(facts, "floor-sensor"),
};
