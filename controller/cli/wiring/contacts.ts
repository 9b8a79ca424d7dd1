import type { ContactPart } from "../../../shared/contract/parts.ts";

/** What a contact says and what follows from it, for the person who wires it. */
export interface ContactFacts {
  /** Words for its two positions: `on` is wet, power, running. */
  readonly on: string;
  readonly off: string;
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
    means: { on: "nothing is poured", off: "pours within its budget" },
    safe: "on",
    seen: "lift: full; let go: low",
  },
  "high-float": {
    on: "wet",
    off: "dry",
    means: { on: "pump stops, locks", off: "this barrier is blind" },
    safe: "on",
    seen: "lift: wet; let go: dry",
  },
  "low-float": {
    on: "covered",
    off: "uncovered",
    means: { on: "a bare heater is not seen", off: "heater off" },
    safe: "off",
    seen: "let hang: uncovered; lift: covered",
  },
  "reservoir-float": {
    on: "water",
    off: "empty",
    means: { on: "an empty one is not seen", off: "nothing is poured" },
    safe: "off",
    seen: "lift: water; let go: empty",
  },
  "floor-sensor": {
    on: "wet",
    off: "dry",
    means: { on: "pump stops, locks", off: "a wet floor is not seen" },
    safe: "on",
    seen: "wet cloth: wet; wipe: dry",
  },
  "mains-sensor": {
    on: "power",
    off: "no power",
    means: { on: "lost mains are not seen", off: "top-off waits" },
    safe: "off",
    seen: "pull its adapter: no power",
  },
  "return-sensor": {
    on: "running",
    off: "stopped",
    means: { on: "a stopped pump is not seen", off: "top-off waits" },
    safe: "off",
    seen: "unplug the pump: stopped",
  },
};
