import { ALL_WELL_BESIDE, type Commands, type Image } from "../../shared/contract/image.ts";
import type { ScanRecord } from "../../shared/contract/record.ts";
import type { Outcome } from "../../shared/contract/requests.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { type AlarmFacts, watchAlarms } from "../alarms/index.ts";
import { arbitrate } from "../decisions/arbitrate.ts";
import { settingsWith } from "../decisions/calibration/effective.ts";
import { olderCalibration } from "../decisions/calibration/memory.ts";
import { followSession, type SessionMemory } from "../decisions/calibration/session.ts";
import { saturated } from "../decisions/heat/memory.ts";
import { heatStatus } from "../decisions/heat/status.ts";
import { followHold, holdStatus } from "../decisions/hold.ts";
import type { ProofsMemory, ProvingMemory } from "../decisions/proving/memory.ts";
import { isLevelSettled, startStatus } from "../decisions/start.ts";
import { stepTopOff, type TopOffVerdict } from "../decisions/top-off/machine.ts";
import { topOffStatus } from "../decisions/top-off/status.ts";
import { type CartridgeMemory, followCartridge, sourceWaterStatus } from "../quantities/cartridge.ts";
import { isOnOrAbsent } from "../signals/contact.ts";
import { topOffFacts } from "./facts.ts";
import { type BothHeated, heatBoth } from "./heat.ts";
import { isLedgerDue, type LedgerMemory, lookedAt } from "./ledger.ts";
import { afterStart, type Durable, type Memory, type Shown } from "./memory.ts";
import { followed, provingFacts, requestFacts, sessionReads, shownOf, underSettings } from "./proving.ts";
import { type Answering, answerRequests, onlyFollowedRuns } from "./requests.ts";
import { type Moment, sense } from "./sense.ts";
import { believedAgain, stillOutOfWater } from "./trust.ts";

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
export function step(before: Memory, image: Image, file: Settings): Step {
  const started = image.start === null ? before : afterStart(before, image.start, file);
  const memory = underSettings(started, file);
  // What was calibrated takes the place of what the file says, for everything that follows.
  const settings = settingsWith(file, memory.durable.calibration.values);
  const moment = sense(memory, image, settings);
  const decided = decide(memory, moment, settings, file);
  const ledger = isLedgerDue(memory.volatile, image) ? lookedAt(memory, moment, decided, settings) : ledgerOf(memory);
  const told = tell(memory, moment, decided, ledger, settings, file);
  return remember(memory, moment, decided, told, ledger);
}

const ledgerOf = ({ durable, volatile }: Memory): LedgerMemory => ({
  durable: durable.ledger,
  volatile: volatile.ledger,
  looked: false,
});

interface Decided extends BothHeated {
  readonly durable: Durable;
  readonly topOff: TopOffVerdict;
  readonly proofs: ProofsMemory;
  readonly proving: ProvingMemory;
  readonly session: SessionMemory | null;
  readonly cartridge: CartridgeMemory;
  readonly commands: Commands;
  readonly refused: Answering["refused"];
  readonly outcomes: readonly Outcome[];
  readonly acknowledged: readonly string[];
  readonly topOffFacts: ReturnType<typeof topOffFacts>;
  readonly urgent: boolean;
}

/** Requests first, so that a person's word counts in this scan; then each machine; then the arbiter. */
function decide({ durable, volatile }: Memory, moment: Moment, settings: Settings, file: Settings): Decided {
  const { image, plan, signals, creditMs } = moment;
  // The surge of a return pump that stands is no answer to where the water went.
  const { "return-sensor": flow, "working-float": working } = signals.contacts;
  const full = working.position === "on" && isOnOrAbsent(flow) && isLevelSettled(moment.start, plan);
  // Where no float shows the level, nothing is poured either, and there is nothing to ask.
  const isAnswered = full || working.doubt === "not-fitted";
  // A hold is served only in scans that see the tank: everything is off while its board is silent, and hands that were
  // in before may be in when it is heard again.
  const hold = followHold(durable.hold, isAnswered, image.board === "ready" ? creditMs : 0, image.elapsedMs);
  const held = hold === durable.hold ? durable : { ...durable, hold };
  const { proving, session: sessionBefore, refused } = volatile;
  const before = onlyFollowedRuns({ durable: held, proving, session: sessionBefore, refused });
  const asked =
    image.requests.length === 0
      ? {
          durable: before.durable,
          proving: before.proving,
          session: before.session,
          refused: before.refused,
          outcomes: NO_OUTCOMES,
          acknowledged: NOTHING_ACKNOWLEDGED,
        }
      : answerRequests(before, image.requests, (current) => requestFacts(moment, current, volatile, settings, file));
  const forTopOff = topOffFacts(moment, asked.durable, volatile);
  const topOff = stepTopOff(asked.durable.topOff, forTopOff, plan.topOff, plan.creditMostMs);
  const heated = heatBoth(moment, asked.durable, volatile);
  const first = heated.heat.verdict;
  const second = heated.secondHeat?.verdict ?? null;
  const proposals = {
    pour: topOff.pour,
    waterGuardLatched: topOff.memory.guardLatched,
    heat: first.on,
    heatGuardClosed: first.guardClosed,
    secondHeat: second?.on === true,
    secondHeatGuardClosed: second?.guardClosed === true,
  };
  const commands = arbitrate(proposals, asked.proving.run?.part ?? null);
  const session =
    asked.session === null ? null : followSession(asked.session, sessionReads(moment), creditMs, image.elapsedMs);
  const seen = followed(asked, provingFacts(moment, volatile, topOff, heated));
  const pouredUl = topOff.memory.pouredTotalUl - durable.topOff.pouredTotalUl;
  const cartridge = followCartridge(asked.durable.cartridge, image.elapsedMs, pouredUl);
  const holdEnded = durable.hold.leftMs > 0 && hold.leftMs === 0;
  const trip = topOff.urgent || first.urgent || second?.urgent === true;
  const urgent = trip || seen.urgent || holdEnded || image.start !== null || asked.durable !== before.durable;
  return {
    durable: asked.durable,
    topOff,
    heat: heated.heat,
    secondHeat: heated.secondHeat,
    turns: heated.turns,
    proofs: seen.proofs,
    proving: seen.proving,
    session,
    cartridge,
    commands,
    refused: asked.refused,
    outcomes: asked.outcomes,
    acknowledged: asked.acknowledged,
    topOffFacts: forTopOff,
    urgent,
  };
}

const NO_OUTCOMES: readonly Outcome[] = [];
const NOTHING_ACKNOWLEDGED: readonly string[] = [];

interface Told {
  readonly facts: AlarmFacts;
  readonly alarms: ReturnType<typeof watchAlarms>;
  readonly shown: Shown;
}

/** What the scan saw and decided, as it will be shown, and the alarms that look at it. They feed nothing back. */
function tell(
  { durable, volatile }: Memory,
  moment: Moment,
  decided: Decided,
  ledger: LedgerMemory,
  settings: Settings,
  file: Settings,
): Told {
  const { image, signals, quantities, start, plan } = moment;
  const shown = shownOf(volatile.shown, decided, file);
  const facts: AlarmFacts = {
    scan: volatile.scan + 1,
    elapsedMs: image.elapsedMs,
    contacts: signals.contacts,
    thermometers: [signals.first, signals.second],
    quantities,
    topOff: topOffStatus(decided.topOff, decided.topOffFacts, plan.topOff),
    heat: heatStatus(decided.heat.verdict, decided.heat.facts, plan.heat),
    secondHeat:
      decided.secondHeat === null || plan.secondHeat === null
        ? null
        : heatStatus(decided.secondHeat.verdict, decided.secondHeat.facts, plan.secondHeat),
    hold: holdStatus(decided.durable.hold),
    start: startStatus(start, plan),
    proofs: shown.ages,
    proving: shown.proving,
    calibration: shown.calibration,
    ledger: ledger.volatile.status,
    sourceWater: sourceWaterStatus(signals.sourceTds, decided.cartridge),
    commands: decided.commands,
    memorySequence: durable.sequence,
    stoppedBy: decided.durable.stoppedBy,
    board: image.board,
    disk: image.disk,
    beside: image.beside ?? ALL_WELL_BESIDE,
  };
  const alarms = watchAlarms(durable.alarms, facts, settings, decided.acknowledged, image.elapsedMs);
  return { facts, alarms, shown };
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
  const signals = believedAgain(moment.signalsMemory, image.requests, decided.outcomes);
  const aired = stillOutOfWater(durable.outOfWater, signals);
  const urgent = decided.urgent || aired !== durable.outOfWater;
  const save = urgent || told.alarms.changed || sinceSavedMs >= SAVE_EVERY_MS;
  const sequence = save ? durable.sequence + 1 : durable.sequence;
  const memory: Memory = {
    durable: {
      sequence,
      topOff: decided.topOff.memory,
      heat: decided.heat.verdict.memory.durable,
      secondHeat: decided.secondHeat?.verdict.memory.durable ?? decided.durable.secondHeat,
      hold: decided.durable.hold,
      alarms: told.alarms.memory,
      calibrationMs: durable.calibrationMs + image.elapsedMs,
      answered: decided.durable.answered,
      proofs: decided.proofs,
      calibration: olderCalibration(decided.durable.calibration, image.elapsedMs),
      ledger: ledger.durable,
      cartridge: decided.cartridge,
      outOfWater: aired,
      stoppedBy: decided.durable.stoppedBy,
    },
    volatile: {
      scan: told.facts.scan,
      signals,
      quantities: moment.quantitiesMemory,
      start,
      heat: decided.heat.verdict.memory.volatile,
      secondHeat: decided.secondHeat?.verdict.memory.volatile ?? volatile.secondHeat,
      turns: decided.turns,
      commands,
      heaterSwitched:
        commands["heater-1"] !== volatile.commands["heater-1"] ||
        commands["heater-2"] !== volatile.commands["heater-2"],
      pumpOffMs: commands["top-off-pump"] ? 0 : saturated(volatile.pumpOffMs + creditMs),
      heaterOffMs: commands["heater-1"] ? 0 : saturated(volatile.heaterOffMs + creditMs),
      secondHeaterOffMs: commands["heater-2"] ? 0 : saturated(volatile.secondHeaterOffMs + creditMs),
      sinceSavedMs: save ? 0 : sinceSavedMs,
      proving: decided.proving,
      session: decided.session,
      corrected: durable.calibration.values,
      shown: told.shown,
      ledger: ledger.volatile,
      sinceLedgerMs: ledger.looked ? 0 : volatile.sinceLedgerMs + image.elapsedMs,
      refused: decided.refused,
    },
  };
  const record = { ...told.facts, alarms: told.alarms.alarms, outcomes: decided.outcomes, memorySequence: sequence };
  return { memory, commands, record };
}
