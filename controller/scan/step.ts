import type { Commands, Image } from "../../shared/contract/image.ts";
import type { ScanRecord } from "../../shared/contract/record.ts";
import type { Outcome } from "../../shared/contract/requests.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { type AlarmFacts, watchAlarms } from "../alarms/index.ts";
import { arbitrate } from "../decisions/arbitrate.ts";
import { type HeatVerdict, stepHeat } from "../decisions/heat/machine.ts";
import { saturated } from "../decisions/heat/memory.ts";
import { heatStatus } from "../decisions/heat/status.ts";
import { followHold, holdStatus } from "../decisions/hold.ts";
import { followProofs, type ProofsMemory } from "../decisions/proofs.ts";
import { startStatus } from "../decisions/start.ts";
import { stepTopOff, type TopOffVerdict } from "../decisions/top-off/machine.ts";
import { topOffStatus } from "../decisions/top-off/status.ts";
import { type CartridgeMemory, followCartridge, sourceWaterStatus } from "../quantities/cartridge.ts";
import { heatFacts, topOffFacts } from "./facts.ts";
import { isLedgerDue, type LedgerMemory, lookedAt } from "./ledger.ts";
import { afterStart, type Durable, type Memory } from "./memory.ts";
import { answerRequests } from "./requests.ts";
import { type Moment, sense } from "./sense.ts";

export interface Step {
  readonly memory: Memory;
  readonly commands: Commands;
  readonly record: ScanRecord;
}

/** Amounts that change slowly are put on disk this often; what must not be lost is put there before it matters. */
const SAVE_EVERY_MS = 300_000;

/**
 * One scan, and everything it decides: image → signals → quantities → decisions → arbitrate, alarms beside.
 * A pure function: the same memory, image and settings always give the same step, on hardware, in rehearsal, in
 * playback and under exploration.
 */
export function step(before: Memory, image: Image, settings: Settings): Step {
  const memory = image.start === null ? before : afterStart(before, image.start, settings);
  const moment = sense(memory, image, settings);
  const decided = decide(memory, moment, settings);
  const ledger = isLedgerDue(memory.volatile, image) ? lookedAt(memory, moment, decided, settings) : ledgerOf(memory);
  const told = tell(memory, moment, decided, ledger, settings);
  return remember(memory, moment, decided, told, ledger);
}

const ledgerOf = ({ durable, volatile }: Memory): LedgerMemory => ({
  durable: durable.ledger,
  volatile: volatile.ledger,
  looked: false,
});

interface Decided {
  readonly durable: Durable;
  readonly topOff: TopOffVerdict;
  readonly heat: HeatVerdict;
  readonly proofs: ProofsMemory;
  readonly cartridge: CartridgeMemory;
  readonly commands: Commands;
  readonly outcomes: readonly Outcome[];
  readonly acknowledged: readonly string[];
  readonly topOffFacts: ReturnType<typeof topOffFacts>;
  readonly heatFacts: ReturnType<typeof heatFacts>;
  readonly urgent: boolean;
}

/** Requests first, so that a person's word counts in this scan; then each machine; then the arbiter. */
function decide({ durable, volatile }: Memory, moment: Moment, settings: Settings): Decided {
  const { image, plan, signals, creditMs } = moment;
  const full = signals.contacts["working-float"].position === "on";
  const hold = followHold(durable.hold, full, creditMs, image.elapsedMs);
  const held = hold === durable.hold ? durable : { ...durable, hold };
  const asked =
    image.requests.length === 0
      ? { durable: held, outcomes: NO_OUTCOMES, acknowledged: NOTHING_ACKNOWLEDGED }
      : answerRequests(
          held,
          image.requests,
          topOffFacts(moment, held, volatile),
          heatFacts(moment, held, volatile),
          settings,
        );
  const forTopOff = topOffFacts(moment, asked.durable, volatile);
  const forHeat = heatFacts(moment, asked.durable, volatile);
  const topOff = stepTopOff(asked.durable.topOff, forTopOff, plan.topOff, plan.creditMostMs);
  const heat = stepHeat({ durable: asked.durable.heat, volatile: volatile.heat }, forHeat, plan.heat);
  const commands = arbitrate({
    pour: topOff.pour,
    waterGuardLatched: topOff.memory.guardLatched,
    heat: heat.on,
    heatGuardClosed: heat.guardClosed,
  });
  const proofs = followProofs(asked.durable.proofs, {
    elapsedMs: image.elapsedMs,
    high: signals.contacts["high-float"],
    pumpRan: topOff.proved,
    heaterRan: heat.proved,
  });
  const pouredUl = topOff.memory.pouredTotalUl - durable.topOff.pouredTotalUl;
  const cartridge = followCartridge(asked.durable.cartridge, image.elapsedMs, pouredUl);
  const holdEnded = durable.hold.leftMs > 0 && hold.leftMs === 0;
  const urgent = topOff.urgent || heat.urgent || holdEnded || image.start !== null || image.requests.length > 0;
  return { ...asked, proofs, cartridge, topOff, heat, commands, topOffFacts: forTopOff, heatFacts: forHeat, urgent };
}

const NO_OUTCOMES: readonly Outcome[] = [];
const NOTHING_ACKNOWLEDGED: readonly string[] = [];

interface Told {
  readonly facts: AlarmFacts;
  readonly alarms: ReturnType<typeof watchAlarms>;
}

/** What the scan saw and decided, as it will be shown, and the alarms that look at it. They feed nothing back. */
function tell(
  { durable, volatile }: Memory,
  moment: Moment,
  decided: Decided,
  ledger: LedgerMemory,
  settings: Settings,
): Told {
  const { image, signals, quantities, start, plan } = moment;
  const facts: AlarmFacts = {
    scan: volatile.scan + 1,
    elapsedMs: image.elapsedMs,
    contacts: signals.contacts,
    thermometers: [signals.first, signals.second],
    quantities,
    topOff: topOffStatus(decided.topOff, decided.topOffFacts, plan.topOff),
    heat: heatStatus(decided.heat, decided.heatFacts, plan.heat),
    hold: holdStatus(decided.durable.hold),
    start: startStatus(start, plan),
    proofs: decided.proofs.ages,
    ledger: ledger.volatile.status,
    sourceWater: sourceWaterStatus(signals.sourceTds, decided.cartridge),
    commands: decided.commands,
    memorySequence: durable.sequence,
    board: image.board,
    disk: image.disk,
  };
  return { facts, alarms: watchAlarms(durable.alarms, facts, settings, decided.acknowledged, image.elapsedMs) };
}

/** The memory for the next scan. Its sequence number grows when something changed that must be on disk. */
function remember(
  { durable, volatile }: Memory,
  moment: Moment,
  decided: Decided,
  told: Told,
  ledger: LedgerMemory,
): Step {
  const { image, creditMs, start } = moment;
  const { commands } = decided;
  const sinceSavedMs = volatile.sinceSavedMs + image.elapsedMs;
  const save = decided.urgent || told.alarms.changed || sinceSavedMs >= SAVE_EVERY_MS;
  const sequence = save ? durable.sequence + 1 : durable.sequence;
  const memory: Memory = {
    durable: {
      sequence,
      topOff: decided.topOff.memory,
      heat: decided.heat.memory.durable,
      hold: decided.durable.hold,
      alarms: told.alarms.memory,
      calibrationMs: durable.calibrationMs + image.elapsedMs,
      answered: decided.durable.answered,
      proofs: decided.proofs,
      ledger: ledger.durable,
      cartridge: decided.cartridge,
    },
    volatile: {
      scan: told.facts.scan,
      signals: moment.signalsMemory,
      quantities: moment.quantitiesMemory,
      start,
      heat: decided.heat.memory.volatile,
      commands,
      heaterSwitched: commands["heater-1"] !== volatile.commands["heater-1"],
      pumpOffMs: commands["top-off-pump"] ? 0 : saturated(volatile.pumpOffMs + creditMs),
      heaterOffMs: commands["heater-1"] ? 0 : saturated(volatile.heaterOffMs + creditMs),
      sinceSavedMs: save ? 0 : sinceSavedMs,
      ledger: ledger.volatile,
      sinceLedgerMs: ledger.looked ? 0 : volatile.sinceLedgerMs + image.elapsedMs,
    },
  };
  const record = { ...told.facts, alarms: told.alarms.alarms, outcomes: decided.outcomes, memorySequence: sequence };
  return { memory, commands, record };
}
