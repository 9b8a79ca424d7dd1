import type { Commands, StartNews } from "../../shared/contract/image.ts";
import { EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { OUTPUT_PARTS, type OutputPart } from "../../shared/contract/parts.ts";
import type { Outcome } from "../../shared/contract/requests.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { type AlarmsMemory, freshAlarms, resumeAlarms } from "../alarms/index.ts";
import { EVERY_MACHINE } from "../decisions/list.ts";
import type { Doubt, Kept, Key, Memories, Restart } from "../decisions/machine.ts";
import { FRESH_START, type StartMemory } from "../decisions/start.ts";
import { FRESH_QUANTITIES, type QuantitiesMemory } from "../quantities/index.ts";
import { freshSignals, type SignalsMemory } from "../signals/index.ts";

/** Everything that a scan remembers. Plain data: it can be stored, restored and compared. */
export interface Memory {
  /** What each machine remembers, by its name. */
  readonly machines: Memories;
  readonly durable: Durable;
  readonly volatile: Volatile;
}

/** What the scan itself must not forget. */
export interface Durable {
  /** Grows whenever something changed that must be on disk. */
  readonly sequence: number;
  readonly alarms: AlarmsMemory;
  /** Answers already given, newest last, so that a request repeated after a restart is not carried out twice. */
  readonly answered: readonly Answered[];
  /** Why the scan stopped itself the last time; null = it did not, or somebody has acknowledged that they were told. */
  readonly stoppedBy: string | null;
}

/** An answer that was given, with what had been asked: another request under the same id is not answered by it. */
export interface Answered extends Outcome {
  readonly asked: string;
}

/** What starts empty with the process. */
export interface Volatile {
  readonly scan: number;
  readonly signals: SignalsMemory;
  readonly quantities: QuantitiesMemory;
  readonly start: StartMemory;
  /** Of the last scan, and of the one before it. */
  readonly commands: Commands;
  readonly commandsBefore: Commands;
  /** How long each output has been commanded off: what is sensed behind a contact may lag by a little. */
  readonly offForMs: { readonly [Part in OutputPart]: number };
  /** Since the amounts that change slowly were last put on disk. */
  readonly sinceSavedMs: number;
}

/** The format in which memory is stored. */
export const STORED_VERSION = 2;

/** What is on disk before it matters. */
export interface StoredMemory extends Durable {
  readonly version: typeof STORED_VERSION;
  /** What each machine must not forget, by its name. */
  readonly machines: Readonly<Record<string, unknown>>;
}

export const toStore = ({ durable, machines }: Memory): StoredMemory => ({
  version: STORED_VERSION,
  ...durable,
  machines: Object.fromEntries(EVERY_MACHINE.map(({ key: { name } }) => [name, machines[name]?.durable])),
});

export const keptIn = <Own, OwnVolatile>(
  { machines }: Pick<Memory, "machines">,
  { name }: Key<Own, OwnVolatile, unknown>,
): Kept<Own, OwnVolatile> => machines[name] as Kept<Own, OwnVolatile>;

export const withKept = <Own, OwnVolatile>(
  memory: Memory,
  { name }: Key<Own, OwnVolatile, unknown>,
  kept: Kept<Own, OwnVolatile>,
): Memory => ({ ...memory, machines: { ...memory.machines, [name]: kept } });

/** All parts proven, budgets unused, nothing latched: what a rehearsal starts with. */
export const provenMemory = (settings: Settings): Memory => ({
  machines: ofEveryMachine((machine) => machine.fresh(settings)),
  durable: { ...NOTHING_HAPPENED, sequence: 1 },
  volatile: FRESH_VOLATILE,
});

const NOTHING_HAPPENED = { alarms: freshAlarms(), answered: [], stoppedBy: null } as const;

const FRESH_VOLATILE: Volatile = {
  scan: 0,
  signals: freshSignals(),
  quantities: FRESH_QUANTITIES,
  start: FRESH_START,
  commands: EVERYTHING_OFF,
  commandsBefore: EVERYTHING_OFF,
  offForMs: Object.fromEntries(OUTPUT_PARTS.map((part) => [part, 0])) as Volatile["offForMs"],
  sinceSavedMs: 0,
};

/**
 * After a restart: the durable part as it was, the volatile part fresh. Null = nothing to restore.
 * `sequence` is the highest number that any memory on that disk ever had: the next one must be above it.
 */
export function restored(stored: StoredMemory | null, settings: Settings, sequence = 0): Memory {
  const fresh = provenMemory(settings);
  if (stored === null) return lost(fresh, { memory: "missing", offMs: null }, sequence + 1, settings);
  const { alarms, answered, stoppedBy } = stored;
  return {
    machines: ofEveryMachine(({ key: { name } }) => ({
      durable: stored.machines[name],
      volatile: fresh.machines[name]?.volatile,
    })),
    durable: { alarms, answered, stoppedBy, sequence: Math.max(stored.sequence, sequence) },
    volatile: fresh.volatile,
  };
}

/** Carries out what a start does to memory: off-time ages what ages, doubt about memory voids what it must. */
export function afterStart(memory: Memory, news: StartNews, settings: Settings): Memory {
  const sequence = memory.durable.sequence + 1;
  if (news.memory !== "sound" && news.memory !== "older") return lost(memory, news, sequence, settings);
  const isSound = news.memory === "sound";
  const restartOf = (name: string): Restart<unknown> =>
    isSound ? { memory: "sound", offMs: news.offMs } : { memory: "older", ...doubtOf(name, news, sequence) };
  const { alarms, answered, stoppedBy } = memory.durable;
  return {
    machines: ofEveryMachine((machine) => {
      const { name } = machine.key;
      return machine.afterRestart(memory.machines[name] as Kept, restartOf(name), settings);
    }),
    // Of a memory that is older than known nobody can say which requests were answered since.
    durable: { sequence, alarms: resumeAlarms(alarms), answered: isSound ? answered : [], stoppedBy },
    volatile: memory.volatile,
  };
}

/**
 * Nothing that can be believed: no credit, locked until a person has looked, every proof void. Locks are numbered from
 * the sequence on, which is above the number of every lock that was ever on disk: each of them raised it.
 */
const lost = ({ machines, volatile }: Memory, news: StartNews, sequence: number, settings: Settings): Memory => ({
  machines: ofEveryMachine((machine) => {
    const { name } = machine.key;
    const durable = machine.lost(settings, doubtOf(name, news, sequence));
    return { durable, volatile: machines[name]?.volatile };
  }),
  durable: { ...NOTHING_HAPPENED, sequence },
  volatile,
});

const doubtOf = (name: string, { memory, witness }: StartNews, occurrence: number): Doubt<unknown> => ({
  testimony: witness?.[name] ?? null,
  occurrence,
  isNew: memory === "new",
});

function ofEveryMachine(remember: (machine: (typeof EVERY_MACHINE)[number]) => Kept): Memories {
  return Object.fromEntries(EVERY_MACHINE.map((machine) => [machine.key.name, remember(machine)]));
}
