import { type Condition, never } from "../condition.ts";
import { isAbsent } from "../evidence.ts";

const MS_PER_DAY = 86_400_000;

export const protectiveDeviceTestDue: Condition = {
  id: "protective-device-test-due",
  title: "The residual-current device is to be tested",
  priority: "low",
  cause: "A month has passed since its test button was last pressed, or nobody has said that it ever was.",
  consequence:
    "It is what stands between a fault in salt water and a hand. One that sticks shows itself only by its button.",
  whatToDo:
    "Press its test button: everything on it must go dead. Switch it on, see that pump and heater return, and say at the tank that it is proven. If it does not trip, unplug everything and call an electrician.",
  timeToRespond: "A week.",
  inAbsence: "rests",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "35 days since the last test",
  clears: "by-itself",
  suppressedWhen: "during an absence",
  stands: ({ proving }) => proving.parts["protective-device"].standing !== "proven",
  suppressed: isAbsent,
  lockedOut: never,
  detail: ({ proofs }) => {
    const ageMs = proofs["protective-device"];
    return ageMs === null ? "never" : `${Math.floor(ageMs / MS_PER_DAY)} days ago`;
  },
};
