import type { Due } from "../../../shared/contract/absence.ts";
import type { LedgerStatus } from "../../../shared/contract/ledger.ts";
import { HEATER_PARTS } from "../../../shared/contract/parts.ts";
import { LOCK_OF, MACHINE_WORDS } from "../../../shared/contract/requests.ts";
import { cartridgeDue } from "../../quantities/cartridge.ts";
import { calibrationDue } from "../calibration/falls-due.ts";
import { HEAT } from "../heat/key.ts";
import { reservoirDue } from "../ledger/falls-due.ts";
import { LEDGER } from "../ledger/key.ts";
import type { ScanContext } from "../machine.ts";
import { proofsDue } from "../proving/falls-due.ts";
import { PROVING } from "../proving/key.ts";
import { isFitted } from "../proving/parts.ts";
import { measurementDue } from "../top-off/falls-due.ts";
import { TOP_OFF } from "../top-off/key.ts";
import { planTopOff } from "../top-off/plan.ts";

/** Whatever will want a person, as each part knows it. */
export const everyDue = (context: ScanContext): readonly Due[] => [
  ...locksDue(context),
  ...litresDue(context),
  ...(context.signals.conductivity.doubt === "not-fitted" ? [] : [calibrationDue(context.calibrationDays)]),
  ...proofsDue(context.keptOf(PROVING).durable, context.settings),
  ...(context.signals.sourceTds.doubt === "not-fitted" ? [] : [cartridgeDue]),
];

function locksDue(context: ScanContext): readonly Due[] {
  const heaters = HEATER_PARTS.filter((heater) => context.keptOf(HEAT[heater]).durable.latch !== null);
  const locked = [
    ...(context.keptOf(TOP_OFF).durable.latch === null ? [] : (["top-off"] as const)),
    ...heaters.map((heater) => LOCK_OF[heater]),
  ];
  return locked.map((machine) => ({ kind: "lock", of: MACHINE_WORDS[machine], inH: 0, earliestH: 0, renewedH: null }));
}

/** What hangs on the litres that evaporate; nothing of it in a box that pours none. */
function litresDue(context: ScanContext): readonly Due[] {
  const { settings } = context;
  if (!isFitted("top-off-pump", settings)) return [];
  const topOff = context.keptOf(TOP_OFF).durable;
  const perDay = expectEvaporation(context.keptOf(LEDGER).volatile.ledger.status, settings.topOff.evaporationLPerDay);
  const leftL = topOff.reservoirUl === null ? null : topOff.reservoirUl / 1e6;
  const measurement = measurementDue(topOff, planTopOff(settings), perDay);
  return [reservoirDue(leftL, settings.topOff.reservoirL, perDay), ...(measurement === null ? [] : [measurement])];
}

/** Before the ledger has looked for the first time nothing is learned: then as commissioned, and very doubtful. */
const NOT_LEARNED_SHARE = 0.5;

const expectEvaporation = ({ evaporationLPerDay }: LedgerStatus, commissionedLPerDay: number) =>
  evaporationLPerDay ?? { value: commissionedLPerDay, uncertainty: NOT_LEARNED_SHARE * commissionedLPerDay };
