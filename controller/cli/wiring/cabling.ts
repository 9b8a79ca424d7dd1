import { wrapWords } from "../wrap-words.ts";
import { drawLines, drawSwitch, drawText, INNER, LETTER, LINE } from "./drawing.ts";
import type { Block } from "./pages.ts";
import type { Row } from "./row.ts";
import type { Group } from "./sheet.ts";

/** Where a wire of each part goes, as a picture: one for each board, bus or line. */
export const cablingBlocks = (groups: readonly Group[]): Block[] =>
  groups
    .filter(({ rows, sensors }) => rows.length + sensors.length > 0)
    .map((group) => (group.isPinned ? boardBlock(group) : lineBlock(group)));

type Placed = Pick<Row, "words" | "terminal" | "drawing">;

const ROW = 52;
const PART = { width: 300, height: 44 } as const;
const BOARD = { left: 420, right: 560 } as const;
const GROUND_X = 372;
const RIGHT = INNER - PART.width;
const HEAD = 84;
const MOST_LETTERS = Math.floor((PART.width - 66) / LETTER);

/** An input board: contacts and voltages from the left, coils to the right, the computer above. */
function boardBlock({ board, words, rows, sensors }: Group): Block {
  const inputs = [...rows.filter(({ drawing }) => !isSwitch(drawing)), ...sensors];
  const outputs = rows.filter(({ drawing }) => isSwitch(drawing));
  const lines = Math.max(inputs.length, outputs.length, 1);
  const height = HEAD + lines * ROW + 46;
  return {
    height: height + 18,
    draw(y) {
      const first = y + HEAD + ROW / 2;
      const bottom = first + lines * ROW - ROW / 2;
      const ground =
        inputs.length === 0
          ? ""
          : `<path class="ground" d="M${GROUND_X} ${first + 9}V${bottom + 18}H${BOARD.left}"/>` +
            drawText(BOARD.left + 8, bottom + 24, "GND", "strong");
      return [
        drawUsb(y, board, words),
        `<rect class="board" x="${BOARD.left}" y="${y + HEAD - 6}" width="${BOARD.right - BOARD.left}" height="${lines * ROW + 48}" rx="8"/>`,
        ...inputs.map((row, index) => drawInput(row, first + index * ROW)),
        ...outputs.map((row, index) => drawOutput(row, first + index * ROW)),
        ground,
      ].join("");
    },
  };
}

const isSwitch = (drawing: Row["drawing"]): boolean => drawing === "relay" || drawing === "guard";

function drawUsb(y: number, board: string, words: string): string {
  const middle = (BOARD.left + BOARD.right) / 2;
  return (
    `<rect class="part" x="${BOARD.left}" y="${y + 6}" width="${BOARD.right - BOARD.left}" height="36" rx="6"/>` +
    drawText(middle, y + 30, "computer", "mid") +
    `<path class="wire" d="M${middle} ${y + 42}v${HEAD - 48}"/>` +
    drawText(BOARD.right + 16, y + 24, `${board}, by USB`, "strong") +
    drawLines(BOARD.right + 16, y + 46, wrapWords(words, Math.floor((INNER - BOARD.right - 16) / LETTER)))
  );
}

/** A contact or a sensor between its pin and ground. */
function drawInput(row: Placed, y: number): string {
  const right = PART.width;
  const contact =
    row.drawing === "probe"
      ? `<path class="wire" d="M${right - 52} ${y - 9}l6 -6 8 12 8 -12 8 12 8 -12 6 6"/>`
      : `${drawSwitch(right - 54, y - 9, row.drawing === "closed-contact")}<path class="ground" d="M${right - 54} ${y - 9}V${y + 9}H${right}"/>`;
  return (
    drawPart(0, y, row) +
    contact +
    `<path class="wire" d="M${right} ${y - 9}H${BOARD.left}"/>` +
    `<path class="ground" d="M${right} ${y + 9}H${GROUND_X}"/><circle class="solid" cx="${GROUND_X}" cy="${y + 9}" r="3"/>` +
    drawText(BOARD.left + 8, y - 3, row.terminal.replace(/^pin /, ""), "strong")
  );
}

/** A coil behind its driver: by a level, or by a pulse. */
function drawOutput(row: Row, y: number): string {
  const pulse =
    row.drawing === "guard" ? `<path class="wire" d="M${BOARD.right + 30} ${y - 14}h6v-10h10v10h10v-10h10v10h6"/>` : "";
  return (
    `<path class="wire" d="M${BOARD.right} ${y - 6}H${RIGHT}"/>${pulse}` +
    drawText(BOARD.right - 8, y, row.terminal.replace(/^pin /, ""), "strong end") +
    drawPart(RIGHT, y, row) +
    `<path class="wire" d="M${RIGHT + PART.width - 42} ${y - 12}h28v24h-28zM${RIGHT + PART.width - 42} ${y + 12}l28 -24"/>`
  );
}

function drawPart(x: number, y: number, { words, drawing }: Placed): string {
  const kind = { relay: "relay: ", guard: "pulse: " }[drawing as "relay"] ?? "";
  return (
    `<rect class="part" x="${x}" y="${y - PART.height / 2}" width="${PART.width}" height="${PART.height}" rx="6"/>` +
    drawText(x + 12, y + 6, `${kind}${words}`.slice(0, MOST_LETTERS))
  );
}

/** A bus or a line from the computer, with every device that hangs on it. */
function lineBlock({ board, words, rows, wires }: Group): Block {
  const most = Math.floor((PART.width - 24) / LETTER);
  const computer = [...wrapWords(`${board}: ${words}`, most), ...wrapWords(wires, most)];
  const height = Math.max(20 + rows.length * ROW, computer.length * LINE + 52);
  const left = PART.width + 110;
  return {
    height: height + 18,
    draw(y) {
      const first = y + 14 + ROW / 2;
      const last = first + (rows.length - 1) * ROW;

      return [
        `<rect class="part" x="0" y="${y + 8}" width="${PART.width}" height="${computer.length * LINE + 40}" rx="6"/>`,
        drawText(12, y + 32, "computer", "strong"),
        drawLines(12, y + 32 + LINE, computer),
        `<path class="wire" d="M${PART.width} ${first}H${left - 60}V${last}"/>`,
        ...rows.map((row, index) => drawDevice(row, left, first + index * ROW)),
      ].join("");
    },
  };
}

const drawDevice = (row: Row, left: number, y: number): string =>
  `<path class="wire" d="M${left - 60} ${y}H${left}"/><circle class="solid" cx="${left - 60}" cy="${y}" r="3"/>` +
  `<rect class="part" x="${left}" y="${y - 22}" width="${INNER - left}" height="44" rx="6"/>` +
  drawText(left + 12, y + 6, row.words, "strong") +
  drawText(INNER - 12, y + 6, row.terminal, "end");
