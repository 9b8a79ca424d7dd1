import type { ContactPart } from "../../../shared/contract/parts.ts";
import { BROKEN_WIRE_READS } from "../../../shared/settings/broken-wire.ts";

/** What a contact says and what follows from it, for the person who wires it. */
export interface ContactFacts {
  /** Words for its two positions: `on` is wet, power, running. */
  readonly on: string;
  readonly off: string;
  /** The same as a sentence: the contact is closed when … */
  readonly when: { readonly on: string; readonly off: string };
  /** What Evenbrine does while it reads so. */
  readonly means: { readonly on: string; readonly off: string };
  /** The position that a broken wire must read as. */
  readonly safe: "on" | "off";
  /** How somebody sees that it works. */
  readonly seen: string;
}

export const CONTACT_FACTS: Readonly<Record<ContactPart, ContactFacts>> = {
  "working-float": {
    on: "full",
    off: "low",
    when: { on: "the water is at its mark", off: "the water is low" },
    means: { on: "nothing is poured", off: "pours within its budget" },
    safe: BROKEN_WIRE_READS["working-float"],
    seen: "lift: full; let go: low",
  },
  "high-float": {
    on: "wet",
    off: "dry",
    when: { on: "it is wet", off: "it is dry" },
    means: { on: "pump stops, locks", off: "this barrier is blind" },
    safe: BROKEN_WIRE_READS["high-float"],
    seen: "lift: wet; let go: dry",
  },
  "low-float": {
    on: "covered",
    off: "uncovered",
    when: { on: "it is covered", off: "it hangs free" },
    means: { on: "a bare heater is not seen", off: "heater off" },
    safe: BROKEN_WIRE_READS["low-float"],
    seen: "let hang: uncovered; lift: covered",
  },
  "reservoir-float": {
    on: "water",
    off: "empty",
    when: { on: "there is water", off: "the reservoir is empty" },
    means: { on: "an empty one is not seen", off: "nothing is poured" },
    safe: BROKEN_WIRE_READS["reservoir-float"],
    seen: "lift: water; let go: empty",
  },
  "floor-sensor": {
    on: "wet",
    off: "dry",
    when: { on: "the floor is wet", off: "the floor is dry" },
    means: { on: "pump stops, locks", off: "a wet floor is not seen" },
    safe: BROKEN_WIRE_READS["floor-sensor"],
    seen: "wet cloth: wet; wipe: dry",
  },
  "mains-sensor": {
    on: "power",
    off: "no power",
    when: { on: "there is power", off: "there is none" },
    means: { on: "lost mains are not seen", off: "top-off waits" },
    safe: BROKEN_WIRE_READS["mains-sensor"],
    seen: "pull its adapter: no power",
  },
  "return-sensor": {
    on: "running",
    off: "stopped",
    when: { on: "the pump runs", off: "it stands still" },
    means: { on: "a stopped pump is not seen", off: "top-off waits" },
    safe: BROKEN_WIRE_READS["return-sensor"],
    seen: "unplug the pump: stopped",
  },
};
