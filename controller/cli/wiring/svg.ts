import { wrapWords } from "../wrap-words.ts";
import { escaped, STYLE, SYMBOLS } from "./drawing.ts";
import { type Chain, type Group, litres, type Row, type Sheet } from "./sheet.ts";

/** A4 upright in fifths of a millimetre. What does not fit is made smaller as a whole, never cut. */
const PAGE = { width: 1050, height: 1485, margin: 44 };
const INNER = PAGE.width - 2 * PAGE.margin;
const LINE = 16;
/** Left edge and characters of each column. */
const COLUMNS = {
  terminal: { x: 0, most: 12 },
  drawing: { x: 104, most: 0 },
  part: { x: 214, most: 19 },
  wiring: { x: 344, most: 32 },
  broken: { x: 550, most: 30 },
  safe: { x: 748, most: 14 },
  seen: { x: 852, most: 14 },
} as const;

interface Block {
  readonly height: number;
  readonly draw: (y: number) => string;
}

/** The sheet on one page of A4. */
export function svgOf(sheet: Sheet, { mark, date }: { readonly mark: string; readonly date: string }): string {
  const blocks = [
    headBlock(sheet, mark, date),
    cautionBlock(),
    columnHeads(),
    ...sheet.groups.flatMap((group) => [groupBlock(group), ...group.rows.map(rowBlock)]),
    ...(sheet.chains.length > 0 ? [titleBlock("Every link must be closed")] : []),
    ...sheet.chains.map(chainBlock),
    budgetBlock(sheet),
    listBlock("When the computer dies", [sheet.whenItDies]),
    ...(sheet.advice.length > 0 ? [listBlock("Look at this", sheet.advice, "! ")] : []),
    ...(sheet.missing.length > 0 ? [listBlock("Not fitted", [`${sheet.missing.join("; ")}.`])] : []),
    signBlock(),
  ];
  let y: number = PAGE.margin;
  const drawn = blocks.map((block) => {
    const here = block.draw(y);
    y += block.height;
    return here;
  });
  const height = Math.max(PAGE.height, y + PAGE.margin);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 ${PAGE.width} ${height}">`,
    `<title>Wiring sheet of ${escaped(sheet.tank)}</title><style>@page { size: A4; margin: 0 }${STYLE}</style>`,
    `<rect class="paper" width="${PAGE.width}" height="${height}"/><g transform="translate(${PAGE.margin} 0)">`,
    ...drawn,
    "</g></svg>",
    "",
  ].join("\n");
}

const text = (x: number, y: number, words: string, look = ""): string =>
  `<text x="${x}" y="${y}"${look && ` class="${look}"`}>${escaped(words)}</text>`;

const lines = (x: number, y: number, all: readonly string[], look = ""): string =>
  all.map((line, index) => text(x, y + index * LINE, line, look)).join("");

const headBlock = ({ tank }: Sheet, mark: string, date: string): Block => ({
  height: 58,
  draw: (y) =>
    text(0, y + 28, `Wiring sheet: ${tank}`, "h1") + text(0, y + 48, `Settings ${mark}, drawn ${date}`, "key"),
});

const cautionBlock = (): Block => {
  const words = wrapWords(
    "Mains and salt water kill. Mains work by a licensed electrician under your local code, behind residual-current " +
      "protection; drip loops; certified appliances; unplug before hands go in. This is not a certified safety device: " +
      "keep the heater's own thermostat, a high float in series with the pump, a reservoir no larger than the box can take.",
    138,
  );
  return {
    height: words.length * LINE + 26,
    draw: (y) =>
      `<rect class="frame" x="1" y="${y + 4}" width="${INNER - 2}" height="${words.length * LINE + 12}"/>` +
      `<path class="wire" d="M26 ${y + 14}l-15 ${words.length * LINE - 6}h30z"/>` +
      text(26, y + words.length * LINE + 2, "!", "h2 mid") +
      lines(58, y + 22, words, "strong"),
  };
};

const columnHeads = (): Block => ({
  height: 18,
  draw: (y) =>
    text(COLUMNS.terminal.x, y + 14, "Terminal", "head") +
    text(COLUMNS.drawing.x, y + 14, "Dry, unpowered", "head") +
    text(COLUMNS.part.x, y + 14, "Part", "head") +
    text(COLUMNS.wiring.x, y + 14, "Contact and wires", "head") +
    text(COLUMNS.broken.x, y + 14, "An open or a shorted wire reads", "head") +
    text(COLUMNS.safe.x, y + 14, "Safe state", "head") +
    text(COLUMNS.seen.x, y + 14, "Seen to work", "head"),
});

const groupBlock = ({ board, words }: Group): Block => ({
  height: 28,
  draw: (y) =>
    `<rect class="band" x="-6" y="${y + 3}" width="${INNER + 12}" height="22"/>` +
    text(0, y + 19, board, "h2") +
    text(Math.max(COLUMNS.drawing.x, board.length * 10 + 12), y + 19, words),
});

function rowBlock(row: Row): Block {
  const terminal = wrapWords(row.terminal, COLUMNS.terminal.most);
  const part = wrapWords(row.words, COLUMNS.part.most);
  const wiring = wrapWords(row.wiring, COLUMNS.wiring.most);
  const broken =
    row.broken === row.shorted
      ? wrapWords(`either: ${row.broken}`, COLUMNS.broken.most)
      : [
          ...wrapWords(`open: ${row.broken}`, COLUMNS.broken.most),
          ...wrapWords(`short: ${row.shorted}`, COLUMNS.broken.most),
        ];
  const safe = wrapWords(row.safe, COLUMNS.safe.most);
  const seen = wrapWords(row.seen, COLUMNS.seen.most);
  const most = Math.max(2, terminal.length, part.length + 1, wiring.length, broken.length, safe.length, seen.length);
  return {
    height: most * LINE + 10,
    draw: (y) => {
      const first = y + 16;
      return (
        `<g data-part="${row.key}">` +
        lines(COLUMNS.terminal.x, first, terminal, "strong") +
        `<g transform="translate(${COLUMNS.drawing.x} 0)">${SYMBOLS[row.drawing](y + 18)}</g>` +
        lines(COLUMNS.part.x, first, part, "strong") +
        text(COLUMNS.part.x, first + part.length * LINE - 1, row.key, "key") +
        lines(COLUMNS.wiring.x, first, wiring) +
        lines(COLUMNS.broken.x, first, broken) +
        lines(COLUMNS.safe.x, first, safe) +
        `<rect class="wire" x="${COLUMNS.seen.x}" y="${first - 11}" width="12" height="12"/>` +
        lines(COLUMNS.seen.x + 20, first, seen) +
        `<path class="line" d="M0 ${y + most * LINE + 7}H${INNER}"/></g>`
      );
    },
  };
}

const titleBlock = (title: string): Block => ({ height: 20, draw: (y) => text(0, y + 22, title, "h2") });

function chainBlock({ of, links }: Chain): Block {
  const all = [...links, of];
  const step = INNER / all.length;
  return {
    height: 44,
    draw: (y) =>
      `<path class="wire" d="M10 ${y + 28}H${INNER - 10}"/>` +
      all
        .map((link, index) => {
          const x = index * step;
          return (
            `<rect class="wire" style="fill:#fff" x="${x + 5}" y="${y + 13}" width="${step - 10}" height="30" rx="3"/>` +
            text(x + step / 2, y + 33, link, `mid${index === all.length - 1 ? " strong" : ""}`)
          );
        })
        .join(""),
  };
}

function budgetBlock({ budget, boxLines }: Sheet): Block {
  const limits: [number, string][] = [
    [budget.byRimL, "to the rim, return pump off"],
    [budget.byBlockedWeirL, "display, weir blocked"],
    [budget.byDilutionL, "lowers salinity by 1"],
  ];
  const words = boxLines.flatMap((line) => wrapWords(line, 66));
  const widest = Math.max(...limits.map(([value]) => value), 0.1);
  return {
    height: 34 + Math.max(limits.length * 22, words.length * LINE) + 6,
    draw: (y) =>
      text(0, y + 22, "Budget of the box: fresh water that it takes at worst", "h2") +
      limits
        .map(([value, what], index) => {
          const top = y + 32 + index * 22;
          const look = value === budget.largestReservoirL ? "least" : "bar";
          return (
            `<rect class="${look}" x="250" y="${top}" width="${Math.max(1, (value / widest) * 190)}" height="15"/>` +
            text(0, top + 13, what, look === "least" ? "strong" : "") +
            text(200, top + 13, litres(value), look === "least" ? "strong" : "")
          );
        })
        .join("") +
      lines(480, y + 44, words),
  };
}

function listBlock(title: string, sentences: readonly string[], bullet = ""): Block {
  const all = sentences.flatMap((sentence) => wrapWords(`${bullet}${sentence}`, 145));
  return {
    height: 28 + all.length * LINE,
    draw: (y) => text(0, y + 20, title, "h2") + lines(0, y + 38, all),
  };
}

const signBlock = (): Block => ({
  height: 46,
  draw: (y) =>
    text(0, y + 38, "Wired by ____________________   Mains part by licensed electrician ____________________   ") +
    text(660, y + 38, "Proven on ______________ by ______________"),
});
