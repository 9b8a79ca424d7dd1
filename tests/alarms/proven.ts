import { nothingCalibrated } from "../../controller/decisions/calibration/memory.ts";
import { calibrationStatus } from "../../controller/decisions/calibration/status.ts";
import { EVERY_MACHINE } from "../../controller/decisions/list.ts";
import { ageOf, everythingProven, FRESH_PROVING } from "../../controller/decisions/proving/memory.ts";
import { eachPart } from "../../controller/decisions/proving/parts.ts";
import { provingStatus } from "../../controller/decisions/proving/status.ts";
import type { Gates, ProofPart, ScanRecord } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

/** What a scan shows of a box whose parts were all seen to work just now, and of which nothing is calibrated. */
const settings = rehearsalSettings();
const proofs = everythingProven(settings);
const gateOf = (part: ProofPart): Gates =>
  EVERY_MACHINE.find(({ gates }) => gates?.of(settings).includes(part) === true)?.gates?.name ?? null;

export const PROVEN: Pick<ScanRecord, "proofs" | "proving" | "calibration"> = {
  proofs: eachPart((part) => ageOf(proofs, part)),
  proving: provingStatus(proofs, FRESH_PROVING, { run: null, atTankMs: 0, gateOf }, settings),
  calibration: calibrationStatus(nothingCalibrated(settings), null, settings),
};
