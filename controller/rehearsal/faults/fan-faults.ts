import type { Fan } from "../plant/fan.ts";
import { type FaultKind, NO_VALUE, type World } from "./kind.ts";

const fan = (kind: string, which: "dead" | "stuckOn", says: string): FaultKind => ({
  kind,
  parts: [],
  partImplied: true,
  value: NO_VALUE,
  says,
  begin: (world) => set(world, which, true),
  end: (world) => set(world, which, false),
});

function set({ tank }: World, which: keyof Pick<Fan, "dead" | "stuckOn">, value: boolean): void {
  if (tank.state.fan !== null) tank.state.fan[which] = value;
}

/** The fan over the water. */
export const FAN_FAULTS: readonly FaultKind[] = [
  fan("fan-dead", "dead", "The fan over the water does not turn any more."),
  fan("fan-stuck-on", "stuckOn", "The fan over the water blows for ever."),
];
