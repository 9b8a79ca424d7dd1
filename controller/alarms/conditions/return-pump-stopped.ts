import { type Condition, never, noDetail } from "../condition.ts";
import { boardIsSilent, inHold, isOff } from "../evidence.ts";

export const returnPumpStopped: Condition = {
  id: "return-pump-stopped",
  title: "The return pump stands still",
  priority: "high",
  cause: "It is clogged or broken, was forgotten after work at the tank, or its plug is out.",
  consequence: "No flow through heater and rear chambers, little oxygen, no top-off.",
  whatToDo:
    "Look at its plug and switch. Unplug it before hands go in, then clean its inlet and impeller. Start it again and watch the level.",
  timeToRespond: "Three hours.",
  inAbsence: "for-sitter",
  onDelayMs: 300_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "return-pump sensor shows it stopped",
  clears: "acknowledged",
  suppressedWhen: "during a hold, while the mains power is off, while the board is silent",
  stands: (facts, _settings, isActive) => isOff(facts.contacts["return-sensor"], isActive),
  suppressed: (facts) => inHold(facts) || facts.contacts["mains-sensor"].position === "off" || boardIsSilent(facts),
  lockedOut: never,
  detail: noDetail,
};
