import {
  type AlarmStatus,
  BOARD_REASONS,
  type Level,
  PART_WORDS,
  REASONS,
  type ScanRecord,
  type Signal,
  type TopOffStatus,
} from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { Condition } from "./condition.ts";
import { DOUBT_WORDS } from "./doubt-words.ts";
import { isFitted } from "./evidence.ts";
import { CONDITIONS } from "./list.ts";

const LONGEST = 160;

/** How the box is doing, in one plain sentence. What is worst comes first; what is unknown is said to be unknown. */
export function sentenceOf(record: ScanRecord, settings: Settings): string {
  const standing = record.alarms.filter(({ state }) => state !== "suppressed" && state !== "returned");
  const [worst, ...others] = standing;
  // Its alarm waits a minute, because a plug may only have been moved; what stands still is said at once.
  const { board } = record;
  if ((board === "silent" || board === "restarted") && worst?.priority !== "high") {
    return REASONS[BOARD_REASONS[board]] + NOTHING_SWITCHED;
  }
  if (worst !== undefined) return alarmSentence(worst, others.length, record, settings);
  if (board === "unattended") return REASONS[BOARD_REASONS[board]];
  return startSentence(record) ?? holdSentence(record) ?? lockSentence(record) ?? calmSentence(record);
}

function alarmSentence(worst: AlarmStatus, others: number, record: ScanRecord, settings: Settings): string {
  const condition = CONDITIONS.find(({ id }) => id === worst.id);
  const more = others > 0 ? ` And ${others} more.` : "";
  if (condition === undefined) return `Alarm: ${worst.id}.${more}`;
  const { title } = condition;
  const detail = worst.active ? detailAfter(condition, record, settings) : "";
  const [firstThing = ""] = condition.whatToDo.split(/(?<=\.) /);
  const now = worst.active ? firstThing : (GONE[worst.state] ?? firstThing);
  return longestThatFits([`${title}${detail}. ${now}${more}`, `${title}${detail}.${more}`, `${title}.${more}`]);
}

const NOTHING_SWITCHED = " Every output is off until it does.";

/** An alarm that is held although its cause is gone. */
const GONE: Partial<Record<AlarmStatus["state"], string>> = {
  unacknowledged: "The cause is gone: look at the water, then acknowledge it.",
  latched: "The cause is gone: look at the water, then clear the lock.",
};

function detailAfter(condition: Condition, record: ScanRecord, settings: Settings): string {
  const detail = condition.detail(record, settings);
  return detail === null ? "" : `: ${detail}`;
}

function startSentence({ start }: ScanRecord): string | null {
  if (start.steady) return null;
  const left = start.steadyLeftMs > 0 ? ` for another ${duration(start.steadyLeftMs)}` : "";
  return `Starting: watching the inputs${left} before anything is switched on.`;
}

function holdSentence({ hold }: ScanRecord): string | null {
  if (hold.active) {
    const off = hold.withHeat ? "pouring and heat are off" : "pouring is off";
    return `Hold: hands in the tank, ${off} for another ${duration(hold.leftMs)}.`;
  }
  return hold.question ? REASONS["hold-question"] : null;
}

function lockSentence({ topOff, heaters }: ScanRecord): string | null {
  const waterLatch = topOff.latch ?? topOff.waterGuardLatch;
  if (waterLatch !== null) return `Top-off is locked. ${REASONS[waterLatch.reason]}`;
  for (const { heater, latch } of heaters) {
    if (latch !== null) return `The ${PART_WORDS[heater]} is locked off. ${REASONS[latch.reason]}`;
  }
  return null;
}

function calmSentence(record: ScanRecord): string {
  const facts = factsWords(record, true);
  const short = factsWords(record, false);
  const waiting = waitingWords(record);
  const over = overWords(record);
  return longestThatFits([facts + waiting + over, facts + waiting, short + waiting + over, short + waiting, short]);
}

function factsWords({ quantities, topOff }: ScanRecord, reasons: boolean): string {
  const { temperature, salinity, conductivity, level } = quantities;
  const unknown =
    temperature.quality === "bad" ||
    (salinity.quality === "bad" && isFitted(salinity)) ||
    level.state === "unknown" ||
    level.state === "contradiction" ||
    level.state === "high";
  const words = [temperatureWords(temperature), salinityWords(salinity, conductivity), levelWords(level, topOff)]
    .filter((part) => part !== null)
    .map((part) => (reasons ? part : part.replace(/ \(.*\)/, "")));
  return `${unknown ? "No alarm stands" : "All is well"}: ${words.join(", ")}.`;
}

const waitingWords = ({ start }: ScanRecord): string =>
  start.topOffLeftMs > 0 ? ` Top-off waits another ${duration(start.topOffLeftMs)}.` : "";

/** An alarm that came and went while nobody looked. */
function overWords({ alarms }: ScanRecord): string {
  const over = alarms.find(({ state }) => state === "returned");
  const title = CONDITIONS.find(({ id }) => id === over?.id)?.title;
  return title === undefined ? "" : ` Over, not acknowledged: ${title.toLowerCase()}.`;
}

function temperatureWords(signal: Signal): string {
  if (signal.value !== null) return `${withDoubt(signal)} °C${hedge(signal)}`;
  return `temperature unknown${because("the thermometer", signal)}`;
}

function salinityWords(salinity: Signal, conductivity: Signal): string | null {
  if (!isFitted(salinity)) return null;
  if (salinity.value !== null) return `salinity ${withDoubt(salinity)}${hedge(salinity)}`;
  return `salinity unknown${because("the probe", conductivity.quality === "bad" ? conductivity : salinity)}`;
}

function levelWords(level: Level, topOff: TopOffStatus): string {
  if (topOff.state === "pouring" || topOff.state === "settling") return "fresh water is being topped off";
  switch (level.state) {
    case "at-mark":
      return "water at its mark";
    case "low":
      return "water a little low";
    case "high":
      return "water high";
    case "contradiction":
      return "level unknown (the floats contradict each other)";
    case "unknown":
      return "level unknown";
  }
}

function withDoubt({ value, uncertainty }: Signal): string {
  const words = (value as number).toFixed(1);
  if (uncertainty === null) return words;
  // Rounded up: a doubt is never shown smaller than it is.
  return `${words} ± ${(Math.ceil(uncertainty * 10 - 1e-9) / 10).toFixed(1)}`;
}

const hedge = ({ quality, doubt }: Signal): string =>
  quality === "uncertain" && doubt !== null && doubt !== "single" ? " (doubtful)" : "";

const because = (part: string, { doubt }: Signal): string => (doubt === null ? "" : ` (${part} ${DOUBT_WORDS[doubt]})`);

function duration(ms: number): string {
  const seconds = Math.ceil(ms / 1000);
  if (seconds < 120) return `${seconds} s`;
  const minutes = Math.ceil(seconds / 60);
  if (minutes < 60) return `${minutes} min`;
  return minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

const longestThatFits = (candidates: readonly string[]): string =>
  candidates.find((words) => words.length <= LONGEST) ?? (candidates.at(-1) as string);
