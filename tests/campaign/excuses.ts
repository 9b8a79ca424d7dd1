import type { Scenario, ScenarioFault } from "../../controller/rehearsal/scenario.ts";
import type { HarmKind } from "./harm.ts";

/**
 * Harms that no controller could prevent, each with its reason. Narrow on purpose: a row names a fault, the parts it
 * may sit on, and the harm. A harm without a row fails the week, and so does one that nobody was told of.
 *
 * `parts`: it is not enough that the row is here; the same week is lived again by a hand that knows the water and has
 * the same parts (`all-knowing.ts`), and the harm must come to that hand too, about as badly.
 *
 * `rules`: a part could act, but what it would have to go by is gone, and the safety rules forbid to act blind: the box
 * never pays for our doubt. Excused so are only salt that rises for want of top-off, a tank that cools beside a still
 * chamber which is held at its setpoint and no hotter, and one that cools in a cold room behind the lock of a heater that
 * ran unasked, until somebody comes: all take a day or more, and a person is told.
 */
export interface Excuse {
  readonly by: "parts" | "rules";
  readonly kind: string;
  readonly part?: readonly string[];
  readonly choice?: string;
  readonly harms: readonly HarmKind[];
  readonly reason: string;
  /** How much worse than the best hand it may end, where that is more than usual. */
  readonly margin?: number;
}

const parts = (kind: string, harms: readonly HarmKind[], reason: string, part?: readonly string[]): Excuse => ({
  by: "parts",
  kind,
  harms,
  reason,
  ...(part === undefined ? {} : { part }),
});

const blind = (kind: string, reason: string, part?: readonly string[], choice?: string): Excuse => ({
  by: "rules",
  kind,
  harms: ["salty"],
  reason,
  ...(part === undefined ? {} : { part }),
  ...(choice === undefined ? {} : { choice }),
});

const PUMP = ["top-off-pump", "water-guard"];
const HEATER = ["heater-1", "heat-guard"];

export const EXCUSES: readonly Excuse[] = [
  // Water
  parts("relay-dead", ["salty"], "no current reaches the pump", PUMP),
  parts("guard-and-relay-welded", ["fresh", "floor"], "both contacts that could stop the pump are closed for good", [
    "top-off-pump",
  ]),
  parts("pump-worn", ["salty"], "the pump gives less than evaporates"),
  parts("siphon", ["fresh", "floor"], "running water heeds no relay and no guard; only a hand lifts the tube out"),
  parts("tube-off", ["floor"], "water must reach the floor before anything can feel it there"),
  parts("tube-off", ["salty"], "no fresh water reaches the tank"),
  parts("reservoir-empty", ["salty"], "there is no fresh water"),
  parts("reservoir-salty", ["salty"], "there is no fresh water"),
  parts("tank-leak", ["hot"], "little water is left, and lamp and room warm it fast"),
  // The best hand pours nothing from the first hour. Here a hand test must first tell lost salt from a probe that drifts:
  // two days of evaporation are up to 4.2 L, which lower 140 L of sea water by 1.05.
  { ...parts("salt-loss", ["fresh"], "no part can add salt"), margin: 1.1 },
  parts("mains-lost", ["salty", "cold"], "pump and heater have no current"),
  parts("board-silent", ["salty", "cold"], "no command reaches a contact"),
  parts("controller-killed", ["salty", "cold"], "a dead computer switches nothing"),
  parts("kill-mid-pour", ["salty", "cold"], "a dead computer switches nothing"),
  // Heat
  parts("relay-dead", ["cold"], "no current reaches the heater", HEATER),
  parts("guard-and-relay-welded", ["hot"], "both contacts that could stop the heater are closed for good", [
    "heater-1",
  ]),
  parts("heater-dead", ["cold"], "nothing else heats"),
  parts("heater-uncovered", ["cold"], "nothing else heats"),
  parts("return-pump-stopped", ["cold"], "without the return pump the heat stays in the heater's chamber"),
  parts("room-temperature", ["cold"], "the room takes more heat than the heater has"),
  parts("room-temperature", ["hot"], "nothing here can cool"),
  // Blind
  blind(
    "float-stuck",
    "the working float says full; only the low float, 60 mm down, can contradict it",
    ["working-float"],
    "wet",
  ),
  blind("float-stuck", "the high float says that the water stands at the rim", ["high-float"], "wet"),
  blind("float-stuck", "two floats contradict each other, and one of them is right", ["low-float"], "dry"),
  blind("float-stuck", "the reservoir float says that there is no water to pump", ["reservoir-float"], "dry"),
  blind("float-stuck", "the level does not answer: poured water may be anywhere", ["working-float"], "dry"),
  blind("float-open-circuit", "a float that says nothing may be the one that would stop the pump"),
  blind("float-short", "a float that says nothing may be the one that would stop the pump"),
  blind("float-chatter", "a high float that touches water again and again", ["high-float"]),
  blind("float-chatter", "a working float that falls dry and wet in one breath shows no level", ["working-float"]),
  blind("float-chatter", "a reservoir float that falls dry again and again says that there may be no water to pump", [
    "reservoir-float",
  ]),
  blind("shared-cable-short", "neither the working nor the high float says anything"),
  blind("reports-frozen", "no float is heard"),
  blind("mains-sensor-open", "whether the pump has current is not known"),
  blind("mains-flapping", "every return of the mains moves the water, and the waits begin anew"),
  blind("return-sensor-wrong", "whether the water stands or runs is not known, and so what the floats mean"),
  blind("return-pump-stopped", "with the return pump still, the floats do not show what is missing"),
  {
    by: "rules",
    kind: "return-pump-stopped",
    harms: ["cold"],
    reason: "still water around the heater is held at the setpoint; hotter, it would cook that chamber",
  },
  {
    by: "rules",
    kind: "relay-welded",
    part: ["heater-1"],
    harms: ["cold"],
    reason: "a heater that ran unasked is off until somebody at the tank has looked at it",
  },
  blind("chamber-clogged", "the last chamber does not show any more what is missing"),
  blind("weir-clogged", "the last chamber does not show any more what is missing"),
  blind("tank-leak", "no float can tell a leak from evaporation, and fresh water in place of salt water dilutes"),
  blind("pump-worn", "litres are counted as proven, and a pump far below that uses up its budget"),
];

/** A fault is over at its end, but what it locked waits for the next evening at which somebody comes. */
const GRACE_H = 48;

/** The rows that may excuse this harm, of the faults that were there when it began. */
export function excusesFor(scenario: Scenario, harm: HarmKind, atH: number): readonly Excuse[] {
  const here = scenario.faults.filter((fault) => fault.atH <= atH && atH <= (fault.untilH ?? Infinity) + GRACE_H);
  return EXCUSES.filter((excuse) => excuse.harms.includes(harm) && here.some((fault) => fits(excuse, fault)));
}

const fits = ({ kind, part, choice }: Excuse, fault: ScenarioFault): boolean =>
  kind === fault.kind &&
  (part === undefined || part.includes(fault.part ?? "")) &&
  (choice === undefined || choice === fault.value);
