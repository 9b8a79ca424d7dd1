import { type Condition, never, noDetail } from "../condition.ts";
import { isOff } from "../evidence.ts";

export const mainsLost: Condition = {
  id: "mains-lost",
  title: "The mains power is off",
  priority: "high",
  cause: "A power cut, a tripped breaker or a tripped residual-current device.",
  consequence: "No flow, no oxygen from the surface and no heat; fish suffer within a few hours.",
  whatToDo:
    "Look at breaker and residual-current device. If it trips again, leave it off, unplug everything at the tank and find the wet or broken part. Use a battery air pump.",
  timeToRespond: "Two hours.",
  inAbsence: "for-sitter",
  onDelayMs: 60_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "mains sensor shows no power",
  clears: "acknowledged",
  suppressedWhen: "never",
  stands: (facts, _settings, isActive) => isOff(facts.contacts["mains-sensor"], isActive),
  suppressed: never,
  lockedOut: never,
  detail: noDetail,
};
