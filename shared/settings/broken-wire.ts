import { CONTACT_PARTS, type ContactPart, PART_WORDS } from "../contract/parts.ts";
import { DANGERS, LOADS } from "./dangerous-side.ts";
import type { Settings } from "./schema.ts";
import type { SettingsFault } from "./settings-fault.ts";

/**
 * What a broken wire must read as, for each contact: the side that is dangerous to what is switched by it. Full, wet and
 * gone stop a pour; uncovered stops the heater. Read as the other, a wire that a fish bites through would be believed.
 */
export const BROKEN_WIRE_READS = Object.fromEntries(
  CONTACT_PARTS.map((part) => [part, LOADS.map((load) => DANGERS[part][load].side).find((side) => side !== null)]),
) as Readonly<Record<ContactPart, "on" | "off">>;

const READS: Readonly<Record<ContactPart, readonly [on: string, off: string]>> = {
  "working-float": ["full", "low, and pours"],
  "high-float": ["wet", "dry for ever"],
  "low-float": ["covered for ever", "uncovered"],
  "reservoir-float": ["water for ever", "empty"],
  "floor-sensor": ["wet", "dry for ever"],
  "mains-sensor": ["power for ever", "no power"],
  "return-sensor": ["running for ever", "stopped"],
};

/** A contact that is closed where it must open when the wire breaks. A line watched by resistors knows it by itself. */
export const brokenWireFaults = ({ inputs }: Settings): SettingsFault[] =>
  CONTACT_PARTS.flatMap((part) => {
    const wiring = inputs[part];
    if (wiring === undefined || wiring.supervised !== undefined) return [];
    const safe = BROKEN_WIRE_READS[part];
    if (wiring.closedWhen !== safe) return [];
    const other = safe === "on" ? "off" : "on";
    const reads = READS[part][other === "on" ? 0 : 1];
    const expected =
      `"${other}", with the contact of the ${PART_WORDS[part]} that is open when it reads ${safe}: ` +
      `a broken wire would read ${reads}; or \`supervised\` with resistors at the end of the line`;
    return [{ path: `inputs.${part}.closedWhen`, value: wiring.closedWhen, expected }];
  });
