import { type Commands, EVERYTHING_OFF } from "../../shared/contract/image.ts";
import type { OutputPart } from "../../shared/contract/parts.ts";

/** What a machine wants of its relay and of the guard contact behind it. */
export interface Proposal {
  readonly relay: OutputPart;
  readonly guard: OutputPart;
  readonly on: boolean;
  readonly guardClosed: boolean;
  /** A proving run finds out whether the guard opens. */
  readonly guardUnderTest: boolean;
}

/**
 * The only place that makes a command. It has no memory: a table.
 * The water guard rests open and closes with the pour alone; a heat guard rests closed while heat is allowed. A
 * relay is never on behind a guard that is not commanded closed by the same scan, and a water cause never removes heat.
 * The one exception is a proving run of the guard itself: a guard that is stuck shows itself only while its relay is
 * closed. Nothing runs then unless the guard is broken, and the run is charged, bounded and tripped as if it did.
 */
export function arbitrate(proposals: readonly Proposal[]): Commands {
  const commands = { ...EVERYTHING_OFF } as { -readonly [Part in OutputPart]: boolean };
  for (const { relay, guard, on, guardClosed, guardUnderTest } of proposals) {
    commands[relay] = on && guardClosed;
    commands[guard] = guardClosed && !guardUnderTest;
  }
  return commands;
}
