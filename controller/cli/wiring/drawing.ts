import type { Row } from "./row.ts";

/** Text as it may stand in XML; characters that XML forbids become a question mark. */
export const escapeXml = (text: string): string =>
  Array.from(text, (character) => (mayStandInXml(character) ? (ENTITIES[character] ?? character) : "?")).join("");

const ENTITIES: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

function mayStandInXml(character: string): boolean {
  const code = character.codePointAt(0) as number;
  if (code < 0x20) return code === 0x09 || code === 0x0a || code === 0x0d;
  return (code < 0xd800 || code > 0xdfff) && code !== 0xfffe && code !== 0xffff;
}

/** A4 upright in fifths of a millimetre. */
export const PAGE = { width: 1050, height: 1485, margin: 48 } as const;
export const INNER = PAGE.width - 2 * PAGE.margin;
export const LINE = 21;
/** A letter of the running text is this wide on average, in Liberation Sans or its like. */
export const LETTER = 8.7;

/**
 * Look of the sheet: black on white, for a printer; what must be seen is thick, never only coloured. It hangs in a cabinet
 * and is read at arm's length: no letter is smaller than 16 fifths of a millimetre, which are 9 points.
 */
export const STYLE = `
text { font: 17px "Liberation Sans", Helvetica, Arial, sans-serif; fill: #111 }
.h1 { font-size: 32px; font-weight: 700 } .h2 { font-size: 22px; font-weight: 700 } .key { font-size: 16px; fill: #444 }
.strong { font-weight: 700 } .mid { text-anchor: middle } .end { text-anchor: end }
.wire { fill: none; stroke: #111; stroke-width: 2; stroke-linecap: round; stroke-linejoin: round }
.ground { fill: none; stroke: #111; stroke-width: 1.4; stroke-dasharray: 2 5; stroke-linecap: round }
.link { fill: none; stroke: #111; stroke-width: 1.2; stroke-dasharray: 4 4 } .solid { fill: #111 } .paper { fill: #fff }
.part { fill: #fff; stroke: #111; stroke-width: 1.6 } .board { fill: #e9ecee; stroke: #111; stroke-width: 2.4 }
.band { fill: #e9ecee } .line { stroke: #b9c0c5; stroke-width: 1 } .frame { fill: none; stroke: #111; stroke-width: 2.4 }
.bar { fill: #c9d4da } .least { fill: #5d7480 }`;

export const drawText = (x: number, y: number, words: string, look = ""): string =>
  `<text x="${x}" y="${y}"${look && ` class="${look}"`}>${escapeXml(words)}</text>`;

export const drawLines = (x: number, y: number, all: readonly string[], look = ""): string =>
  all.map((line, index) => drawText(x, y + index * LINE, line, look)).join("");

type Symbol = (y: number) => string;

/** Each is drawn from x = 0 to 96 along the middle of its row. */
export const SYMBOLS: Readonly<Record<Row["drawing"], Symbol>> = {
  "closed-contact": (y) => drawContact(y, true),
  "open-contact": (y) => drawContact(y, false),
  probe: (y) =>
    `<path class="wire" d="M0 ${y}H44M44 ${y - 7}h34a7 7 0 0 1 0 14h-34z"/><circle class="solid" cx="76" cy="${y}" r="2.8"/>`,
  relay: (y) => drawCoil(y) + drawContact(y, false, 34),
  guard: (y) => `${drawCoil(y)}${drawContact(y, false, 34)}<path class="wire" d="M2 ${y + 22}h3v-7h5v7h5v-7h5v7h4"/>`,
};

/** Drawn as it hangs: dry, without power. */
function drawContact(y: number, closed: boolean, from = 0): string {
  const lever = closed
    ? `M${from + 22} ${y}L${from + 50} ${y - 2}M${from + 46} ${y - 9}V${y}`
    : `M${from + 22} ${y}L${from + 45} ${y - 13}`;
  const end = from === 0 ? drawGround(74, y) : `M84 ${y}h12`;
  return (
    `<path class="wire" d="M${from} ${y}H${from + 22}${lever}M${from + 46} ${y}H${from === 0 ? 74 : 84}${end}"/>` +
    `<circle class="solid" cx="${from + 22}" cy="${y}" r="3"/><circle class="solid" cx="${from + 46}" cy="${y}" r="3"/>`
  );
}

/** Only the contact itself, from x to x + 46, as it stands in the picture of the cabling. */
export function drawSwitch(x: number, y: number, closed: boolean): string {
  const lever = closed
    ? `M${x + 8} ${y}L${x + 38} ${y - 2}M${x + 34} ${y - 9}V${y}`
    : `M${x + 8} ${y}L${x + 32} ${y - 13}`;
  return (
    `<path class="wire" d="M${x} ${y}h8M${x + 34} ${y}h12${lever}"/>` +
    `<circle class="solid" cx="${x + 8}" cy="${y}" r="3"/><circle class="solid" cx="${x + 34}" cy="${y}" r="3"/>`
  );
}

const drawCoil = (y: number): string =>
  `<path class="wire" d="M2 ${y - 8}h22v16h-22zM2 ${y + 8}L24 ${y - 8}"/><path class="link" d="M24 ${y - 5}H67"/>`;

export const drawGround = (x: number, y: number): string =>
  `V${y + 8}M${x - 8} ${y + 8}h16M${x - 5} ${y + 12}h10M${x - 2} ${y + 16}h4`;
