import type { Commands } from "../../shared/contract/image.ts";

/** What the machines propose. */
export interface Proposals {
  readonly pour: boolean;
  readonly waterGuardLatched: boolean;
  readonly heat: boolean;
  readonly heatGuardClosed: boolean;
}

/**
 * The only place that makes a command. It has no memory: a table.
 * The water guard rests open and closes with the pour alone; the heat guard rests closed while heat is allowed. A
 * relay is never on behind a guard that is not commanded closed by the same scan, and a water cause never removes heat.
 */
export function arbitrate({ pour, waterGuardLatched, heat, heatGuardClosed }: Proposals): Commands {
  const pump = pour && !waterGuardLatched;
  return {
    "top-off-pump": pump,
    "water-guard": pump,
    "heater-1": heat && heatGuardClosed,
    "heat-guard": heatGuardClosed,
  };
}
