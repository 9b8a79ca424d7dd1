import { otherAsks, refillAsks } from "../../promises/checkers/asks.ts";
import { PROMISES, type PromiseId } from "../../promises/life.ts";
import { columns } from "../columns.ts";
import type { JudgedHealthyWeek } from "./judge.ts";

/** One table of all weeks, and of those that have something in common. */
const GROUPS: readonly [name: string, has: (week: JudgedHealthyWeek) => boolean][] = [
  ["all", () => true],
  ["with a conductivity probe", ({ marks }) => marks.probe],
  ["without one", ({ marks }) => !marks.probe],
  ["every part fitted", ({ marks }) => marks.everyPart],
  ["some parts left out", ({ marks }) => !marks.everyPart],
  ["under 100 L", ({ marks }) => marks.volumeL < 100],
  ["100 to 200 L", ({ marks }) => marks.volumeL >= 100 && marks.volumeL <= 200],
  ["over 200 L", ({ marks }) => marks.volumeL > 200],
  ["room under 20 °C", ({ marks }) => marks.roomC < 20],
  ["room 20 to 26 °C", ({ marks }) => marks.roomC >= 20 && marks.roomC <= 26],
  ["room over 26 °C, no fan", ({ marks }) => marks.roomC > 26 && !marks.fan],
  ["room over 26 °C, fan", ({ marks }) => marks.roomC > 26 && marks.fan],
  ["rests told", ({ marks }) => marks.rest === "told"],
  ["rests untold", ({ marks }) => marks.rest === "untold"],
  ["water change told", ({ marks }) => marks.change === "told"],
  ["water change untold", ({ marks }) => marks.change === "untold"],
];

const HEADS = [
  "ours / bare parts",
  "weeks",
  "salinity, middle",
  "salinity, worst",
  "kelvin, middle",
  "kelvin, worst",
  "low",
  "medium",
  "high",
  "asks a week",
  "most",
  "refills",
  "throttled h",
  "locked",
  ...PROMISES.filter(isWeekly),
];

/** H2, H4 and H6 are about longer lives, mishaps and failed sensors; H5 is about many weeks. */
function isWeekly(promise: PromiseId): boolean {
  return promise === "H1" || promise === "H3" || promise === "H7";
}

export function healthyTable(judged: readonly JudgedHealthyWeek[]): string[] {
  const groups = GROUPS.map(([name, has]) => [name, judged.filter(has)] as const);
  const rows = groups.filter(([, weeks]) => weeks.length > 0).map(([name, weeks]) => cellsOf(name, weeks));
  return [
    "Spans of salinity and temperature in a week; alarms and asks besides refills in a week; weeks that broke a promise.",
    ...columns(HEADS, rows),
    "",
    "What locked, in how many weeks:",
    ...countsOf(judged.flatMap(({ locks }) => [...new Set(locks)])),
  ];
}

function cellsOf(name: string, weeks: readonly JudgedHealthyWeek[]): string[] {
  const pair = (of: (values: readonly number[]) => number, by: "salinity" | "kelvin") =>
    (["ours", "bare"] as const).map((side) => of(weeks.map((week) => week[side][by])).toFixed(2)).join(" / ");
  const mean = (of: (week: JudgedHealthyWeek) => number) =>
    (weeks.reduce((sum, week) => sum + of(week), 0) / weeks.length).toFixed(2);
  const broke = (promise: PromiseId) =>
    String(weeks.filter(({ broken }) => broken.some((each) => each.promise === promise)).length);
  return [
    name,
    String(weeks.length),
    pair(middleOf, "salinity"),
    pair(mostOf, "salinity"),
    pair(middleOf, "kelvin"),
    pair(mostOf, "kelvin"),
    ...PRIORITIES.map((wanted) => mean(({ alarms }) => alarms.filter(({ priority }) => priority === wanted).length)),
    mean((week) => otherAsks(week).length),
    String(mostOf(weeks.map((week) => otherAsks(week).length))),
    mean(refillAsks),
    mean(({ throttledH }) => throttledH),
    String(weeks.filter(({ locks }) => locks.length > 0).length),
    ...PROMISES.filter(isWeekly).map(broke),
  ];
}

function countsOf(words: readonly string[]): string[] {
  const counts = new Map<string, number>();
  for (const word of words) counts.set(word, (counts.get(word) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1]).map(([word, count]) => `  ${word}: ${count}`);
}

const PRIORITIES = ["low", "medium", "high"] as const;
const mostOf = (values: readonly number[]): number => Math.max(...values);
const middleOf = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number;
