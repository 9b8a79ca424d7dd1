import {
  CONTACT_PARTS,
  type ContactPart,
  type ContactSignal,
  type HeatStatus,
  type InputPart,
  type Latch,
  type OutputPart,
  PART_WORDS,
  REASONS,
  type Reason,
  type Signal,
} from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { AlarmFacts } from "./condition.ts";
import { DOUBT_WORDS } from "./doubt-words.ts";

/** How conditions read the facts: what counts as fitted, as coldest, as settling. */

export const isFitted = (signal: Signal | ContactSignal): boolean => signal.doubt !== "not-fitted";

/** A contact that is on, or that was on when it became unknown: an alarm does not end because its float died. */
export const isOn = (contact: ContactSignal, isActive: boolean): boolean =>
  contact.position === "on" || (isActive && isUnknown(contact));

export const isOff = (contact: ContactSignal, isActive: boolean): boolean =>
  contact.position === "off" || (isActive && isUnknown(contact));

export const isUnknown = (contact: ContactSignal): boolean => contact.position === "unknown" && isFitted(contact);

/** At or above the limit; once active, until it is a deadband below. Unknown changes nothing. */
export const isHigh = (value: number | null, limit: number, deadband: number, isActive: boolean): boolean =>
  value === null ? isActive : value >= (isActive ? limit - deadband : limit);

export const isLow = (value: number | null, limit: number, deadband: number, isActive: boolean): boolean =>
  value === null ? isActive : value <= (isActive ? limit + deadband : limit);

/** The coldest that is not bad: the dangerous side of a doubt between thermometers when the water may be cold. */
export function coldestC(facts: AlarmFacts): number | null {
  const { thermometers, quantities } = facts;
  return least(quantities.temperature.value, least(underWaterC(thermometers[0]), underWaterC(thermometers[1])));
}

export function hottestC(facts: AlarmFacts): number | null {
  const { temperature, warmest } = facts.quantities;
  return warmest.value === null || (temperature.value !== null && temperature.value > warmest.value)
    ? temperature.value
    : warmest.value;
}

/** One that changes faster than water can hangs in the air, perhaps: the others speak for the water. */
const underWaterC = ({ value, doubt }: Signal): number | null => (doubt === "rate" ? null : value);

const least = (one: number | null, other: number | null): number | null => {
  if (one === null) return other;
  return other === null || one < other ? one : other;
};

/** Why a contact counts as its dangerous side without being seen there. */
export function unknownWords(facts: AlarmFacts, part: ContactPart): string | null {
  const contact = facts.contacts[part];
  if (!isUnknown(contact)) return null;
  const why = contact.doubt === null ? "is unknown" : DOUBT_WORDS[contact.doubt];
  return `so counted, because the ${PART_WORDS[part]} ${why}`;
}

/** Nobody but a sitter is there: what only reminds the keeper waits. */
export const isAbsent = (facts: AlarmFacts): boolean => facts.absence.state === "lasting";

export const inHold = (facts: AlarmFacts): boolean => facts.hold.active;

/** Five minutes around a stop or start of the return pump: the level moves by itself, and bubbles pass the probe. */
export const isSettling = (facts: AlarmFacts): boolean => facts.topOff.blockers.includes("return-pump-settling");

export const levelIsMoving = (facts: AlarmFacts): boolean => inHold(facts) || isSettling(facts);

/** The next, as a person reads it. */
export const WHEN_SALINITY_IS_DISTURBED =
  "during a hold, while the probe is calibrated or bubbles pass it, and five minutes around a stop or start of the return pump";

export const salinityIsDisturbed = (facts: AlarmFacts): boolean =>
  inHold(facts) ||
  isSettling(facts) ||
  facts.quantities.salinity.doubt === "bubbles" ||
  facts.quantities.conductivity.doubt === "being-calibrated";

export const boardIsSilent = (facts: AlarmFacts): boolean => facts.board === "silent";

/** On the board that is silent. Without any wiring (a rehearsal) every part is on the one simulated board. */
export function isOnSilentBoard(facts: AlarmFacts, settings: Settings, part: InputPart): boolean {
  if (!boardIsSilent(facts)) return false;
  const wiring = settings.inputs[part];
  return wiring === undefined || outputBoards(settings).includes(wiring.board);
}

/** Without any wiring (a rehearsal) every part is there. */
export function isWired(settings: Settings, part: OutputPart): boolean {
  return settings.outputs[part] !== undefined || outputBoards(settings).length === 0;
}

const outputBoards = (settings: Settings): string[] =>
  Object.values(settings.outputs).flatMap((wiring) => (wiring === undefined ? [] : [wiring.board]));

export function unknownContacts(facts: AlarmFacts): readonly ContactPart[] {
  return CONTACT_PARTS.filter((part) => isUnknown(facts.contacts[part]));
}

/** The latch of top-off or of its guard, if it is one of these. */
export function waterLatch(facts: AlarmFacts, reasons: readonly Reason[]): Latch | null {
  const { latch, waterGuardLatch } = facts.topOff;
  if (latch !== null && reasons.includes(latch.reason)) return latch;
  return waterGuardLatch !== null && reasons.includes(waterGuardLatch.reason) ? waterGuardLatch : null;
}

/** A lock of some heater, if it is one of these; one whose cause still stands goes first. */
export function heatLatch(facts: AlarmFacts, reasons: readonly Reason[]): Latch | null {
  let found: Latch | null = null;
  for (const { latch } of facts.heaters) {
    if (latch !== null && reasons.includes(latch.reason) && (found === null || found.clearable)) found = latch;
  }
  return found;
}

/** Which of two heaters is meant; nothing where there is only one. */
export function heaterWords({ heaters }: AlarmFacts, isMeant: (heat: HeatStatus) => boolean): string | null {
  if (heaters.length < 2) return null;
  const meant = heaters.filter(isMeant);
  if (meant.length === heaters.length) return "both heaters";
  const [one] = meant;
  return one === undefined ? null : one.heater === "heater-1" ? "the first heater" : "the second heater";
}

/** The parts of a detail that there are, as one. */
export function joinedWords(...words: readonly (string | null)[]): string | null {
  const said = words.filter((each) => each !== null);
  return said.length === 0 ? null : said.join(", ");
}

/** A latch whose cause is still there. */
export const causeStands = (latch: Latch | null): boolean => latch !== null && !latch.clearable;

export const latchWords = (latch: Latch | null): string | null => (latch === null ? null : sentencePart(latch.reason));

/** A reason as it stands after a colon: without its full stop and without a capital. */
export function sentencePart(reason: Reason): string {
  const words = REASONS[reason].replace(/\.$/, "");
  return words.charAt(0).toLowerCase() + words.slice(1);
}

export const degrees = (celsius: number | null): string | null =>
  celsius === null ? null : `${celsius.toFixed(1)} °C`;

export function salinityWords({ quantities: { salinity } }: AlarmFacts): string | null {
  return salinity.value === null ? null : salinity.value.toFixed(1);
}
