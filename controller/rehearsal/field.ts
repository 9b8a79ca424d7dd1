import type { Commands, Field } from "../../shared/contract/index.ts";
import { EVERYTHING_OFF } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { faultKind, resolveFault, type WrittenFault } from "./faults/table.ts";
import { doHand, type Hand } from "./hands/index.ts";
import { createTank, type Tank } from "./plant/tank.ts";
import type { TankOptions } from "./plant/tank-state.ts";

/**
 * The simulated tank where devices would stand, for a live rehearsal. Time passes only in `advance`: whoever drives it
 * decides how fast. `close` is left to the driver's own promise: nothing here waits.
 */
export interface LiveField extends Omit<Field, "close"> {
  /** Lets simulated time pass. */
  advance(dtMs: number): void;
  /** Since the local midnight before the start. */
  readonly simulatedMs: number;
  /** Breaks something now. Returns what was wrong with the order, or null. */
  inject(fault: WrittenFault): string | null;
  /** Makes something whole again. */
  mend(fault: WrittenFault): string | null;
  /** Uses hands on the water; what they would say is left to whoever has them. */
  hand(hand: Hand): void;
  /** Outputs off. */
  switchOff(): void;
  readonly tank: Tank;
}

export function rehearsalField(seed: number, settings: Settings, options: TankOptions = {}): LiveField {
  const tank = createTank(seed, settings, options);
  let renewed: Commands | null = null;
  return {
    tank,
    look: () => tank.look(),
    command: (commands) => {
      renewed = commands;
    },
    advance: (dtMs) => {
      tank.apply(renewed, dtMs);
      renewed = null;
    },
    get simulatedMs() {
      return tank.state.nowMs;
    },
    describe: () => [`Rehearsal tank, seed ${seed}: simulated water, no real part is switched.`],
    inject: (written) => change(tank, written, "begin"),
    mend: (written) => change(tank, written, "end"),
    hand: (hand) => {
      doHand(hand, tank, settings, null);
    },
    switchOff: () => tank.apply(EVERYTHING_OFF, 0),
  };
}

/** The controller of a live rehearsal is the real one: killing it is for whoever sits at the keyboard. */
function change(tank: Tank, written: WrittenFault, what: "begin" | "end"): string | null {
  const { fault, wrong } = resolveFault(written);
  if (wrong !== null) return `${wrong.key}: expected ${wrong.expected}`;
  const act = faultKind(fault.kind)[what];
  if (act === null) return `${fault.kind} has no end`;
  act({ tank, controller: null }, fault);
  return null;
}
