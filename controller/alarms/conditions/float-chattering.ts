import { CONTACT_PARTS, PART_WORDS } from "../../../shared/contract/index.ts";
import { type AlarmFacts, type Condition, never } from "../condition.ts";

const isChattering = ({ contacts }: AlarmFacts): boolean =>
  contacts["working-float"].chattering ||
  contacts["high-float"].chattering ||
  contacts["low-float"].chattering ||
  contacts["reservoir-float"].chattering ||
  contacts["floor-sensor"].chattering ||
  contacts["mains-sensor"].chattering ||
  contacts["return-sensor"].chattering;

export const floatChattering: Condition = {
  id: "float-chattering",
  title: "A float flips to and fro",
  priority: "low",
  cause: "Waves or bubbles move it, it rubs on a wall, or its plug is loose.",
  consequence: "Top-off is delayed and the float wears out.",
  whatToDo: "Shield it from waves and bubbles, clean it, look at its plug.",
  timeToRespond: "A few days.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 3_600_000,
  deadband: null,
  limit: "three flips in a minute, or three in an hour outside pours",
  clears: "by-itself",
  suppressedWhen: "during a hold",
  stands: isChattering,
  suppressed: ({ hold }) => hold.active,
  lockedOut: never,
  detail: ({ contacts }) => {
    const part = CONTACT_PARTS.find((one) => contacts[one].chattering);
    return part === undefined ? null : `the ${PART_WORDS[part]}`;
  },
};
