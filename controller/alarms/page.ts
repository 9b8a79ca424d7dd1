import type { Condition } from "./condition.ts";
import { CONDITIONS } from "./list.ts";

/** `ALARMS.md`, made from the list; a test compares the two. */
export function alarmsPage(): string {
  const rows = CONDITIONS.map(({ id, title, priority, limit, timeToRespond }) => [
    `[${title}](#${id})`,
    priority,
    limit,
    timeToRespond.replace(/\.$/, ""),
  ]);
  return `${[
    "# Alarms",
    "",
    "Made from the files in `conditions/`, do not edit it here. To write it anew: `UPDATE_PAGES=1 npm test -- tests/tidy/alarms.test.ts`.",
    "",
    "An alarm says that somebody should do something in time. The trips that cannot wait for a person act by themselves; the alarm only tells of them. This is not a certified safety device: keep the heater's own thermostat, a high float wired in series with the pump, and a reservoir no larger than the box can take. Unplug before hands go in, and leave mains work to a licensed electrician under your local code.",
    "",
    "The state model is that of ANSI/ISA-18.2 and IEC 62682: _active_ and _acknowledged_ are remembered apart, with latch, shelving (at most 8 h), suppression by design and out of service. The limits in words are those of the settings as they come.",
    "",
    "While nobody but a sitter is there (an _absence_), what only reminds the keeper rests. Nothing that names a cause in the water ever does.",
    "",
    ...table(["Alarm", "Priority", "Stands when", "Time to respond"], rows),
    "",
    ...CONDITIONS.flatMap(section),
  ].join("\n")}\n`.replace(/\n+$/, "\n");
}

/** Columns of even width, as the formatter wants them. */
function table(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const widths = head.map((_, column) => Math.max(...[head, ...rows].map((row) => (row[column] as string).length)));
  const line = (row: readonly string[]) =>
    `| ${row.map((cell, column) => cell.padEnd(widths[column] as number)).join(" | ")} |`;
  return [line(head), line(widths.map((width) => "-".repeat(width))), ...rows.map(line)];
}

function section(condition: Condition): string[] {
  return [
    `## ${condition.id}`,
    "",
    `**${condition.title}.** Priority ${condition.priority}.`,
    "",
    `- Cause: ${condition.cause}`,
    `- If nothing is done: ${condition.consequence}`,
    `- What to do now: ${condition.whatToDo}`,
    `- Time to respond: ${condition.timeToRespond}`,
    `- During an absence: ${ABSENCE_WORDS[condition.inAbsence]}.`,
    `- Limit: ${condition.limit}. Deadband: ${condition.deadband ?? "none"}.`,
    `- On-delay: ${spell(condition.onDelayMs)}. Off-delay: ${spell(condition.offDelayMs)}.`,
    `- Back to normal: ${CLEARS_WORDS[condition.clears]}.`,
    `- Suppressed by design: ${condition.suppressedWhen}.`,
    "",
  ];
}

const ABSENCE_WORDS: Record<Condition["inAbsence"], string> = {
  "for-sitter": "a sitter can act on it; it stands on the sitter's sheet",
  "for-keeper": "told as ever, to the keeper",
  rests: "rests until the keeper is back",
};

const CLEARS_WORDS: Record<Condition["clears"], string> = {
  "by-itself": "by itself, when the cause is gone",
  acknowledged: "when the cause is gone and somebody has acknowledged it",
  cleared: "latched: when the cause is gone, somebody has acknowledged it and the lock is cleared",
};

function spell(ms: number): string {
  if (ms === 0) return "none";
  return ms % 60_000 === 0 ? `${ms / 60_000} min` : `${ms / 1000} s`;
}
