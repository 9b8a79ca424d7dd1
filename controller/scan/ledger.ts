import type { Commands, Image } from "../../shared/contract/image.ts";
import { HEATER_PARTS } from "../../shared/contract/parts.ts";
import type { Quantities, ScanRecord } from "../../shared/contract/record.ts";
import type { Outcome, Request } from "../../shared/contract/requests.ts";
import { heaterOf, type Settings } from "../../shared/settings/schema.ts";
import type { HoldMemory } from "../decisions/hold.ts";
import { planOf } from "../decisions/plan.ts";
import { isLevelSettled, type StartMemory } from "../decisions/start.ts";
import type { TopOffMemory } from "../decisions/top-off/memory.ts";
import type { FanSeen } from "../quantities/fan.ts";
import {
  followLedger,
  LEDGER_EVERY_MS,
  LEDGER_GAP_MS,
  type LedgerDurable,
  type LedgerSeen,
  type LedgerVolatile,
} from "../quantities/ledger/index.ts";
import type { Durable, Memory, Volatile } from "./memory.ts";
import { cellDays, type Moment } from "./sense.ts";

/** The ledger looks at a scan once a minute, and when a person has asked something; the others only count its time. */

export interface LedgerMemory {
  readonly durable: LedgerDurable;
  readonly volatile: LedgerVolatile;
  /** It has looked in this scan. */
  readonly looked: boolean;
}

export interface LedgerMoment {
  readonly image: Image;
  readonly contacts: ScanRecord["contacts"];
  readonly quantities: Quantities;
  readonly start: StartMemory;
  readonly topOff: TopOffMemory;
  readonly hold: HoldMemory;
  readonly calibrationDays: number;
  /** Watts of the heaters that are commanded on. */
  readonly heaterW: number;
  readonly outcomes: readonly Outcome[];
  readonly fan: FanSeen;
}

/** What this scan has decided, as far as the ledger looks at it. */
interface Decided {
  readonly durable: Durable;
  readonly topOff: { readonly memory: TopOffMemory };
  readonly commands: Commands;
  readonly outcomes: readonly Outcome[];
}

export const isLedgerDue = ({ sinceLedgerMs }: Pick<Volatile, "sinceLedgerMs">, image: Image): boolean =>
  sinceLedgerMs + image.elapsedMs >= LEDGER_EVERY_MS || image.requests.length > 0 || image.start !== null;

export function lookedAt(memory: Memory, moment: Moment, decided: Decided, settings: Settings): LedgerMemory {
  const { image, signals, quantities, start } = moment;
  const seen = ledgerSeen(
    {
      image,
      contacts: signals.contacts,
      quantities,
      start,
      topOff: decided.topOff.memory,
      hold: decided.durable.hold,
      calibrationDays: cellDays(memory.durable, settings),
      heaterW: heaterWattsOf(decided.commands, settings),
      outcomes: decided.outcomes,
      fan: moment.fan,
    },
    memory.volatile.sinceLedgerMs + image.elapsedMs,
    settings,
  );
  const before = { durable: memory.durable.ledger, volatile: memory.volatile.ledger };
  return { ...followLedger(before, seen, settings), looked: true };
}

export function ledgerSeen(moment: LedgerMoment, elapsedMs: number, settings: Settings): LedgerSeen {
  const { image, contacts, quantities, start, topOff, hold, calibrationDays, heaterW, fan } = moment;
  const { salinity, level, temperature, room } = quantities;
  const off = Math.abs((salinity.value ?? settings.targets.salinity) - settings.targets.salinity);
  return {
    elapsedMs,
    gap: image.elapsedMs > LEDGER_GAP_MS,
    start: image.start === null ? null : { offMs: image.start.offMs },
    pouredTotalL: topOff.pouredTotalUl / 1e6,
    full: contacts["working-float"].position === "on" && topOff.sinceFullUl === 0 && topOff.state === "resting",
    low: contacts["working-float"].position === "off",
    judged:
      image.board === "ready" &&
      contacts["working-float"].position !== "unknown" &&
      contacts["return-sensor"].position !== "off" &&
      isLevelSettled(start, planOf(settings)),
    hands: hold.leftMs > 0 || hold.question,
    frozen:
      off > settings.alarms.salinityWithin ||
      topOff.latch !== null ||
      (level.state !== "at-mark" && level.state !== "low"),
    salinity,
    calibrationDays,
    temperatureC: temperature.value,
    roomC: room.value,
    heaterW,
    fan,
    handTest: handTestIn(moment),
    reservoir: reservoirIn(moment),
    reservoirL: topOff.reservoirUl === null ? null : topOff.reservoirUl / 1e6,
  };
}

function heaterWattsOf(commands: Commands, settings: Settings): number {
  let watts = 0;
  for (const heater of HEATER_PARTS) if (commands[heater]) watts += heaterOf(settings, heater)?.heaterW ?? 0;
  return watts;
}

/** The last hand test of this scan. */
function handTestIn(moment: LedgerMoment): number | null {
  const test = acceptedIn(moment).findLast((request) => request.kind === "hand-test");
  return test?.salinity ?? null;
}

/** What was last said of the reservoir in this scan: measured, or filled with water that nobody has measured. */
function reservoirIn(moment: LedgerMoment): LedgerSeen["reservoir"] {
  const said = acceptedIn(moment).findLast(({ kind }) => kind === "reservoir-test" || kind === "refill");
  if (said === undefined) return null;
  return { salinity: said.kind === "reservoir-test" ? said.salinity : null };
}

const NOTHING_ASKED: readonly Request[] = [];

function acceptedIn({ image, outcomes }: LedgerMoment): readonly Request[] {
  if (image.requests.length === 0) return NOTHING_ASKED;
  return image.requests.filter((request) => outcomes.some(({ id, accepted }) => id === request.id && accepted));
}
