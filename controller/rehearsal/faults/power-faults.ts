import type { Mains } from "../plant/mains.ts";
import type { TankState } from "../plant/tank-state.ts";
import { type FaultKind, NO_VALUE, type ScenarioPart } from "./kind.ts";

const lasting = (
  kind: string,
  part: ScenarioPart,
  says: string,
  set: (tank: TankState, now: boolean) => void,
): FaultKind => ({
  kind,
  parts: [part],
  partImplied: true,
  value: NO_VALUE,
  says,
  begin: ({ tank }) => set(tank.state, true),
  end: ({ tank }) => set(tank.state, false),
});

const mains = (kind: string, which: keyof Mains, says: string): FaultKind =>
  lasting(kind, "mains-sensor", says, (tank, now) => {
    tank.mains[which] = now;
  });

/** Mains, and the input and output board. */
export const POWER_FAULTS: readonly FaultKind[] = [
  mains("mains-lost", "lost", "The mains are off at the tank; the controller lives on its own supply."),
  mains("mains-flapping", "flapping", "The mains come and go every ten seconds."),
  lasting(
    "board-silent",
    "board",
    "The board neither reports nor hears; it restarts when it comes back.",
    (tank, now) => {
      tank.board.silent = now;
      tank.board.restarted = !now;
    },
  ),
  lasting("reports-frozen", "board", "The board stops reporting its inputs and still answers queries.", (tank, now) => {
    tank.board.reportsFrozen = now;
  }),
];
