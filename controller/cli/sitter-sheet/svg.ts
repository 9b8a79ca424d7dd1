import { drawLines, drawText, escapeXml, LETTER, LINE, STYLE } from "../wiring/drawing.ts";
import { wrapWords } from "../wrap-words.ts";
import type { SitterSheet } from "./sheet.ts";

/** In fifths of a millimetre, upright. What fits both is as narrow as A4 and as short as letter. */
export const PAPERS = {
  a4: { width: 1050, height: 1485, words: "A4" },
  letter: { width: 1079.5, height: 1397, words: "letter" },
} as const;
export type Paper = keyof typeof PAPERS;

const MARGIN = 56;
const INNER = 1050 - 2 * MARGIN;
const MOST_LETTERS = Math.floor(INNER / LETTER);
/** Left edge of what to do, beside the name of the alarm. */
const ACTION_X = 350;
const HALF_X = 480;
const TITLE = 34;
const DIARY_LINE = 29;

/** One page, black on white; `used` says how far down it reaches. */
export function drawSheet(sheet: SitterSheet, paper: Paper): { readonly svg: string; readonly used: number } {
  const { width, height, words } = PAPERS[paper];
  const drawn: string[] = [];
  let y = MARGIN + 30;
  const put = (text: string, tall: number) => {
    drawn.push(text);
    y += tall;
  };
  const title = (text: string) => put(drawText(0, y + 24, text, "h2"), TITLE);
  const lines = (sentences: readonly string[], look = "") => {
    const all = sentences.flatMap((sentence) => wrapWords(sentence, MOST_LETTERS));
    put(drawLines(0, y + 15, all, look), all.length * LINE + 2);
  };
  put(drawText(0, y, `Looking after ${sheet.tank}`, "h1"), 10);
  lines(sheet.cautions, "strong");
  title("How the box is");
  for (const line of sheet.state) put(drawRow(y, line), LINE);
  title("Whom to call");
  sheet.call.forEach((line, index) => {
    drawn.push(drawText(index % 2 === 0 ? 0 : HALF_X, y + 22, line));
    if (index % 2 === 1 || index === sheet.call.length - 1) y += 30;
  });
  title("Refilling");
  lines(sheet.refill);
  title("When it says this, do that first, then call");
  for (const [name, action] of sheet.alarms) {
    const names = wrapWords(name, Math.floor((ACTION_X - 40) / (LETTER + 0.6)));
    const actions = wrapWords(action, Math.floor((INNER - ACTION_X) / LETTER));
    const tall = Math.max(names.length, actions.length) * LINE + 5;
    const row = `<rect class="wire" x="0" y="${y + 3}" width="13" height="13"/>${drawLines(22, y + 15, names, "strong")}`;
    put(`${row}${drawLines(ACTION_X, y + 15, actions)}<path class="line" d="M0 ${y + tall - 3}H${INNER}"/>`, tall);
  }
  title("Otherwise");
  lines(sheet.leave);
  // What is left of the page is for the sitter's own words.
  const room = Math.floor((height - MARGIN - y - TITLE) / DIARY_LINE);
  if (room > 0) title("What was done");
  for (const line of sheet.diary.slice(0, Math.max(0, room))) put(drawText(0, y + 20, line), DIARY_LINE);
  return {
    used: y + MARGIN,
    svg: [
      `<svg xmlns="http://www.w3.org/2000/svg" width="${width / 5}mm" height="${height / 5}mm" viewBox="0 0 ${width} ${height}">`,
      `<title>${escapeXml(`Looking after ${sheet.tank}`)}</title><style>@page { size: ${words}; margin: 0 }${STYLE}</style>`,
      `<rect class="paper" width="${width}" height="${height}"/><g transform="translate(${(width - INNER) / 2} 0)">`,
      ...drawn,
      "</g></svg>",
      "",
    ].join("\n"),
  };
}

/** Columns of a table, which blanks cannot keep even in letters of uneven width. */
function drawRow(y: number, line: string): string {
  const cells = line.split(/ {2,}/);
  return cells.length === 1
    ? drawText(0, y + 15, line)
    : cells.map((cell, index) => drawText(COLUMNS[index] ?? 0, y + 15, cell)).join("");
}

const COLUMNS = [0, 130, 290];
