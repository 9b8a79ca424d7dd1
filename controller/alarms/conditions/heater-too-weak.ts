import { type Condition, never, noDetail } from "../condition.ts";

export const heaterTooWeak: Condition = {
  id: "heater-too-weak",
  title: "The heater is on and on",
  priority: "low",
  cause: "The room is colder than the heater was chosen for, one of two heaters is dead, or a window stands open.",
  consequence: "A colder night than this one chills the box.",
  whatToDo:
    "Read the temperature and the room. Close the lid and the window, warm the room, or have a second heater with a thermostat of its own at hand.",
  timeToRespond: "A day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 4 * 3_600_000,
  deadband: null,
  limit: "three hours of heating without a pause",
  clears: "by-itself",
  suppressedWhen: "never",
  stands: (facts) => facts.heaters.some(({ why }) => why === "slope-check"),
  suppressed: never,
  lockedOut: never,
  detail: noDetail,
};
