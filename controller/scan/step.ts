import type { Commands, Image } from "../../shared/contract/image.ts";
import { OUTPUT_PARTS, type OutputPart } from "../../shared/contract/parts.ts";
import type { ScanRecord } from "../../shared/contract/record.ts";
import { AMOUNT_MOST_MS } from "../../shared/settings/limits.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { watchAlarms } from "../alarms/index.ts";
import { arbitrate } from "../decisions/arbitrate.ts";
import type { RecordDraft } from "../decisions/machine.ts";
import { Round, underSettings } from "../decisions/round.ts";
import { planStart, startStatus } from "../decisions/start.ts";
import { afterStart, type Memory, type Volatile } from "./memory.ts";
import { answerRequests, type RequestsAnswered } from "./requests.ts";
import { type SensedNow, sense } from "./sense.ts";

export interface Step {
  readonly memory: Memory;
  readonly commands: Commands;
  readonly record: ScanRecord;
}

/**
 * One scan, and everything it decides: image → signals → quantities → decisions → arbitrate, alarms beside.
 * A pure function: the same memory, image and settings always give the same step, on hardware, in rehearsal, in
 * playback and under exploration. It runs the list of machines and knows none of them by name.
 */
export function step(before: Memory, image: Image, file: Settings): Step {
  const memory = begin(before, image, file);
  const sensed = sense(memory, image, file);
  const { commands: commanded, offForMs } = memory.volatile;
  const round = new Round(memory.machines, sensed, {
    commands: commanded,
    offForMs,
    sequence: memory.durable.sequence,
  });
  round.passTime();
  // People first, so that their word counts in this scan; then each machine; then the arbiter.
  const asked = answerRequests(round, memory.durable);
  const commands = arbitrate(round.decide());
  round.watch(commands);
  const facts = describe(round, memory, asked, commands);
  const alarms = watchAlarms(memory.durable.alarms, facts, sensed.settings, asked.acknowledged, image.elapsedMs);
  return remember(memory, sensed, round, asked, { facts, alarms });
}

/** What a start, and settings that have changed, make of the memory. */
function begin(before: Memory, image: Image, file: Settings): Memory {
  const started = image.start === null ? before : afterStart(before, image.start, file);
  const machines = underSettings(started.machines, file, image.start !== null);
  return machines === started.machines ? started : { ...started, machines };
}

type Facts = Omit<ScanRecord, "alarms" | "outcomes">;

/** What the scan saw and decided, as it will be shown; each machine writes its own fields. */
function describe(round: Round, { durable, volatile }: Memory, asked: RequestsAnswered, commands: Commands): Facts {
  const { image, signals, quantities, start, settings } = round;
  const draft = {
    scan: volatile.scan + 1,
    elapsedMs: image.elapsedMs,
    contacts: signals.contacts,
    thermometers: [signals.first, signals.second],
    quantities,
    heaters: [],
    start: startStatus(start, planStart(settings)),
    commands,
    memorySequence: durable.sequence,
    stoppedBy: asked.stoppedBy,
    board: image.board,
    disk: image.disk,
  } as Partial<RecordDraft> as RecordDraft;
  round.show(draft);
  return draft;
}

/** Amounts that change slowly are put on disk this often; what must not be lost is put there before it matters. */
const SAVE_EVERY_MS = 300_000;

interface Told {
  readonly facts: Facts;
  readonly alarms: ReturnType<typeof watchAlarms>;
}

/** The memory for the next scan. Its sequence number grows when something changed that must be on disk. */
function remember(
  { durable, volatile }: Memory,
  { image, elapsed, memory: sensed }: SensedNow,
  round: Round,
  { answered, stoppedBy, outcomes }: RequestsAnswered,
  { facts, alarms }: Told,
): Step {
  const { commands } = facts;
  const urgent = round.urgent || image.start !== null || image.requests.length > 0;
  const sinceSavedMs = volatile.sinceSavedMs + image.elapsedMs;
  const save = urgent || alarms.changed || sinceSavedMs >= SAVE_EVERY_MS;
  const sequence = save ? durable.sequence + 1 : durable.sequence;
  return {
    memory: {
      machines: round.memories(),
      durable: { sequence, alarms: alarms.memory, answered, stoppedBy },
      volatile: {
        scan: facts.scan,
        signals: sensed.signals,
        quantities: sensed.quantities,
        start: sensed.start,
        commands,
        commandsBefore: volatile.commands,
        offForMs: countOff(volatile.offForMs, commands, elapsed.creditMs),
        sinceSavedMs: save ? 0 : sinceSavedMs,
      },
    },
    commands,
    record: { ...facts, alarms: alarms.alarms, outcomes, memorySequence: sequence },
  };
}

function countOff(before: Volatile["offForMs"], commands: Commands, creditMs: number): Volatile["offForMs"] {
  const offForMs = {} as { [Part in OutputPart]: number };
  for (const part of OUTPUT_PARTS) {
    offForMs[part] = commands[part] ? 0 : Math.min(AMOUNT_MOST_MS, before[part] + creditMs);
  }
  return offForMs;
}
