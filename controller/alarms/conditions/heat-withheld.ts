import type { HeatStatus, Reason } from "../../../shared/contract/index.ts";
import { CAUTIOUS_CYCLE_MS, ONE_CONTACT_CYCLE_MS } from "../../../shared/settings/index.ts";
import { type Condition, never } from "../condition.ts";
import { boardIsSilent, heaterWords, isLow, isWired, joinedWords, sentencePart } from "../evidence.ts";

const BELOW_BAND_K = 0.5;
const DEADBAND_K = 0.2;
/** Careful heating is heating, its pauses included; a state that only would be careful if it were allowed is not, nor is
 *  one in which every doubt begins the pause anew, so that the heat never comes. */
const CAUTIOUS: readonly Reason[] = [
  "cautious-heating",
  "cautious-pause",
  "minimum-on",
  "minimum-off",
  "heater-no-effect",
  "one-contact-heating",
  "one-contact-pause",
  "off-not-confirmed",
];
const longestPauseMs = ({ finding }: HeatStatus): number =>
  2 * (finding?.reason === "one-contact-heating" ? ONE_CONTACT_CYCLE_MS : CAUTIOUS_CYCLE_MS);

const heatsCarefully = (heat: HeatStatus): boolean =>
  heat.state === "cautious" && CAUTIOUS.includes(heat.why) && heat.offForMs < longestPauseMs(heat);

/** One that waits for its turn is withheld by nobody: the other one heats, or is withheld itself. */
const isWithheld = (heat: HeatStatus): boolean =>
  heat.state !== "heating" && !heatsCarefully(heat) && heat.why !== "other-heaters-turn";

export const heatWithheld: Condition = {
  id: "heat-withheld",
  title: "Heat is needed and does not come",
  priority: "medium",
  cause: "Something stands in the heater's way; it is named beside the heat.",
  consequence: "The box cools towards the room.",
  whatToDo:
    "Read what stands in its way and remove it: end the hold, start the return pump, mend the thermometer or clear the lock.",
  timeToRespond: "Six hours; less in a cold room.",
  inAbsence: "for-keeper",
  onDelayMs: 900_000,
  offDelayMs: 300_000,
  deadband: "0.2 K",
  limit: "0.5 K below the heater's band and not heating, or careful without any heat for two of its cycles",
  clears: "by-itself",
  suppressedWhen: "while the board is silent, or no heater is wired",
  stands: (facts, settings, isActive) => {
    if (!facts.heaters.some(isWithheld)) return false;
    const limitC = settings.targets.temperatureC - settings.heat.deadbandK / 2 - BELOW_BAND_K;
    return isLow(facts.quantities.temperature.value, limitC, DEADBAND_K, isActive);
  },
  suppressed: (facts, settings) => boardIsSilent(facts) || !isWired(settings, "heater-1"),
  lockedOut: never,
  detail: (facts) => {
    const withheld = facts.heaters.find(isWithheld);
    if (withheld === undefined) return null;
    return joinedWords(heaterWords(facts, isWithheld), sentencePart(withheld.latch?.reason ?? withheld.why));
  },
};
