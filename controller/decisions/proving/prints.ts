import * as z from "zod";
import type { ProofPart } from "../../../shared/contract/proving.ts";
import { oncePerSettings } from "../../../shared/settings/once.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import type { OneWireBus } from "../../../shared/settings/wiring.ts";
import { fingerprint } from "../calibration/prints.ts";
import { eachPart } from "./parts.ts";

/** A fingerprint of the settings that a proof was made under. */
export const storedPrint = z
  .object({
    /** Of the part itself: its wiring and what the proof has measured. */
    part: z.string(),
    /** Of the port that its board hangs on: another name for it may be another board. */
    port: z.string(),
  })
  .readonly();
export type Print = z.infer<typeof storedPrint>;

export const printsOf = oncePerSettings(
  (settings): Readonly<Record<ProofPart, Print>> => eachPart((part) => printOf(part, settings)),
);

function printOf(part: ProofPart, settings: Settings): Print {
  const { wiring, else: also } = whatCounts(part, settings);
  const board = wiring === undefined ? undefined : settings.boards[wiring.board];
  const { port, ...kind } = board === undefined ? {} : board.kind === "one-wire" ? withFolderAsPort(board) : board;
  return { part: fingerprint(JSON.stringify([wiring, kind, also])), port: fingerprint(JSON.stringify(port ?? null)) };
}

const withFolderAsPort = ({ folder, ...kind }: OneWireBus) => ({ ...kind, port: folder });

interface Counts {
  readonly wiring: { readonly board: string } | undefined;
  readonly else: readonly unknown[];
}

/** What a proof has been made of: when any of it changes, the proof is of another part. */
function whatCounts(part: ProofPart, { inputs, outputs, tank, topOff, heat, targets }: Settings): Counts {
  switch (part) {
    case "top-off-pump":
      return { wiring: outputs[part], else: [topOff.provenFlowLPerMin] };
    case "siphon":
      return { wiring: outputs["top-off-pump"], else: [topOff.coastMl] };
    case "pump-off-level":
      return { wiring: undefined, else: [tank.highFloatMm, tank.pumpOffLevelMm, tank.lastChamberM2] };
    case "heater-1":
      return { wiring: outputs[part], else: [heat.heaterW, heat.heaterPlace] };
    case "heater-2":
      return { wiring: outputs[part], else: [heat.secondHeater?.heaterW, heat.secondHeater?.heaterPlace] };
    case "heater-thermostat":
      return { wiring: undefined, else: [heat.heaterW, targets.temperatureC] };
    case "heater-2-thermostat":
      return { wiring: undefined, else: [heat.secondHeater?.heaterW, targets.temperatureC] };
    case "water-guard":
    case "heat-guard":
    case "heat-guard-2":
      return { wiring: outputs[part], else: [] };
    case "protective-device":
      return { wiring: undefined, else: [] };
    default:
      return { wiring: inputs[part], else: [] };
  }
}
