import type { Column, Trace } from "../trace.ts";
import type { Frame } from "./panel.ts";
import { element, INK, text } from "./svg.ts";

/** When a part was on: the darker, the longer in that column. A single pour is still to be seen. */
export interface Strip {
  readonly words: string;
  readonly colour: string;
  readonly trace: Trace;
  readonly share: (column: Column) => number;
}

export const STRIP_PX = 18;

export const stripsOf = (trace: Trace, bare: Trace | null): Strip[] => [
  { words: "heater on", colour: INK.water, trace, share: (column) => column.heaterShare },
  { words: "water pumped", colour: INK.water, trace, share: (column) => column.pumpShare },
  ...(bare === null
    ? []
    : [
        { words: "bare heater on", colour: INK.bare, trace: bare, share: (column: Column) => column.heaterShare },
        { words: "bare pump on", colour: INK.bare, trace: bare, share: (column: Column) => column.pumpShare },
      ]),
];

export function drawStrip(strip: Strip, topPx: number, { leftPx, rightPx, time }: Frame): string {
  const { words, colour, trace } = strip;
  const box = { y: topPx, height: STRIP_PX - 6 };
  const ground = element("rect", { ...box, x: leftPx, width: rightPx - leftPx, fill: INK.grid, opacity: 0.6 });
  const runs = runsOf(strip).map(({ from, until, opacity }) => {
    const x = time.at(from * trace.columnH);
    const width = Math.max(1, time.at(Math.min(until * trace.columnH, time.to)) - x);
    return element("rect", { ...box, x, width, fill: colour, "fill-opacity": opacity });
  });
  return [ground, ...runs, text(rightPx + 8, topPx + box.height - 2, words, { fill: colour })].join("");
}

interface Run {
  readonly from: number;
  until: number;
  readonly opacity: string;
}

/** Neighbours that look the same are one piece, so that no seam shows between them. */
function runsOf({ trace, share }: Strip): Run[] {
  const runs: Run[] = [];
  for (const [place, column] of trace.columns.entries()) {
    const on = share(column);
    if (on === 0) continue;
    const opacity = (0.25 + 0.75 * on).toFixed(1);
    const last = runs.at(-1);
    if (last !== undefined && last.until === place && last.opacity === opacity) last.until = place + 1;
    else runs.push({ from: place, until: place + 1, opacity });
  }
  return runs;
}
