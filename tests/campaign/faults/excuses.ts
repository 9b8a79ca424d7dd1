import type { Scenario, ScenarioFault } from "../../../controller/rehearsal/scenario.ts";
import type { HarmKind } from "./harm.ts";

/**
 * Harms that nobody at the tank with the same parts could have prevented, each with its reason and its bound beside the
 * best hand's. A row names a fault, the parts it may sit on, and the harms. A harm without a row fails the week, and so
 * does one that nobody was told of by the right alarm.
 *
 * `parts`: the same week is lived again by a hand that knows the water and has the same switches (`all-knowing.ts`), and
 * the harm must come to that hand too, about as badly.
 *
 * `unseen`: that hand sees with its eyes what no part of the box shows. The row says how much worse than the hand's it may
 * end, by what the parts do show.
 *
 * `stopped`: water is seen where it must not be, a pump is out of hand, or nothing shows the level: then nothing is
 * poured, whatever evaporates. It must be told before salinity has moved by 0.5, and costs what evaporates and no more.
 */
export type Excuse = {
  readonly kind: string;
  readonly part?: readonly string[];
  readonly choice?: string;
  readonly harms: readonly HarmKind[];
  readonly reason: string;
} & (
  | { readonly by: "parts" }
  /** `margin`: how much worse than the best hand, in the unit of the harm. */
  | { readonly by: "unseen"; readonly margin: number }
  | { readonly by: "stopped" }
);

const parts = (kind: string, harms: readonly HarmKind[], reason: string, part?: readonly string[]): Excuse => ({
  by: "parts",
  kind,
  harms,
  reason,
  ...(part === undefined ? {} : { part }),
});

const stopped = (kind: string, reason: string, part?: readonly string[], choice?: string): Excuse => ({
  by: "stopped",
  kind,
  harms: ["salty", "level"],
  reason,
  ...(part === undefined ? {} : { part }),
  ...(choice === undefined ? {} : { choice }),
});

const PUMP = ["top-off-pump", "water-guard"];
const HEATER = ["heater-1", "heat-guard"];
const NO_FRESH_WATER: readonly HarmKind[] = ["salty", "level"];
const DEAD: readonly HarmKind[] = ["salty", "level", "cold"];
const HOUR_S = 3600;

export const EXCUSES: readonly Excuse[] = [
  // Water
  parts("relay-dead", NO_FRESH_WATER, "no current reaches the pump", PUMP),
  parts("guard-and-relay-welded", ["fresh", "floor"], "both contacts that could stop the pump are closed for good", [
    "top-off-pump",
  ]),
  parts("guard-and-relay-welded", ["pump-dry"], "both contacts are closed, and the reservoir is empty", [
    "top-off-pump",
  ]),
  parts("pump-worn", NO_FRESH_WATER, "the pump gives less than evaporates"),
  parts("siphon", ["fresh", "floor"], "running water heeds no relay and no guard; only a hand lifts the tube out"),
  parts("tube-off", ["floor"], "water must reach the floor before anything can feel it there"),
  parts("tube-off", NO_FRESH_WATER, "no fresh water reaches the tank"),
  parts("reservoir-empty", NO_FRESH_WATER, "there is no fresh water"),
  parts("reservoir-salty", NO_FRESH_WATER, "there is no fresh water"),
  parts("tank-leak", ["hot"], "little water is left, and lamp and room warm it fast"),
  parts("tank-leak", ["level"], "what leaks away is salt water, and no part can put that back"),
  parts("chamber-clogged", ["level"], "the last chamber runs empty behind the grid"),
  parts("weir-clogged", ["level"], "the last chamber runs empty behind the weir"),
  parts("salt-loss", ["level"], "the water is fresh enough: putting back what evaporates would freshen it"),
  // The best hand pours nothing from the first hour. Here a hand test must first tell lost salt from a probe that drifts:
  // two days of evaporation are up to 4.2 L, which lower 140 L of sea water by 1.05.
  { by: "unseen", margin: 1.1, kind: "salt-loss", harms: ["fresh"], reason: "no part can add salt" },
  parts("mains-lost", DEAD, "pump and heater have no current"),
  parts("board-silent", DEAD, "no command reaches a contact"),
  parts("controller-killed", DEAD, "a dead computer switches nothing"),
  parts("kill-mid-pour", DEAD, "a dead computer switches nothing"),
  // Heat
  parts("relay-dead", ["cold"], "no current reaches the heater", HEATER),
  parts("guard-and-relay-welded", ["hot"], "both contacts that could stop the heater are closed for good", [
    "heater-1",
  ]),
  parts("heater-dead", ["cold"], "nothing else heats"),
  parts("heater-uncovered", ["cold"], "nothing else heats"),
  // On for an hour before its effect is missed, and after that half of the time at most, until somebody comes in the evening.
  {
    by: "unseen",
    margin: 13 * HOUR_S,
    kind: "heater-uncovered",
    harms: ["heater-dry"],
    reason:
      "no part shows the cover of a heater in a chamber that cannot fall; that it warms nothing shows after an hour",
  },
  parts("return-pump-stopped", ["cold"], "without the return pump the heat stays in the heater's chamber"),
  parts("room-temperature", ["cold"], "the room takes more heat than the heater has"),
  parts("room-temperature", ["hot"], "nothing here can cool"),
  parts("fan-dead", ["hot"], "nothing else cools"),
  // Stopped
  stopped("float-stuck", "the high float says that the water stands at the rim", ["high-float"], "wet"),
  stopped("float-stuck", "nothing else shows the level, or what does says the same", ["working-float"], "wet"),
  stopped("shared-cable-short", "neither the working nor the high float says anything"),
  stopped("reports-frozen", "no float is heard"),
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
