import {
  type AlarmStatus,
  type AlarmWords,
  type alarmNode,
  type ContactPart,
  type ContactSignal,
  capital,
  type Doubt,
  HEATER_PARTS,
  type HeatStatus,
  heaterIn,
  type Latch,
  LOCK_OF,
  NODES,
  PROOF_PARTS,
  type ProofPart,
  type Quantities,
  REASONS,
  type ScanRecord,
  type Signal,
  type TopOffStatus,
  topicOf,
} from "../../shared/contract/index.ts";
import { DOUBT_WORDS } from "../alarms/doubt-words.ts";
import { ledgerOf } from "./ledger-tree.ts";

/** What the tree tells beside the scan. */
export interface TreeContext {
  readonly tank: string;
  /** Wall time of the scan, or simulated time in a rehearsal, Unix milliseconds. */
  readonly nowMs: number;
  readonly water: "real" | "rehearsal";
  /** How the box is doing, in one sentence. */
  readonly sentence: string;
  readonly alarms: readonly AlarmWords[];
  /** What exactly is wrong, such as which float, by alarm id. */
  readonly alarmDetails: Readonly<Record<string, string>>;
  readonly scans: ScanCounts;
  /** What each connection to the parts says of itself, one plain sentence each. */
  readonly connections: readonly string[];
}

export interface ScanCounts {
  readonly count: number;
  readonly late: number;
  readonly missed: number;
  readonly overlong: number;
  readonly worstMs: number;
  readonly latenessP99Ms: number;
  readonly latenessWorstMs: number;
  /** Why the scan stopped; null = it runs. */
  readonly stopped: string | null;
}

/**
 * Every topic of the tank's values with what belongs on it now. An empty text is a topic that must be clear: NaN is no
 * float, so a value that is unknown has none, with the quality `bad` and the doubt in words beside it.
 */
export function treeOf(record: ScanRecord, context: TreeContext): ReadonlyMap<string, string> {
  const tree = new Map<string, string>();
  const put = (node: string, properties: Readonly<Record<string, string>>) => {
    for (const [property, text] of Object.entries(properties)) tree.set(topicOf(context.tank, node, property), text);
  };
  const { sentence, water, nowMs } = context;
  put("box", { sentence, water, clock: timeText(nowMs) });
  putQuantities(put, record, nowMs);
  for (const [part, signal] of Object.entries(record.contacts)) {
    put(part, contactOf(part as ContactPart, signal, nowMs));
  }
  put("level", levelOf(record.quantities));
  put("top-off", topOffOf(record.topOff));
  for (const heater of HEATER_PARTS) {
    const status = heaterIn(record, heater);
    put(LOCK_OF[heater], status === null ? NO_HEATER : heatOf(status));
  }
  put("ledger", ledgerOf(record.ledger, numberText));
  put("hold", holdOf(record, nowMs));
  put("absence", absenceOf(record, nowMs));
  put("top-off-pump", { on: String(record.commands["top-off-pump"]) });
  put("heater-1", { on: String(record.commands["heater-1"]) });
  put("water-guard", { closed: String(record.commands["water-guard"]) });
  put("heat-guard", { closed: String(record.commands["heat-guard"]) });
  const there = heaterIn(record, "heater-2") !== null;
  put("heater-2", { on: there ? String(record.commands["heater-2"]) : "" });
  put("heat-guard-2", { closed: there ? String(record.commands["heat-guard-2"]) : "" });
  put("proofs", proofsOf(record));
  put("parts", { connections: context.connections.join(" ") });
  put("proving", { next: record.proving.next ?? "", status: jsonOf(record.proving) });
  put("calibration", { status: jsonOf(record.calibration) });
  put("scan", scanOf(record, context.scans));
  const standing = new Map(record.alarms.map((alarm) => [alarm.id, alarm]));
  for (const words of context.alarms) {
    const status = standing.get(words.id) ?? null;
    const texts = alarmOf(words, status, context.alarmDetails[words.id], nowMs);
    put(`alarm-${words.id}`, texts);
    tree.set(alertTopic(context.tank, words.id), alertOf(words, status));
  }
  return tree;
}

/** The convention's own place for what a person should know of, without rank or acknowledgement. */
const alertTopic = (tank: string, alarm: string): string => `homie/5/${tank}/$alert/${alarm}`;

type Put = (node: string, properties: Readonly<Record<string, string>>) => void;

/** Decimals that are told: one beyond what a person is shown. */
function putQuantities(put: Put, { quantities, thermometers, sourceWater }: ScanRecord, nowMs: number): void {
  put("temperature", quantityOf(quantities.temperature, 2, nowMs));
  put("salinity", quantityOf(quantities.salinity, 2, nowMs));
  put("specific-gravity", quantityOf(quantities.specificGravity, 4, nowMs));
  put("conductivity", quantityOf(quantities.conductivity, 3, nowMs));
  put("thermometer-1", quantityOf(thermometers[0], 2, nowMs));
  put("thermometer-2", quantityOf(thermometers[1], 2, nowMs));
  put("room", quantityOf(quantities.room, 2, nowMs));
  put("source-water", {
    ...quantityOf(sourceWater.tds, 1, nowMs),
    "litres-since-change": numberText(sourceWater.litresSinceChange, 2),
    "days-since-change": numberText(sourceWater.daysSinceChange, 1),
  });
}

function quantityOf(signal: Signal, decimals: number, nowMs: number) {
  const { value, quality, doubt, uncertainty, lastValue, ageMs, lastValueAgeMs } = signal;
  const measuredAgeMs = value === null ? lastValueAgeMs : ageMs;
  return {
    value: numberText(value, decimals),
    quality,
    doubt: doubtText(doubt),
    uncertainty: numberText(uncertainty, decimals),
    "measured-at": value === null && lastValue === null ? "" : timeText(nowMs - measuredAgeMs),
    "last-value": numberText(lastValue, decimals),
  };
}

function contactOf(part: ContactPart, { position, doubt, ageMs }: ContactSignal, nowMs: number) {
  const fitted = doubt !== "not-fitted";
  const [on = "on", off = "off"] = (NODES[part].properties.position?.format ?? "").split(",");
  const words = { on, off, unknown: "unknown" };
  const reported = fitted && doubt !== "not-yet";
  return {
    position: fitted ? words[position] : "not-fitted",
    doubt: fitted ? doubtText(doubt) : "",
    "measured-at": reported ? timeText(nowMs - ageMs) : "",
  };
}

function levelOf({ level }: Quantities) {
  return {
    state: level.state,
    "from-mm": numberText(level.fromMm, 1),
    "to-mm": numberText(level.toMm, 1),
    "estimate-mm": numberText(level.estimateMm, 1),
  };
}

function topOffOf(topOff: TopOffStatus) {
  return {
    state: topOff.state,
    why: REASONS[topOff.why],
    blockers: topOff.blockers.map((reason) => REASONS[reason]).join(" "),
    ...latchOf(topOff.latch ?? topOff.waterGuardLatch),
    "budget-left": numberText(topOff.bucketL, 3),
    "poured-total": numberText(topOff.pouredTotalL, 3),
    excess: numberText(topOff.excessL, 3),
    "excess-limit": numberText(topOff.excessLimitL, 3),
    due: numberText(topOff.dueL, 3),
    reservoir: numberText(topOff.reservoirL, 2),
    "reservoir-days": numberText(topOff.daysInReservoir, 1),
  };
}

function heatOf(heat: HeatStatus): Record<keyof (typeof NODES)["heat"]["properties"], string> {
  return {
    state: heat.state,
    why: REASONS[heat.why],
    ...latchOf(heat.latch ?? heat.finding, heat.latch === null ? carefulWords(heat) : ""),
    duty: numberText(heat.dutyPercent, 1),
    setpoint: numberText(heat.setpointC, 2),
  };
}

const NO_HEATER: ReturnType<typeof heatOf> = {
  state: "",
  why: "",
  latch: "",
  "latch-number": "",
  clearable: "",
  duty: "",
  setpoint: "",
};

const CAREFUL = " It heats part of the time until the water follows, or a person clears this.";
const BY_ONE_CONTACT = " Replace it; then somebody at the tank clears this.";

const carefulWords = ({ finding }: HeatStatus): string =>
  finding?.reason === "one-contact-heating" ? BY_ONE_CONTACT : CAREFUL;

function latchOf(latch: Latch | null, more = "") {
  if (latch === null) return { latch: "", "latch-number": "", clearable: "false" };
  const place = latch.atTank ? " It can be cleared only at the tank." : "";
  return {
    latch: `${REASONS[latch.reason]}${place}${more}`,
    "latch-number": String(latch.occurrence),
    clearable: String(latch.clearable),
  };
}

const holdOf = ({ hold }: ScanRecord, nowMs: number) => ({
  active: String(hold.active),
  "with-heat": String(hold.withHeat),
  until: hold.active ? timeText(nowMs + hold.leftMs) : "",
  question: String(hold.question),
});

const absenceOf = (
  { absence: { state, beginsInMs, endsInMs, due } }: ScanRecord,
  nowMs: number,
): Record<keyof (typeof NODES)["absence"]["properties"], string> => ({
  state,
  begins: beginsInMs > 0 ? timeText(nowMs + beginsInMs) : "",
  ends: state === "none" || endsInMs === null ? "" : timeText(nowMs + endsInMs),
  due: `{"parts":${jsonOf(due)}}`,
});

const MS_PER_DAY = 86_400_000;
const daysText = (ms: number | null): string => numberText(ms === null ? null : ms / MS_PER_DAY, 1);
const proofsOf = ({ proofs }: ScanRecord): Record<ProofPart, string> =>
  Object.fromEntries(PROOF_PARTS.map((part) => [part, daysText(proofs[part])])) as Record<ProofPart, string>;

/** These are large and made anew only when something of them changes. */
const texts = new WeakMap<object, string>();
function jsonOf(status: object): string {
  const known = texts.get(status) ?? JSON.stringify(status);
  texts.set(status, known);
  return known;
}

const scanOf = (
  { board, disk, beside }: ScanRecord,
  scans: ScanCounts,
): Record<keyof (typeof NODES)["scan"]["properties"], string> => ({
  count: String(scans.count),
  late: String(scans.late),
  missed: String(scans.missed),
  overlong: String(scans.overlong),
  "worst-ms": numberText(scans.worstMs, 1),
  "lateness-p99-ms": numberText(scans.latenessP99Ms, 1),
  "lateness-worst-ms": numberText(scans.latenessWorstMs, 1),
  board,
  disk,
  front: beside.front,
  history: beside.history,
  fault: beside.fault ?? "",
  stopped: scans.stopped ?? "",
});

type AlarmTexts = Readonly<Record<keyof ReturnType<typeof alarmNode>["properties"], string>>;

/** A normal alarm says only that it is normal, so that whoever reads the whole tree sees those that are not. */
function alarmOf(words: AlarmWords, status: AlarmStatus | null, detail: string | undefined, nowMs: number): AlarmTexts {
  const message = [detail === undefined ? "" : `${capital(detail)}.`, words.cause];
  return {
    state: status?.state ?? "normal",
    priority: status?.priority ?? words.priority,
    since: status === null ? "" : timeText(nowMs - status.forMs),
    message: status === null ? "" : [...message, words.consequence].filter(Boolean).join(" "),
    "what-to-do": status === null ? "" : words.whatToDo,
    "first-up": status === null ? "" : String(status.first),
    "times-in-hour": status === null ? "" : numberText(status.timesInHour, 1),
  };
}

function alertOf(words: AlarmWords, status: AlarmStatus | null): string {
  if (status === null || !status.active || status.state === "suppressed") return "";
  return `${words.title}. ${words.whatToDo}`;
}

const doubtText = (doubt: Doubt | null): string => (doubt === null ? "" : DOUBT_WORDS[doubt]);

/** Nothing that is not a plain decimal number ever reaches a topic. */
function numberText(value: number | null, decimals: number): string {
  if (value === null || !Number.isFinite(value)) return "";
  const text = value.toFixed(decimals);
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

/** ISO 8601 in whole seconds: the ages behind these times are no finer. */
function timeText(atMs: number): string {
  const whole = Math.round(atMs / 1000) * 1000;
  return Number.isFinite(whole) && Math.abs(whole) < 8.64e15 ? new Date(whole).toISOString().replace(".000Z", "Z") : "";
}
