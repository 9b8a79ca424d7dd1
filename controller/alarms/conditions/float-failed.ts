import { PART_WORDS } from "../../../shared/contract/index.ts";
import { type Condition, never } from "../condition.ts";
import { DOUBT_WORDS } from "../doubt-words.ts";
import { boardIsSilent, isOnSilentBoard, isUnknown, unknownContacts } from "../evidence.ts";

export const floatFailed: Condition = {
  id: "float-failed",
  title: "A float or contact cannot be trusted",
  priority: "medium",
  cause: "Its wire is broken, shorted or loose.",
  consequence: "What it would show counts as the worst: top-off waits, and a flood or a leak might not be seen.",
  whatToDo: "Look at its wire and plug, and move it by hand: unplug pumps and heater before hands go in.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 60_000,
  offDelayMs: 60_000,
  deadband: null,
  limit: "a fitted float, floor sensor, mains sensor or return-pump sensor is unknown",
  clears: "by-itself",
  suppressedWhen: "it hangs on the board that is silent",
  stands: ({ contacts }) =>
    isUnknown(contacts["working-float"]) ||
    isUnknown(contacts["high-float"]) ||
    isUnknown(contacts["low-float"]) ||
    isUnknown(contacts["reservoir-float"]) ||
    isUnknown(contacts["floor-sensor"]) ||
    isUnknown(contacts["mains-sensor"]) ||
    isUnknown(contacts["return-sensor"]),
  suppressed: (facts, settings) =>
    boardIsSilent(facts) && unknownContacts(facts).every((part) => isOnSilentBoard(facts, settings, part)),
  lockedOut: never,
  detail: (facts) => {
    const [part, ...others] = unknownContacts(facts);
    if (part === undefined) return null;
    const { doubt } = facts.contacts[part];
    const words = `the ${PART_WORDS[part]} ${doubt === null ? "is unknown" : DOUBT_WORDS[doubt]}`;
    return others.length === 0 ? words : `${words}, and ${others.length} more`;
  },
};
