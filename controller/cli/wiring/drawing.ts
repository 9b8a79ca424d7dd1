import type { Row } from "./sheet.ts";

/** Text as it may stand in XML; characters that XML forbids become a question mark. */
export const escaped = (text: string): string =>
  Array.from(text, (character) => (mayStandInXml(character) ? (ENTITIES[character] ?? character) : "?")).join("");

const ENTITIES: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

function mayStandInXml(character: string): boolean {
  const code = character.codePointAt(0) as number;
  if (code < 0x20) return code === 0x09 || code === 0x0a || code === 0x0d;
  return (code < 0xd800 || code > 0xdfff) && code !== 0xfffe && code !== 0xffff;
}

/** Look of the sheet: black on white, for a printer; what must be seen is thick, never only coloured. */
export const STYLE = `
text { font: 13px "Liberation Sans", Helvetica, Arial, sans-serif; fill: #111 }
.h1 { font-size: 30px; font-weight: 700 } .h2 { font-size: 16px; font-weight: 700 } .key { font-size: 11px; fill: #555 }
.head { font-size: 11px; font-weight: 700; fill: #444 } .strong { font-weight: 700 } .mid { text-anchor: middle }
.wire { fill: none; stroke: #111; stroke-width: 1.6; stroke-linecap: round; stroke-linejoin: round }
.link { stroke: #111; stroke-width: 1; stroke-dasharray: 3 3 } .solid { fill: #111 } .paper { fill: #fff } .band { fill: #e9ecee } .line { stroke: #b9c0c5; stroke-width: 1 }
.frame { fill: none; stroke: #111; stroke-width: 2.4 } .bar { fill: #c9d4da } .least { fill: #5d7480 }`;

type Symbol = (y: number) => string;

/** Each is drawn from x = 0 to 96 along the middle of its row. */
export const SYMBOLS: Readonly<Record<Row["drawing"], Symbol>> = {
  "closed-contact": (y) => contact(y, true),
  "open-contact": (y) => contact(y, false),
  probe: (y) =>
    `<path class="wire" d="M0 ${y}H44M44 ${y - 6}h34a6 6 0 0 1 0 12h-34z"/><circle class="solid" cx="76" cy="${y}" r="2.4"/>`,
  relay: (y) => coil(y) + contact(y, false, 34),
  guard: (y) => `${coil(y)}${contact(y, false, 34)}<path class="wire" d="M2 ${y + 20}h3v-7h5v7h5v-7h5v7h4"/>`,
};

/** Drawn as it hangs: dry, without power. */
function contact(y: number, closed: boolean, from = 0): string {
  const lever = closed
    ? `M${from + 22} ${y}L${from + 50} ${y - 2}M${from + 46} ${y - 8}V${y}`
    : `M${from + 22} ${y}L${from + 45} ${y - 12}`;
  const end = from === 0 ? ground(74, y) : `M84 ${y}h12`;
  return (
    `<path class="wire" d="M${from} ${y}H${from + 22}${lever}M${from + 46} ${y}H${from === 0 ? 74 : 84}${end}"/>` +
    `<circle class="solid" cx="${from + 22}" cy="${y}" r="2.6"/><circle class="solid" cx="${from + 46}" cy="${y}" r="2.6"/>`
  );
}

const coil = (y: number): string =>
  `<path class="wire" d="M2 ${y - 8}h22v16h-22zM2 ${y + 8}L24 ${y - 8}"/><path class="link" d="M24 ${y - 5}H67"/>`;

const ground = (x: number, y: number): string =>
  `V${y + 8}M${x - 8} ${y + 8}h16M${x - 5} ${y + 12}h10M${x - 2} ${y + 16}h4`;
