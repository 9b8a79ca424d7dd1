import type { InputPart } from "../contract/parts.ts";

/**
 * Which side of an input is dangerous, for every input and everything that can be switched. Unknown counts
 * as dangerous. Where both sides harm, a named restricted mode takes the place of *off*: a smaller budget, a careful
 * heater, never the normal mode and never silence. A guard contact never permits more than the relay in front of it.
 */

/** What can be switched; each has a guard contact behind its relay. A second heater stands as the first one does. */
export const LOADS = ["top-off-pump", "heater-1"] as const;
export type Load = (typeof LOADS)[number];

export type Answer =
  /** It is off in the very scan that sees this. */
  | "off"
  /** Restricted mode: the bucket refills at the lowest credible evaporation; nothing is stopped. */
  | "lowest-evaporation"
  /** Restricted mode: the heater has half of the time, or last week's share of it where that is less. */
  | "careful-heat"
  /** This input says nothing about this load. */
  | "goes-on";

export interface Danger {
  /** Of a contact `on` or `off`, of a probe `hot` or `low`; null = neither side is. */
  readonly side: "on" | "off" | "hot" | "low" | null;
  readonly does: Answer;
  /** Not heard, faulty or too old. */
  readonly unknown: Answer;
  /** Only in such a box, and `goes-on` in every other; absent = in every box. */
  readonly where?: "heater-in-last-chamber" | "no-thermometer-beside-heater";
  readonly why: string;
}

const NOTHING = (why: string): Danger => ({ side: null, does: "goes-on", unknown: "goes-on", why });
const stops = (side: "on" | "off", why: string): Danger => ({ side, does: "off", unknown: "off", why });

export const DANGERS: Readonly<Record<InputPart | "board", Readonly<Record<Load, Danger>>>> = {
  "working-float": {
    "top-off-pump": stops("on", "At its mark the water wants no more."),
    "heater-1": NOTHING("A cause of the pump never removes heat."),
  },
  "high-float": {
    "top-off-pump": stops("on", "The water is near the rim."),
    "heater-1": NOTHING("A cause of the pump never removes heat."),
  },
  "low-float": {
    "top-off-pump": NOTHING("Low water is what a pour is for; it blocks only beside a working float that reads full."),
    "heater-1": {
      ...stops("off", "A heater in the air cracks, and burns what it touches."),
      where: "heater-in-last-chamber",
    },
  },
  "reservoir-float": {
    "top-off-pump": stops("off", "A pump that runs dry is ruined, and draws air into its tube."),
    "heater-1": NOTHING("A cause of the pump never removes heat."),
  },
  "floor-sensor": {
    "top-off-pump": stops("on", "Water is where it must not be: no more of it."),
    "heater-1": NOTHING("A cause of the pump never removes heat."),
  },
  "mains-sensor": {
    "top-off-pump": stops("off", "The level moves with the return pump: nothing is poured by it."),
    "heater-1": NOTHING("Without mains no heater heats; a sensor that is wrong must not chill the box."),
  },
  "return-sensor": {
    "top-off-pump": stops("off", "With the return pump off the chamber rises by itself: the level says nothing."),
    "heater-1": {
      ...stops("off", "Nothing carries the heat away, and no thermometer stands in what is heated."),
      where: "no-thermometer-beside-heater",
    },
  },
  "thermometer-1": {
    "top-off-pump": NOTHING("The cut-out leaves top-off alone."),
    "heater-1": { side: "hot", does: "off", unknown: "careful-heat", why: "The warmest cuts; one alone may be wrong." },
  },
  "thermometer-2": {
    "top-off-pump": NOTHING("The cut-out leaves top-off alone."),
    "heater-1": { side: "hot", does: "off", unknown: "careful-heat", why: "The warmest cuts; one alone may be wrong." },
  },
  "room-thermometer": {
    "top-off-pump": NOTHING("The room's air says nothing about the level."),
    "heater-1": NOTHING("It only explains: the settings' room takes its place."),
  },
  "conductivity-probe": {
    "top-off-pump": {
      side: "low",
      does: "lowest-evaporation",
      unknown: "lowest-evaporation",
      why: "A fouled probe reads low, and stopping by it would let the true value climb: it alone only restricts.",
    },
    "heater-1": NOTHING("Its thermometer is a third vote, asked where the two contradict each other."),
  },
  board: {
    "top-off-pump": { side: null, does: "goes-on", unknown: "off", why: "What is switched on cannot be switched off." },
    "heater-1": { side: null, does: "goes-on", unknown: "off", why: "What is switched on cannot be switched off." },
  },
};
