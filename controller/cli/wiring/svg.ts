import { formatVolume } from "../../../shared/units/index.ts";
import { wrapWords } from "../wrap-words.ts";
import { cablingBlocks } from "./cabling.ts";
import { drawLines, drawText, INNER, LETTER, LINE, SYMBOLS } from "./drawing.ts";
import { type Block, drawPages } from "./pages.ts";
import type { Row } from "./row.ts";
import type { Chain, Group, Sheet } from "./sheet.ts";

/** Left edge of each column, and how many letters it holds. */
const COLUMNS = {
  terminal: { x: 0, most: 17 },
  drawing: { x: 162, most: 0 },
  wiring: { x: 272, most: 36 },
  reads: { x: 592, most: 25 },
  seen: { x: 826, most: 12 },
} as const;

export interface Drawn {
  readonly mark: string;
  readonly date: string;
}

/** The sheet on pages of A4: the picture of the cabling, every terminal, and what the settings mean for the box. */
export function drawSheet(sheet: Sheet, { mark, date }: Drawn): string[] {
  const blocks: Block[] = [
    cautionBlock(),
    titleBlock("Cabling"),
    ...cablingBlocks(sheet.groups),
    ...noteBlocks(sheet),
    ...(sheet.chains.length > 0 ? [titleBlock("Every link must be closed")] : []),
    ...sheet.chains.map(chainBlock),
    ...tableBlocks(sheet.groups),
    ...boxBlocks(sheet),
    ...listBlocks("When the computer dies", [sheet.whenItDies]),
    ...listBlocks("Look at this", sheet.advice, "! "),
    ...listBlocks("Not fitted", sheet.missing),
    signBlock(),
  ];
  return drawPages(blocks, { title: `Wiring sheet: ${sheet.tank}`, mark: `settings ${mark}, drawn ${date}` });
}

const titleBlock = (title: string): Block => ({
  height: 40,
  keepsWithNext: true,
  draw: (y) => drawText(0, y + 28, title, "h2"),
});

const cautionBlock = (): Block => {
  const words = wrapWords(
    "Mains and salt water kill. Mains work by a licensed electrician under your local code, behind residual-current " +
      "protection; drip loops; certified appliances; unplug before hands go in. This is not a certified safety device: " +
      "keep the heater's own thermostat, a high float in series with the pump, a reservoir no larger than the box can take.",
    Math.floor((INNER - 80) / (LETTER + 0.6)),
  );
  const inside = words.length * LINE;
  return {
    height: inside + 34,
    draw: (y) =>
      `<rect class="frame" x="1" y="${y + 4}" width="${INNER - 2}" height="${inside + 16}"/>` +
      `<path class="wire" d="M34 ${y + 16}l-20 ${Math.min(inside - 8, 46)}h40z"/>` +
      drawText(34, y + Math.min(inside - 8, 46) + 10, "!", "h2 mid") +
      drawLines(70, y + 28, words, "strong"),
  };
};

/** What a picture cannot say. */
function noteBlocks({ groups }: Sheet): Block[] {
  const keys = groups.flatMap(({ rows }) => rows.map(({ key }) => key));
  const notes = [
    ...(keys.includes("working-float") && keys.includes("high-float")
      ? ["Working float and high float share no cable, no connector and no port of the board."]
      : []),
    ...(groups.some(({ rows }) => rows.some(({ drawing }) => drawing === "guard"))
      ? [
          "A guard's pin makes a pulse: between it and the relay stands the pulse driver of wiring-notes/guard/README.md.",
        ]
      : []),
    "A dotted wire is ground. Contacts are drawn as they hang: dry, without power.",
    "Low voltage and mains in separate boxes; cables under 3 m, apart from mains, with drip loops.",
  ];
  return listBlocks(null, notes);
}

function tableBlocks(groups: readonly Group[]): Block[] {
  const under = columnHeads();
  const blocks = groups.flatMap((group) => [
    { ...groupBlock(group), under },
    ...group.rows.map((row) => ({ ...rowBlock(row), under })),
  ]);
  return blocks.length === 0 ? [] : [titleBlock("Every terminal"), { ...under, keepsWithNext: true }, ...blocks];
}

const columnHeads = (): Block => ({
  height: 28,
  draw: (y) =>
    drawText(COLUMNS.terminal.x, y + 18, "Terminal", "key") +
    drawText(COLUMNS.drawing.x, y + 18, "Dry, no power", "key") +
    drawText(COLUMNS.wiring.x, y + 18, "Part, contact and wires", "key") +
    drawText(COLUMNS.reads.x, y + 18, "A wire reads", "key") +
    drawText(COLUMNS.seen.x, y + 18, "Seen to work", "key"),
});

function groupBlock({ board, words }: Group): Block {
  const all = wrapWords(`${board}: ${words}`, Math.floor(INNER / LETTER));
  return {
    height: all.length * LINE + 16,
    keepsWithNext: true,
    draw: (y) =>
      `<rect class="band" x="-8" y="${y + 4}" width="${INNER + 16}" height="${all.length * LINE + 8}"/>` +
      drawLines(0, y + 22, all, "strong"),
  };
}

function rowBlock(row: Row): Block {
  const terminal = wrapWords(row.terminal, COLUMNS.terminal.most);
  const words = wrapWords(row.words, COLUMNS.wiring.most - 2);
  const wiring = wrapWords(row.wiring, COLUMNS.wiring.most);
  const reads = [
    ...(row.broken === row.shorted
      ? wrapWords(`either: ${row.broken}`, COLUMNS.reads.most)
      : [
          ...wrapWords(`open: ${row.broken}`, COLUMNS.reads.most),
          ...wrapWords(`short: ${row.shorted}`, COLUMNS.reads.most),
        ]),
    ...wrapWords(`safe: ${row.safe}`, COLUMNS.reads.most),
  ];
  const seen = wrapWords(row.seen, COLUMNS.seen.most);
  const lines = Math.max(2, terminal.length, words.length + 1 + wiring.length, reads.length, seen.length);
  return {
    height: lines * LINE + 14,
    draw(y) {
      const first = y + 20;
      const afterWords = first + words.length * LINE;
      return (
        `<g data-part="${row.key}">` +
        drawLines(COLUMNS.terminal.x, first, terminal, "strong") +
        `<g transform="translate(${COLUMNS.drawing.x} 0)">${SYMBOLS[row.drawing](y + 24)}</g>` +
        drawLines(COLUMNS.wiring.x, first, words, "strong") +
        drawText(COLUMNS.wiring.x, afterWords - 2, row.key, "key") +
        drawLines(COLUMNS.wiring.x, afterWords + LINE, wiring) +
        drawLines(COLUMNS.reads.x, first, reads) +
        `<rect class="wire" x="${COLUMNS.seen.x}" y="${first - 14}" width="15" height="15"/>` +
        drawLines(COLUMNS.seen.x + 24, first, seen) +
        `<path class="line" d="M0 ${y + lines * LINE + 10}H${INNER}"/></g>`
      );
    },
  };
}

function chainBlock({ of, links }: Chain): Block {
  const all = [...links, of];
  const step = INNER / all.length;
  const words = all.map((link) => wrapWords(link, Math.floor((step - 22) / LETTER)));
  const lines = Math.max(...words.map(({ length }) => length));
  const height = lines * LINE + 16;
  return {
    height: height + 16,
    draw: (y) =>
      `<path class="wire" d="M10 ${y + 6 + height / 2}H${INNER - 10}"/>` +
      words
        .map((own, index) => {
          const x = index * step;
          const top = y + 6 + height / 2 - (own.length * LINE) / 2 + LINE - 5;
          return (
            `<rect class="part" x="${x + 6}" y="${y + 6}" width="${step - 12}" height="${height}" rx="4"/>` +
            drawLines(x + step / 2, top, own, `mid${index === all.length - 1 ? " strong" : ""}`)
          );
        })
        .join(""),
  };
}

function boxBlocks(sheet: Sheet): Block[] {
  if (sheet.toMeasure.length > 0) {
    return listBlocks("Still to be measured, before anything runs", sheet.toMeasure, "□ ");
  }
  if (sheet.budget === null) return listBlocks("What it means for the box", sheet.boxLines);
  const { byRimL, byBlockedWeirL, byDilutionL, largestReservoirL } = sheet.budget;
  const limits: [number, string][] = [
    [byRimL, "to the rim, return pump off"],
    [byBlockedWeirL, "display, weir blocked"],
    [byDilutionL, "lowers salinity by 1"],
  ];
  const widest = Math.max(...limits.map(([value]) => value), 0.1);
  const bars: Block = {
    height: limits.length * 28 + 8,
    keepsWithNext: true,
    draw: (y) =>
      limits
        .map(([value, what], index) => {
          const top = y + index * 28;
          const isLeast = value === largestReservoirL;
          return (
            `<rect class="${isLeast ? "least" : "bar"}" x="380" y="${top + 2}" width="${Math.max(1, (value / widest) * 540)}" height="20"/>` +
            drawText(0, top + 18, what, isLeast ? "strong" : "") +
            drawText(366, top + 18, formatVolume(value, sheet.units), isLeast ? "strong end" : "end")
          );
        })
        .join(""),
  };
  return [titleBlock("Fresh water that the box takes at worst"), bars, ...listBlocks(null, sheet.boxLines)];
}

function listBlocks(title: string | null, sentences: readonly string[], bullet = ""): Block[] {
  if (sentences.length === 0) return [];
  const blocks = sentences.map((sentence): Block => {
    const words = wrapWords(`${bullet}${sentence}`, Math.floor(INNER / LETTER));
    return { height: words.length * LINE + 4, draw: (y) => drawLines(0, y + 18, words) };
  });
  return [...(title === null ? [] : [titleBlock(title)]), ...blocks];
}

const signBlock = (): Block => ({
  height: 92,
  draw: (y) =>
    drawText(0, y + 42, "Wired by ____________________") +
    drawText(330, y + 42, "Mains part by licensed electrician ______________________") +
    drawText(0, y + 80, "Proven on ________________ by ____________________"),
});
