import type { Reason } from "../../../shared/contract/index.ts";
import { type Condition, never } from "../condition.ts";
import { boardIsSilent, isWired, sentencePart } from "../evidence.ts";

const WITHHELD_L = 0.7;
const DEADBAND_L = 0.1;

export const topOffWithheld: Condition = {
  id: "top-off-withheld",
  title: "Top-off is due and does not happen",
  priority: "medium",
  cause: "Something stands in its way; it is named beside the top-off.",
  consequence: "The water sinks and grows saltier, by about 0.25 for every litre.",
  whatToDo:
    "Read what stands in its way and remove it: fill the reservoir, end the hold, start the return pump or clean the float.",
  timeToRespond: "Half a day.",
  inAbsence: "for-keeper",
  onDelayMs: 60_000,
  offDelayMs: 60_000,
  deadband: "0.1 L",
  limit: "0.7 L due and not poured, in a box with a top-off pump",
  clears: "by-itself",
  suppressedWhen: "while the board is silent",
  // Not suppressed: where there is no pump it would be listed for ever as suppressed for now.
  stands: ({ topOff }, settings, isActive) =>
    topOff.dueL - topOff.pouredSinceFullL >= (isActive ? WITHHELD_L - DEADBAND_L : WITHHELD_L) &&
    isWired(settings, "top-off-pump"),
  suppressed: boardIsSilent,
  lockedOut: never,
  detail: ({ topOff }) => {
    const blocker: Reason = topOff.latch?.reason ?? topOff.blockers[0] ?? topOff.why;
    return sentencePart(blocker);
  },
};
