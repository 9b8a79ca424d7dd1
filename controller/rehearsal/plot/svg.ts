/** What a plot is drawn with. Light ground and dark ink, so that it prints; colour never says anything alone. */
export const INK = {
  paper: "#ffffff",
  text: "#1f2933",
  quiet: "#5f6b76",
  grid: "#e3e7ea",
  water: "#1f5a8c",
  bare: "#8a5a2b",
  fault: "#6b3fa0",
  hand: "#2f6f4f",
  high: "#b3261e",
  medium: "#a65e00",
  low: "#4a5560",
} as const;

type Attributes = Readonly<Record<string, string | number>>;

export function element(name: string, attributes: Attributes, content = ""): string {
  const written = Object.entries(attributes).map(([key, value]) => ` ${key}="${escaped(short(value))}"`);
  return content === "" ? `<${name}${written.join("")}/>` : `<${name}${written.join("")}>${content}</${name}>`;
}

export const text = (x: number, y: number, words: string, attributes: Attributes = {}): string =>
  element("text", { x, y, ...attributes }, escaped(words));

export const line = (x1: number, y1: number, x2: number, y2: number, attributes: Attributes): string =>
  element("line", { x1, y1, x2, y2, ...attributes });

/** A tenth of a pixel is finer than any print. */
export const short = (value: string | number): string =>
  typeof value === "number" ? String(Math.round(value * 10) / 10) : value;

const ENTITIES: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

/** XML knows neither these nor most control characters. */
export const escaped = (words: string): string =>
  words
    .replace(/[&<>"]/g, (sign) => ENTITIES[sign] as string)
    // biome-ignore lint/suspicious/noControlCharactersInRegex: a name may hold what an XML file must not.
    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, "�");
