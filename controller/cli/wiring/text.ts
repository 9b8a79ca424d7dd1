import { formatVolume } from "../../../shared/units/index.ts";
import { wrapWords } from "../wrap-words.ts";
import type { Row } from "./row.ts";
import type { Sheet } from "./sheet.ts";

/** A line of a terminal, and of a printed page. */
const WIDTH = 100;
const INDENT = 22;

/** The sheet as plain text. */
export function textOf(sheet: Sheet, mark: string): string {
  const chains = sheet.chains.map(({ of, links }) => `  ${[...links, of].join(" ── ")}`);
  return [
    `Wiring sheet of ${sheet.tank} (settings ${mark})`,
    ...listed([
      "Mains and salt water kill: mains work by a licensed electrician under your local code, behind residual-current " +
        "protection. Unplug before hands go in. Not a certified safety device.",
    ]),
    ...sheet.groups.flatMap(({ board, words, rows }) => ["", `${board}: ${words}`, ...rows.flatMap(rowLines)]),
    ...section("Every link must be closed", chains),
    ...boxSection(sheet),
    ...section("When the computer dies", listed([sheet.whenItDies])),
    ...section("Look at this", listed(sheet.advice, "! ")),
    ...section("Not fitted", listed(sheet.missing)),
  ].join("\n");
}

function boxSection({ toMeasure, budget, boxLines, units }: Sheet): string[] {
  if (toMeasure.length > 0) return section("Still to be measured, before anything runs", listed(toMeasure, "[ ] "));
  if (budget === null) return section("What it means for the box", listed(boxLines));
  const [rim, weir, dilution] = [budget.byRimL, budget.byBlockedWeirL, budget.byDilutionL].map((litres) =>
    formatVolume(litres, units),
  );
  return section("Fresh water that the box takes at worst", [
    ...listed([
      `To the rim with the return pump off ${rim}; display with the weir blocked ${weir}; fresh water that lowers ` +
        `salinity by 1 ${dilution}. The smallest counts.`,
      ...boxLines,
    ]),
  ]);
}

const section = (title: string, lines: readonly string[]): string[] =>
  lines.length === 0 ? [] : ["", title, ...lines];

const listed = (sentences: readonly string[], bullet = ""): string[] =>
  sentences.flatMap((sentence) =>
    wrapWords(sentence, WIDTH - 2 - bullet.length).map(
      (line, index) => `  ${index === 0 ? bullet : " ".repeat(bullet.length)}${line}`,
    ),
  );

function rowLines(row: Row): string[] {
  const sameEnd = row.broken === row.shorted;
  const facts = [
    row.wiring,
    sameEnd ? `broken or shorted: ${row.broken}` : `broken: ${row.broken}; shorted: ${row.shorted}`,
    `safe: ${row.safe}; [ ] ${row.seen}`,
  ];
  const lines = facts.flatMap((fact) => wrapWords(fact, WIDTH - INDENT));
  const heads = [`  ${row.key}`, `    ${row.terminal}`];
  return Array.from({ length: Math.max(heads.length, lines.length) }, (_, index) =>
    `${(heads[index] ?? "").padEnd(INDENT - 1)} ${lines[index] ?? ""}`.trimEnd(),
  );
}
