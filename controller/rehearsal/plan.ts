import type { Agenda } from "./agenda.ts";
import type { FaultKind, World } from "./faults/kind.ts";
import { faultKind, resolveFault } from "./faults/table.ts";
import { type Hand, timesOf } from "./hands/index.ts";
import type { Scenario } from "./scenario.ts";

const MS_PER_H = 3_600_000;

/** Puts what breaks into the agenda, and what is mended again; `reaches`: what this world can suffer, left out = all. */
export function planFaults(
  { faults }: Pick<Scenario, "faults">,
  world: World,
  agenda: Agenda,
  reaches: (kind: FaultKind) => boolean = () => true,
): void {
  for (const written of faults) {
    const { fault } = resolveFault(written);
    if (fault === null) throw new Error(`a fault of kind ${written.kind} that was never checked`);
    const kind = faultKind(fault.kind);
    if (!reaches(kind)) continue;
    agenda.add(written.atH * MS_PER_H, () => kind.begin(world, fault));
    if (written.untilH !== undefined) agenda.add(written.untilH * MS_PER_H, () => kind.end?.(world, fault));
  }
}

/** Puts what hands do into the agenda, as often as they do it. */
export function planHands(
  { hands, hours }: Pick<Scenario, "hands" | "hours">,
  agenda: Agenda,
  use: (hand: Hand) => void,
): void {
  for (const hand of hands) {
    for (const atH of timesOf(hand, hours)) agenda.add(atH * MS_PER_H, () => use(hand));
  }
}
