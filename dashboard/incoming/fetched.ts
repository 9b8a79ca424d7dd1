import {
  type HistoryAnswer,
  type HistoryChannel,
  type HistoryColumns,
  HTTP_PATHS,
  type TankAnswer,
} from "../../shared/contract/http.ts";
import type { AlarmWords } from "../../shared/contract/record.ts";

/** What the page needs to know before it can be drawn; null = no answer, or none that can be understood. */
export async function fetchTank(): Promise<TankAnswer | null> {
  const answer = await getJson(HTTP_PATHS.tank);
  return isTankAnswer(answer) ? answer : null;
}

export async function fetchHistory(
  channels: readonly HistoryChannel[],
  fromMs: number,
  toMs: number,
  buckets: number,
): Promise<HistoryAnswer | null> {
  const query = new URLSearchParams({
    channels: channels.join(","),
    fromMs: String(fromMs),
    toMs: String(toMs),
    buckets: String(buckets),
  });
  const answer = await getJson(`${HTTP_PATHS.history}?${query}`);
  return isHistoryAnswer(answer, channels) ? answer : null;
}

async function getJson(path: string): Promise<unknown> {
  try {
    const response = await fetch(path, { signal: AbortSignal.timeout(ANSWER_WITHIN_MS), cache: "no-store" });
    return response.ok ? await response.json() : null;
  } catch {
    // Nobody answers, or not in JSON: the caller says so on the page and tries again.
    return null;
  }
}

const ANSWER_WITHIN_MS = 10_000;

type Fields = Readonly<Record<string, unknown>>;
const isFields = (value: unknown): value is Fields =>
  typeof value === "object" && value !== null && !Array.isArray(value);
const isNumber = (value: unknown): value is number => typeof value === "number" && Number.isFinite(value);
const isText = (value: unknown): value is string => typeof value === "string" && value.length <= LONGEST_TEXT;
const isListOf = <Item>(value: unknown, fits: (item: unknown) => item is Item): value is Item[] =>
  Array.isArray(value) && value.length <= LONGEST_LIST && value.every(fits);

const LONGEST_TEXT = 2_000;
const LONGEST_LIST = 10_000;

function isTankAnswer(value: unknown): value is TankAnswer {
  if (!isFields(value) || value.version !== 1) return false;
  const { targets, geometry } = value;
  if (!isFields(targets) || !isFields(geometry)) return false;
  const pairs = ["temperatureBandC", "temperatureLimitsC", "salinityBand", "salinityLimits"];
  return (
    isText(value.tank) &&
    /^[a-z0-9-]{1,60}$/.test(value.tank) &&
    isText(value.name) &&
    (value.water === "real" || value.water === "rehearsal") &&
    isNumber(value.speed) &&
    value.speed > 0 &&
    isText(value.mqttPath) &&
    value.mqttPath.startsWith("/") &&
    isNumber(targets.temperatureC) &&
    isNumber(targets.salinity) &&
    pairs.every((pair) => isListOf(targets[pair], isNumber) && targets[pair].length === 2) &&
    ["netVolumeL", "highFloatMm", "lowFloatMm", "reservoirL"].every((key) => isNumber(geometry[key])) &&
    isListOf(value.alarms, isAlarmWords) &&
    isListOf(value.cautions, isText)
  );
}

function isAlarmWords(value: unknown): value is AlarmWords {
  if (!isFields(value)) return false;
  const words = ["id", "title", "cause", "consequence", "whatToDo", "timeToRespond"];
  return words.every((word) => isText(value[word])) && ["low", "medium", "high"].includes(String(value.priority));
}

const isNumberOrNull = (value: unknown): value is number | null => value === null || isNumber(value);

function isHistoryAnswer(value: unknown, asked: readonly HistoryChannel[]): value is HistoryAnswer {
  if (!isFields(value) || value.version !== 1 || !isFields(value.channels)) return false;
  const { atMs, channels } = value;
  if (!isListOf(atMs, isNumber)) return false;
  const isColumns = (columns: unknown): columns is HistoryColumns =>
    isFields(columns) &&
    [columns.min, columns.max, columns.last].every(
      (column) => isListOf(column, isNumberOrNull) && column.length === atMs.length,
    );
  return asked.every((channel) => isColumns(channels[channel])) && atMs.every((at, n) => n === 0 || at > atMs[n - 1]!);
}
