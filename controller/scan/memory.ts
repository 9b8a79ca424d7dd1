import type { CalibrationStatus } from "../../shared/contract/calibration.ts";
import type { Commands, StartNews } from "../../shared/contract/image.ts";
import { EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { WATER_THERMOMETERS, type WaterThermometer } from "../../shared/contract/parts.ts";
import type { ProvingStatus } from "../../shared/contract/proving.ts";
import { REASONS } from "../../shared/contract/reasons.ts";
import type { ScanRecord } from "../../shared/contract/record.ts";
import type { Outcome } from "../../shared/contract/requests.ts";
import type { Witness } from "../../shared/contract/witness.ts";
import { CALIBRATION_DUE_MS } from "../../shared/settings/limits.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { type AlarmsMemory, freshAlarms, resumeAlarms } from "../alarms/index.ts";
import {
  type CalibrationMemory,
  calibrationAfterRestart,
  calibrationInDoubt,
  nothingCalibrated,
  type Values,
  wellCalibrated,
} from "../decisions/calibration/memory.ts";
import type { SessionMemory } from "../decisions/calibration/session.ts";
import { calibrationFrom } from "../decisions/calibration/stored.ts";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatDurable,
  type HeatVolatile,
} from "../decisions/heat/memory.ts";
import { FIRST_TURN, type TurnsMemory } from "../decisions/heat/turns.ts";
import { type HoldMemory, holdAfterRestart, holdInDoubt, NO_HOLD } from "../decisions/hold.ts";
import { planOf } from "../decisions/plan.ts";
import {
  everythingProven,
  FRESH_PROVING,
  nothingProven,
  type ProofsMemory,
  type ProvingMemory,
  proofsAfterRestart,
  proofsVoid,
  provingAfterRestart,
} from "../decisions/proving/memory.ts";
import { proofsFrom } from "../decisions/proving/stored.ts";
import { FRESH_START, type StartMemory } from "../decisions/start.ts";
import {
  type LatchMemory,
  lostTopOff,
  olderTopOff,
  provenTopOff,
  type TopOffMemory,
  topOffAfterRestart,
} from "../decisions/top-off/memory.ts";
import {
  type CartridgeMemory,
  cartridgeAfterRestart,
  NEW_CARTRIDGE,
  UNKNOWN_CARTRIDGE,
} from "../quantities/cartridge.ts";
import { FRESH_QUANTITIES, type QuantitiesMemory } from "../quantities/index.ts";
import {
  EVAPORATION_MEASURED,
  EVAPORATION_UNKNOWN,
  freshLedger,
  freshLedgerVolatile,
  type LedgerDurable,
  type LedgerVolatile,
  NEVER_MEASURED,
} from "../quantities/ledger/index.ts";
import { freshSignals, type SignalsMemory } from "../signals/index.ts";
import { heldAgainst } from "./trust.ts";
import { airedInDoubt, heatersInDoubt } from "./witness.ts";

/** Everything that a scan remembers. Plain data: it can be stored, restored and compared. */
export interface Memory {
  readonly durable: Durable;
  readonly volatile: Volatile;
}

/** What is on disk before it matters. */
export interface Durable {
  /** Grows whenever something changed that must be on disk. */
  readonly sequence: number;
  readonly topOff: TopOffMemory;
  readonly heat: HeatDurable;
  /** Of the second heater; fresh where there is none. */
  readonly secondHeat: HeatDurable;
  readonly hold: HoldMemory;
  readonly alarms: AlarmsMemory;
  /** Age of the conductivity calibration beyond what the settings say. */
  readonly calibrationMs: number;
  /** What was accepted, newest last, so that a request repeated after a restart is not carried out twice. */
  readonly answered: readonly Answered[];
  /** Which parts have been seen to work. */
  readonly proofs: ProofsMemory;
  /** What readings are corrected by, and every calibration kept. */
  readonly calibration: CalibrationMemory;
  /** What the ledger of water and salt has learned. */
  readonly ledger: LedgerDurable;
  /** What the cartridge that makes the source water has given. */
  readonly cartridge: CartridgeMemory;
  /** Thermometers that moved faster than water can, and have not been believed again since. */
  readonly outOfWater: readonly WaterThermometer[];
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
  readonly heat: HeatVolatile;
  readonly secondHeat: HeatVolatile;
  /** Which of two heaters leads. */
  readonly turns: TurnsMemory;
  readonly commands: Commands;
  readonly heaterSwitched: boolean;
  /** How long pump and heaters have been commanded off: what is sensed behind a contact may lag by a little. */
  readonly pumpOffMs: number;
  readonly heaterOffMs: number;
  readonly secondHeaterOffMs: number;
  /** Since the amounts that change slowly were last put on disk. */
  readonly sinceSavedMs: number;
  /** What was seen of parts lately, and the run under way. */
  readonly proving: ProvingMemory;
  /** What the readings of the last scan were corrected by; null = no scan yet. */
  readonly corrected: Values | null;
  /** The calibration under way. */
  readonly session: SessionMemory | null;
  /** What is shown of proofs and calibrations, made anew when something of it has changed. */
  readonly shown: Shown | null;
  readonly ledger: LedgerVolatile;
  /** Since the ledger last looked. */
  readonly sinceLedgerMs: number;
  /** Refusals given since the start, newest last. */
  readonly refused: readonly Answered[];
}

export interface Shown {
  /** What it was made from: while these are the same, it is shown again as it is. */
  readonly parts: ProofsMemory["parts"];
  readonly from: ProvingMemory;
  readonly entries: CalibrationMemory["entries"];
  readonly session: SessionMemory | null;
  readonly ages: ScanRecord["proofs"];
  readonly proving: ProvingStatus;
  readonly calibration: CalibrationStatus;
}

/** All parts proven, budgets unused, nothing latched: what a rehearsal starts with. */
export const provenMemory = (settings: Settings): Memory => ({
  durable: {
    sequence: 1,
    topOff: provenTopOff(planOf(settings).topOff),
    heat: FRESH_HEAT_DURABLE,
    secondHeat: FRESH_HEAT_DURABLE,
    hold: NO_HOLD,
    alarms: freshAlarms(),
    calibrationMs: 0,
    answered: [],
    proofs: everythingProven(settings),
    calibration: wellCalibrated(settings),
    ledger: freshLedger(settings, EVAPORATION_MEASURED),
    cartridge: NEW_CARTRIDGE,
    outOfWater: [],
    stoppedBy: null,
  },
  volatile: freshVolatile(),
});

/**
 * Nothing that can be believed: no credit, locked until a person has looked, every proof void. Locks are numbered from
 * the sequence on, which is above the number of every lock that was ever on disk: each of them raised it.
 */
const lostMemory = (settings: Settings, sequence: number, witness: Witness | null): Memory => {
  const proven = provenMemory(settings);
  const ledger = freshLedger(settings, EVAPORATION_UNKNOWN);
  return {
    ...proven,
    durable: {
      ...proven.durable,
      sequence,
      topOff: lostTopOff(planOf(settings).topOff, sequence, witness),
      ...heatersInDoubt({ heat: FRESH_HEAT_DURABLE, secondHeat: FRESH_HEAT_DURABLE }, witness, sequence),
      hold: holdInDoubt(NO_HOLD, witness),
      // Nobody knows how long ago the cell was calibrated: it is due.
      calibrationMs: CALIBRATION_DUE_MS,
      proofs: witness === null ? nothingProven(settings) : proofsVoid(settings, witness.proven),
      calibration: calibrationInDoubt(nothingCalibrated(settings), settings, witness),
      ledger,
      cartridge: UNKNOWN_CARTRIDGE,
    },
  };
};

/**
 * After a restart: the durable part as it was, the volatile part fresh. Null = nothing to restore.
 * `sequence` is the highest number that any memory on that disk ever had: the next one must be above it.
 */
export function restored(durable: Durable | null, settings: Settings, sequence = 0): Memory {
  if (durable === null) return lostMemory(settings, sequence + 1, null);
  return { durable: { ...durable, sequence: Math.max(durable.sequence, sequence) }, volatile: freshVolatile() };
}

/** Stored memory as what it must be: null where a part is missing or of another kind, which counts as corrupt. */
export function durableFrom(stored: unknown, settings: Settings): Durable | null {
  const { topOff, heat, hold, alarms, sequence, calibrationMs, answered, ...lenient } = provenMemory(settings).durable;
  const { secondHeat = FRESH_HEAT_DURABLE, ledger: learned } = (stored ?? {}) as Partial<Durable>;
  const { ledger, cartridge } = lenient;
  // A memory from before reservoirs were measured knows nothing of one, and has learned as much.
  const known = { ...NEVER_MEASURED, ...learned } as LedgerDurable;
  const model = { topOff, heat, hold, alarms, sequence, calibrationMs, answered };
  if (!isLike(stored, model) || !isLike(secondHeat, heat)) return null;
  const durable = stored as Durable;
  if (![durable.topOff, durable.heat, secondHeat].every(({ latch }) => isLatch(latch))) return null;
  return {
    ...durable,
    // A memory from before there was a second heater knows nothing of one.
    secondHeat,
    // A proof that cannot be read was never made, and its part stays off; nothing is locked by it.
    proofs: proofsFrom(durable.proofs, settings),
    calibration: calibrationFrom(durable.calibration, settings),
    // No decision hangs on what the ledger has learned: spoilt, it learns anew, and nothing is locked.
    ledger: isLedger(known, ledger) ? known : freshLedger(settings, EVAPORATION_UNKNOWN),
    // Nothing is decided by the cartridge either.
    cartridge: isLike(durable.cartridge, cartridge) ? durable.cartridge : UNKNOWN_CARTRIDGE,
    // Without a word about them, both may hang in the air, and neither can vouch for the other: the cell's own agrees
    // with them for a while, or somebody at the tank says so.
    outOfWater: Array.isArray(durable.outOfWater) ? durable.outOfWater : WATER_THERMOMETERS,
    stoppedBy: typeof durable.stoppedBy === "string" ? durable.stoppedBy : null,
  };
}

function isLedger(ledger: unknown, model: LedgerDurable): boolean {
  if (!isLike(ledger, model)) return false;
  const { tests } = ledger as LedgerDurable;
  return tests.every((test) => isLike(test, { ageMs: 0, salinity: 0, probe: null, movedBy: 0 }));
}

/** Amounts that may also be unknown. Anywhere else null is what NaN is stored as. */
const MAY_BE_NULL: readonly string[] = [
  "reservoirUl",
  "anchor",
  "probe",
  "reservoirSalinity",
  "cartridgeAgeMs",
  "cartridgeUl",
];

/** Same keys, same kinds of value, and only finite numbers. Null in the model stands for "null or anything". */
function isLike(value: unknown, model: unknown): boolean {
  if (model === null) return true;
  if (value === null) return false;
  if (typeof model === "number") return typeof value === "number" && Number.isFinite(value);
  if (Array.isArray(model)) return Array.isArray(value);
  if (typeof model !== "object") return typeof value === typeof model;
  if (typeof value !== "object") return false;
  return Object.entries(model).every(([key, part]) => {
    const own = (value as Record<string, unknown>)[key];
    return key in value && (isLike(own, part) || (own === null && MAY_BE_NULL.includes(key)));
  });
}

/** A latch is null, or a number and a reason that a person can be told. */
function isLatch(latch: LatchMemory | null): boolean {
  if (latch === null) return true;
  const { reason, occurrence }: Partial<LatchMemory> = latch;
  return reason !== undefined && Object.hasOwn(REASONS, reason) && Number.isSafeInteger(occurrence);
}

/** Carries out what a start does to memory: off-time ages what ages, doubt about memory voids what it must. */
export function afterStart(memory: Memory, news: StartNews, settings: Settings): Memory {
  const plan = planOf(settings).topOff;
  if (news.memory !== "sound") {
    const witness = news.witness ?? null;
    const sequence = memory.durable.sequence + 1;
    const lost = lostMemory(settings, sequence, witness);
    const { volatile } = memory;
    if (news.memory !== "older") {
      const outOfWater = airedInDoubt([], news);
      const signals = heldAgainst(volatile.signals, outOfWater);
      // In a box that never ran nobody has held anything.
      const hold = news.memory === "new" ? NO_HOLD : lost.durable.hold;
      return { durable: { ...lost.durable, hold, outOfWater }, volatile: { ...volatile, signals } };
    }
    const { topOff, heat, secondHeat, hold, alarms, ledger, calibration, stoppedBy } = memory.durable;
    const outOfWater = airedInDoubt(memory.durable.outOfWater, news);
    const older = {
      topOff: olderTopOff(topOff, plan, sequence, witness),
      ...heatersInDoubt({ heat, secondHeat }, witness, sequence),
      hold: holdInDoubt(hold, witness),
      alarms: resumeAlarms(alarms),
      ledger,
      calibration: calibrationInDoubt(calibration, settings, witness),
      outOfWater,
      stoppedBy,
    };
    const signals = heldAgainst(volatile.signals, outOfWater);
    return { durable: { ...lost.durable, ...older }, volatile: { ...volatile, signals } };
  }
  const { durable } = memory;
  return {
    durable: {
      ...durable,
      sequence: durable.sequence + 1,
      topOff: topOffAfterRestart(durable.topOff, news.offMs, plan),
      hold: holdAfterRestart(durable.hold),
      alarms: resumeAlarms(durable.alarms),
      heat: { ...durable.heat, provingMs: 0 },
      secondHeat: { ...durable.secondHeat, provingMs: 0 },
      calibrationMs:
        news.offMs === null ? Math.max(durable.calibrationMs, CALIBRATION_DUE_MS) : durable.calibrationMs + news.offMs,
      proofs: { ...proofsAfterRestart(durable.proofs, news.offMs), running: null },
      cartridge: cartridgeAfterRestart(durable.cartridge, news.offMs),
      calibration: calibrationAfterRestart(durable.calibration, news.offMs),
    },
    volatile: {
      ...memory.volatile,
      signals: heldAgainst(memory.volatile.signals, durable.outOfWater),
      proving: provingAfterRestart(memory.volatile.proving, durable.proofs.running),
    },
  };
}

const freshVolatile = (): Volatile => ({
  scan: 0,
  signals: freshSignals(),
  quantities: FRESH_QUANTITIES,
  start: FRESH_START,
  heat: FRESH_HEAT_VOLATILE,
  secondHeat: FRESH_HEAT_VOLATILE,
  turns: FIRST_TURN,
  commands: EVERYTHING_OFF,
  heaterSwitched: false,
  pumpOffMs: 0,
  heaterOffMs: 0,
  secondHeaterOffMs: 0,
  sinceSavedMs: 0,
  proving: FRESH_PROVING,
  corrected: null,
  session: null,
  shown: null,
  ledger: freshLedgerVolatile(),
  sinceLedgerMs: 0,
  refused: [],
});
