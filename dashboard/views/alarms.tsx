import { useSignal } from "@preact/signals";
import type { AlarmPriority, AlarmWords } from "../../shared/contract/record.ts";
import type { Box } from "../incoming/box.ts";
import { readBoolean, readNumber, readOneOf, readSentence, readTimeMs } from "../incoming/payload.ts";
import { AnswerLine, useAsking } from "../pieces/answer-line.tsx";
import { PriorityMark } from "../pieces/marks.tsx";
import { ageWords, timeWords } from "../pieces/words.ts";
import { Latches } from "./latches.tsx";

/** What is wrong, since when, what it means and what to do now. */
export function Alarms({ box }: { box: Box }) {
  const { answer, ask } = useAsking(box);
  const all = box.alarmIds.value.map((id) => readAlarm(box, id)).filter((alarm) => alarm !== null);
  const standing = all.filter(({ state }) => state !== "suppressed").sort(byUrgency);
  const suppressed = all.filter(({ state }) => state === "suppressed");
  const unanswered = standing.filter(needsAcknowledging);
  return (
    <section class="alarms" aria-labelledby="alarms-title" data-standing={standing.length}>
      <h2 id="alarms-title">Alarms</h2>
      {standing.length === 0 && <p class="calm">{calmWords(box)}</p>}
      <ul class="alarm-list">
        {standing.map((alarm) => (
          <AlarmCard
            key={alarm.id}
            box={box}
            alarm={alarm}
            acknowledge={() => ask("acknowledge", { alarm: alarm.id })}
          />
        ))}
      </ul>
      {unanswered.length > 1 && (
        <button type="button" class="button" onClick={() => ask("acknowledge", { alarm: "all" })}>
          Acknowledge all {unanswered.length} alarms
        </button>
      )}
      <Latches box={box} />
      <AnswerLine answer={answer} />
      {suppressed.length > 0 && (
        <p class="aside">Suppressed for now: {suppressed.map(({ words }) => words.title).join("; ")}.</p>
      )}
    </section>
  );
}

/** Silence about an alarm is not the news that it does not stand. */
function calmWords(box: Box): string {
  const known = box.tank.alarms;
  const untold = known.filter(({ id }) => box.text(`alarm-${id}`, "state") === "").length;
  if (untold > 0) return `The controller has said nothing yet about ${untold} of its ${known.length} alarms.`;
  return box.fresh.value ? "No alarm stands." : "No alarm stood at the last word.";
}

interface ShownAlarm {
  readonly id: string;
  readonly state: Exclude<(typeof STATES)[number], "normal">;
  readonly priority: AlarmPriority;
  readonly words: Pick<AlarmWords, "title"> & Partial<AlarmWords>;
  readonly sinceMs: number | null;
  readonly message: string;
  readonly whatToDo: string;
  readonly isFirst: boolean;
  readonly timesInHour: number | null;
}

const STATES = ["normal", "unacknowledged", "acknowledged", "returned", "latched", "suppressed"] as const;

const STATE_WORDS: Record<ShownAlarm["state"], string> = {
  unacknowledged: "not acknowledged",
  acknowledged: "acknowledged, still standing",
  returned: "gone by itself, not acknowledged",
  latched: "latched until a person clears it",
  suppressed: "suppressed",
};

const RANK: Record<AlarmPriority, number> = { high: 0, medium: 1, low: 2 };

const needsAcknowledging = ({ state }: ShownAlarm): boolean => state === "unacknowledged" || state === "returned";

const byUrgency = (a: ShownAlarm, b: ShownAlarm): number =>
  RANK[a.priority] - RANK[b.priority] ||
  Number(needsAcknowledging(b)) - Number(needsAcknowledging(a)) ||
  (a.sinceMs ?? 0) - (b.sinceMs ?? 0);

function readAlarm(box: Box, id: string): ShownAlarm | null {
  const node = `alarm-${id}`;
  const text = box.text(node, "state");
  const state = readOneOf(text, STATES);
  // A state that cannot be read is not "all is well".
  if (state === "normal" || text === "") return null;
  const words = box.tank.alarms.find((known) => known.id === id);
  const message = readSentence(box.text(node, "message"));
  return {
    id,
    state: state ?? "unacknowledged",
    priority: readOneOf(box.text(node, "priority"), ["low", "medium", "high"]) ?? words?.priority ?? "high",
    words: words ?? { title: id.replaceAll("-", " ") },
    sinceMs: readTimeMs(box.text(node, "since")),
    message: message || words?.consequence || "",
    whatToDo: readSentence(box.text(node, "what-to-do")) || words?.whatToDo || "Look at the tank.",
    isFirst: readBoolean(box.text(node, "first-up")) === true,
    timesInHour: readNumber(box.text(node, "times-in-hour")),
  };
}

const PRIORITY_WORDS: Record<AlarmPriority, string> = {
  high: "High priority",
  medium: "Medium priority",
  low: "Low priority",
};

function AlarmCard({ box, alarm, acknowledge }: { box: Box; alarm: ShownAlarm; acknowledge: () => void }) {
  const nowMs = box.boxNowMs.value;
  const times = alarm.timesInHour === null ? 0 : Math.round(alarm.timesInHour);
  return (
    <li class={`alarm alarm-${alarm.priority}`} data-alarm={alarm.id} data-state={alarm.state}>
      <p class="alarm-rank">
        <PriorityMark priority={alarm.priority} />
        <strong>{PRIORITY_WORDS[alarm.priority]}</strong>
        <span>{STATE_WORDS[alarm.state]}</span>
        {alarm.isFirst && <span>came first</span>}
        {times > 1 && <span>{times} times in the last hour</span>}
      </p>
      <h3>{alarm.words.title}</h3>
      <p class="alarm-since">
        {alarm.sinceMs === null
          ? "since a time not known"
          : `since ${timeWords(alarm.sinceMs, nowMs)}${
              box.fresh.value && nowMs !== null ? ` (${ageWords(Math.max(0, nowMs - alarm.sinceMs))})` : ""
            }`}
      </p>
      {alarm.message !== "" && <p>{alarm.message}</p>}
      <p class="to-do">
        <strong>What to do now:</strong> {alarm.whatToDo}
      </p>
      <MoreWords words={alarm.words} />
      {needsAcknowledging(alarm) && (
        <button type="button" class="button" onClick={acknowledge}>
          Acknowledge<span class="for-readers"> {alarm.words.title}</span>
        </button>
      )}
    </li>
  );
}

function MoreWords({ words }: { words: ShownAlarm["words"] }) {
  const isOpen = useSignal(false);
  if (words.cause === undefined) return null;
  return (
    <details open={isOpen.value} onToggle={(event) => (isOpen.value = event.currentTarget.open)}>
      <summary>
        Why it happens<span class="for-readers">: {words.title}</span>
      </summary>
      <p>
        <strong>Cause:</strong> {words.cause}
      </p>
      <p>
        <strong>If nothing is done:</strong> {words.consequence}
      </p>
      <p>
        <strong>Time to respond:</strong> {words.timeToRespond}
      </p>
    </details>
  );
}
