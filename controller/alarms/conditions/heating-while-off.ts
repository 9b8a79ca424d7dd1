import type { Reason } from "../../../shared/contract/index.ts";
import { type Condition, never } from "../condition.ts";
import { causeStands, heatLatch, sentencePart } from "../evidence.ts";

const REASONS_FOR_IT: readonly Reason[] = ["heating-while-off", "heater-welded", "heater-seen-on"];

export const heatingWhileOff: Condition = {
  id: "heating-while-off",
  title: "Heating although it is switched off",
  priority: "high",
  cause: "The heater's relay does not open any more; or the room, a lamp or a pump warms the water.",
  consequence: "A heater that cannot be switched off cooks the box within hours.",
  whatToDo:
    "Unplug the heater at the wall, before hands go in. If the water stops warming, replace the relay. If it goes on warming, cool the room and look for the source.",
  timeToRespond: "One to two hours.",
  onDelayMs: 0,
  offDelayMs: 1_800_000,
  deadband: null,
  limit: "warms, or is seen powered, while the heater is commanded off",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => REASONS_FOR_IT.includes(facts.heat.why) || causeStands(heatLatch(facts, REASONS_FOR_IT)),
  suppressed: never,
  lockedOut: (facts) => heatLatch(facts, REASONS_FOR_IT) !== null,
  detail: (facts) => {
    const reason = heatLatch(facts, REASONS_FOR_IT)?.reason ?? facts.heat.why;
    return reason === "heater-welded" || reason === "heater-seen-on" ? sentencePart(reason) : null;
  },
};
