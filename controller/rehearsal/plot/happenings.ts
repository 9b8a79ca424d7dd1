import { PART_WORDS, REASONS } from "../../../shared/contract/index.ts";
import { ALARM_WORDS } from "../../alarms/index.ts";
import { faultKind } from "../faults/table.ts";
import { type Hand, timesOf } from "../hands/index.ts";
import type { Report } from "../report.ts";
import type { Scenario, ScenarioFault } from "../scenario.ts";
import type { Frame } from "./panel.ts";
import { trimmed } from "./scale.ts";
import { element, INK, text } from "./svg.ts";

/** One line of what happened: every time that the same thing stood, on one row. */
export interface Row {
  readonly words: string;
  readonly colour: string;
  readonly spans: readonly { readonly fromH: number; readonly untilH: number }[];
}

export interface Block {
  readonly title: string;
  readonly rows: readonly Row[];
}

/** What broke and what hands did, what was stopped, who was told. */
export function blocksOf(report: Report, { faults, hands }: Scenario): Block[] {
  const { hours } = report;
  const broken = faults.map((fault) => faultRow(fault, hours));
  const done = hands.map((hand) => handRow(hand, hours));
  const trips = report.trips.map(({ reason, part, latched, atH, clearedAtH }) => ({
    words: `${part === "top-off-pump" ? "top-off" : PART_WORDS[part]} ${latched ? "locked" : "stopped"}: ${REASONS[reason]}`,
    colour: latched ? INK.high : INK.medium,
    spans: [{ fromH: atH, untilH: clearedAtH ?? hours }],
  }));
  const alarms = report.alarms.map(({ id, priority, raisedAtH, clearedAtH }) => ({
    words: `${SIGNS[priority]} ${ALARM_WORDS.find((each) => each.id === id)?.title ?? id} (${priority})`,
    colour: INK[priority],
    spans: [{ fromH: raisedAtH, untilH: clearedAtH ?? hours }],
  }));
  return [
    { title: "What broke, and what hands did", rows: joined([...broken, ...done]) },
    { title: "What the scan stopped", rows: joined(trips) },
    { title: "Alarms", rows: joined(alarms) },
  ].filter(({ rows }) => rows.length > 0);
}

/** Shape and word beside the colour. */
const SIGNS = { high: "▲", medium: "■", low: "●" } as const;

const faultRow = ({ kind, part, value, atH, untilH }: ScenarioFault, hours: number): Row => ({
  words: [kind, part, valueWords(kind, value)].filter((word) => word !== undefined && word !== "").join(" "),
  colour: INK.fault,
  // What happens at one moment is a dot.
  spans: [{ fromH: atH, untilH: faultKind(kind).end === null ? atH : Math.min(untilH ?? hours, hours) }],
});

function valueWords(kind: string, written: ScenarioFault["value"]): string {
  const { value } = faultKind(kind);
  return typeof written === "number" && value.of === "number"
    ? `${trimmed(written)} ${value.unit}`
    : `${written ?? ""}`;
}

const handRow = (hand: Hand, hours: number): Row => ({
  words: `${hand.do.replaceAll("-", " ")}${"litres" in hand && hand.litres !== undefined ? ` ${trimmed(hand.litres)} L` : ""}${hand.told ? "" : ", not told"}`,
  colour: INK.hand,
  spans: timesOf(hand, hours).map((atH) => ({ fromH: atH, untilH: atH })),
});

const ROWS_MOST = 12;

/** The same words are one row; a long list is cut, and says so. */
function joined(rows: readonly Row[]): Row[] {
  const byWords = new Map<string, Row>();
  for (const row of rows) {
    const known = byWords.get(row.words);
    byWords.set(row.words, known === undefined ? row : { ...known, spans: [...known.spans, ...row.spans] });
  }
  const all = [...byWords.values()];
  if (all.length <= ROWS_MOST) return all;
  const more = { words: `… and ${all.length - ROWS_MOST + 1} more, in the report`, colour: INK.quiet, spans: [] };
  return [...all.slice(0, ROWS_MOST - 1), more];
}

export const TITLE_PX = 22;
export const ROW_PX = 21;
const BAR_PX = 5;
/** Seven pixels a letter is more than the type needs. */
const LETTER_PX = 6;

export const blockHeightPx = ({ rows }: Block): number => TITLE_PX + rows.length * ROW_PX + 6;

export function drawBlock({ title, rows }: Block, topPx: number, frame: Frame): string {
  const heading = text(frame.leftPx, topPx + 13, title, { "font-weight": 600 });
  return [heading, ...rows.map((row, place) => drawRow(row, topPx + TITLE_PX + place * ROW_PX, frame))].join("\n");
}

function drawRow({ words, colour, spans }: Row, topPx: number, { time, leftPx, rightPx }: Frame): string {
  const barPx = topPx + 13;
  const bars = spans.map(({ fromH, untilH }) => {
    const x = time.at(fromH);
    const width = Math.max(3, time.at(untilH) - x);
    return element("rect", { x, y: barPx, width, height: BAR_PX, rx: 1.5, fill: colour });
  });
  const startPx = spans[0] === undefined ? leftPx : time.at(spans[0].fromH);
  // Words that would run off the paper end where it ends.
  const fits = startPx + words.length * LETTER_PX < rightPx + 160;
  const label = fits
    ? text(startPx, barPx - 3, words, { fill: colour })
    : text(rightPx + 160, barPx - 3, words, { fill: colour, "text-anchor": "end" });
  return label + bars.join("");
}
