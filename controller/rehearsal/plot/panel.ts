import type { Column } from "../trace.ts";
import { type Scale, scale, spanOf, ticks, trimmed } from "./scale.ts";
import { element, INK, line, short, text } from "./svg.ts";

/** A curve: the lowest and the highest of each column, drawn as one band so that no extreme is lost. */
export interface Curve {
  readonly columns: readonly Column[];
  readonly columnH: number;
  readonly low: (column: Column) => number;
  readonly high: (column: Column) => number;
  readonly colour: string;
  readonly dashed: boolean;
  /** Written beside its end; empty = nothing is. */
  readonly words: string;
}

export interface Panel {
  readonly title: string;
  readonly unit: string;
  readonly heightPx: number;
  /** Least span of the axis, so that noise does not look like a storm. */
  readonly least: number;
  readonly curves: readonly Curve[];
  /** Marks to measure against, drawn where they lie in the span. */
  readonly marks: readonly { readonly value: number; readonly words: string }[];
}

/** Where the paper's columns begin and end. */
export interface Frame {
  readonly leftPx: number;
  readonly rightPx: number;
  readonly time: Scale;
}

export function drawPanel(panel: Panel, topPx: number, frame: Frame): string {
  const bottomPx = topPx + panel.heightPx;
  const values = panel.curves.flatMap(({ columns, low, high }) => columns.flatMap((each) => [low(each), high(each)]));
  const [from, to] = spanOf([...values, ...nearMarks(panel, values)], panel.least);
  const upwards = scale(from, to, bottomPx, topPx);
  return [
    text(frame.leftPx, topPx - 7, panel.title, { "font-weight": 600 }),
    text(frame.leftPx - 8, topPx - 7, panel.unit, { "text-anchor": "end", fill: INK.quiet }),
    ...ticks(from, to, 4).map((value) => gridLine(value, upwards, frame)),
    ...panel.marks.filter(({ value }) => value >= from && value <= to).map((mark) => markLine(mark, upwards, frame)),
    ...panel.curves.map((curve) => band(curve, upwards, frame)),
    ...endWords(panel.curves, upwards, frame, bottomPx),
  ].join("\n");
}

/** The first mark is what the quantity is held to: it is always in sight. Others only where the water came near. */
const nearMarks = ({ marks }: Panel, values: readonly number[]): number[] => {
  const [low, high] = spanOf(values, 0);
  return marks
    .filter(
      ({ value }, place) => place === 0 || (value > low - (high - low) * 0.3 && value < high + (high - low) * 0.3),
    )
    .map(({ value }) => value);
};

function gridLine(value: number, upwards: Scale, { leftPx, rightPx }: Frame): string {
  const y = upwards.at(value);
  const label = text(leftPx - 8, y + 3.5, trimmed(value), { "text-anchor": "end", fill: INK.quiet });
  return line(leftPx, y, rightPx, y, { stroke: INK.grid }) + label;
}

function markLine({ value, words }: Panel["marks"][number], upwards: Scale, { leftPx, rightPx }: Frame): string {
  const y = upwards.at(value);
  const drawn = line(leftPx, y, rightPx, y, { stroke: INK.quiet, "stroke-dasharray": "2 3" });
  // Under its line where there is no room above it.
  const wordsPx = y - upwards.at(upwards.to) < 12 ? y + 11 : y - 3;
  return drawn + text(leftPx + 4, wordsPx, words, { fill: INK.quiet, "font-size": 10, class: "halo" });
}

function band({ columns, columnH, low, high, colour, dashed }: Curve, upwards: Scale, { time }: Frame): string {
  const point = (place: number, value: number) =>
    `${short(time.at(Math.min((place + 0.5) * columnH, time.to)))} ${short(upwards.at(value))}`;
  const over = columns.map((column, place) => point(place, high(column)));
  const under = columns.map((column, place) => point(place, low(column))).reverse();
  const look = dashed
    ? { fill: "none", stroke: colour, "stroke-width": 1.4, "stroke-dasharray": "5 3" }
    : { fill: colour, "fill-opacity": 0.25, stroke: colour, "stroke-width": 1.2, "stroke-linejoin": "round" };
  const outline = dashed ? over : [...over, ...under, "Z"];
  return over.length === 0 ? "" : element("path", { d: `M${outline.join("L").replace("LZ", "Z")}`, ...look });
}

const WORDS_PX = 12;

/** Names beside the ends of the curves, pushed apart where they would lie on each other, and up from what is below. */
function endWords(curves: readonly Curve[], upwards: Scale, { rightPx }: Frame, bottomPx: number): string[] {
  const ends = curves
    .flatMap(({ columns, high, low, colour, words }) => {
      const last = columns.at(-1);
      return last === undefined || words === "" ? [] : [{ y: upwards.at((high(last) + low(last)) / 2), colour, words }];
    })
    .sort((one, other) => one.y - other.y);
  let freePx = -Infinity;
  const places = ends.map(({ y }) => {
    const placed = Math.max(y, freePx);
    freePx = placed + WORDS_PX;
    return placed;
  });
  let roofPx = bottomPx;
  for (let last = places.length - 1; last >= 0; last--) {
    places[last] = Math.min(places[last] as number, roofPx);
    roofPx = (places[last] as number) - WORDS_PX;
  }
  return ends.map(({ colour, words }, place) =>
    text(rightPx + 8, (places[place] as number) + 3.5, words, { fill: colour }),
  );
}
