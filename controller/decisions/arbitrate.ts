import type { Commands } from "../../shared/contract/image.ts";
import type { ProvingRun } from "../../shared/contract/proving.ts";

/** What the machines propose. */
export interface Proposals {
  readonly pour: boolean;
  readonly waterGuardLatched: boolean;
  readonly heat: boolean;
  readonly heatGuardClosed: boolean;
  /** Of the second heater; both false where there is none. */
  readonly secondHeat: boolean;
  readonly secondHeatGuardClosed: boolean;
}

/**
 * The only place that makes a command. It has no memory: a table.
 * The water guard rests open and closes with the pour alone; a heat guard rests closed while heat is allowed. A
 * relay is never on behind a guard that is not commanded closed by the same scan, and a water cause never removes heat.
 * The one exception is a proving run of the guard itself: a guard that is stuck shows itself only while its relay is
 * closed. Nothing runs then unless the guard is broken, and the run is charged, bounded and tripped as if it did.
 */
export function arbitrate(
  { pour, waterGuardLatched, heat, heatGuardClosed, secondHeat, secondHeatGuardClosed }: Proposals,
  underTest: ProvingRun | null = null,
): Commands {
  const pump = pour && !waterGuardLatched;
  return {
    "top-off-pump": pump,
    "water-guard": pump && underTest !== "water-guard",
    "heater-1": heat && heatGuardClosed,
    "heat-guard": heatGuardClosed && underTest !== "heat-guard",
    "heater-2": secondHeat && secondHeatGuardClosed,
    "heat-guard-2": secondHeatGuardClosed && underTest !== "heat-guard-2",
  };
}
