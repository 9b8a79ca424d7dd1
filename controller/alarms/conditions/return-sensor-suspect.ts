import { type Condition, never, noDetail } from "../condition.ts";
import { boardIsSilent, inHold } from "../evidence.ts";

export const returnSensorSuspect: Condition = {
  id: "return-sensor-suspect",
  title: "Return pump and water level contradict each other",
  priority: "medium",
  cause:
    "The sensor says that the return pump stands still, but the water in the last chamber did not rise, or sank too soon: the sensor is wrong, the working float is stuck low, or water is lost.",
  consequence: "Top-off waits. Heat waits too, and goes on with care when the box grows cold.",
  whatToDo:
    "Look and listen whether the return pump runs. Look for water on the floor. Then look at the sensor's plug, and lift the working float by hand.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 60_000,
  deadband: null,
  limit: "the working float reads low for a minute where the water of a stopped pump must stand over it",
  clears: "acknowledged",
  suppressedWhen: "during a hold, while the board is silent",
  stands: ({ topOff }) => topOff.surgeMissing,
  suppressed: (facts) => inHold(facts) || boardIsSilent(facts),
  lockedOut: never,
  detail: noDetail,
};
