import type { Settings } from "../../../shared/settings/index.ts";
import type { Column, Trace } from "../trace.ts";
import type { Curve, Panel } from "./panel.ts";
import { INK } from "./svg.ts";

/** What is drawn of the water; over it, dashed, the same tank with the bare parts. */
export function panelsOf(trace: Trace, bare: Trace | null, settings: Settings): Panel[] {
  const both = (low: Curve["low"], high: Curve["high"], words: string): Curve[] => [
    ...(bare === null ? [] : [curve(bare, low, high, INK.bare, true, "bare parts")]),
    curve(trace, low, high, INK.water, false, words),
  ];
  const { tank, targets, heat } = settings;
  return [
    {
      title: "Temperature",
      unit: "°C",
      heightPx: 120,
      least: 1,
      curves: both(lowest("temperatureMinC"), lowest("temperatureMaxC"), "water"),
      marks: [
        { value: targets.temperatureC, words: `setpoint ${targets.temperatureC} °C` },
        { value: heat.cutOutC, words: `cut-out ${heat.cutOutC} °C` },
      ],
    },
    {
      title: "Salinity",
      unit: "",
      heightPx: 110,
      least: 0.4,
      curves: both(lowest("salinityMin"), lowest("salinityMax"), "water"),
      marks: [{ value: targets.salinity, words: `target ${targets.salinity}` }],
    },
    {
      title: "Level in the last chamber",
      unit: "mm",
      heightPx: 120,
      least: 30,
      curves: both(lowest("levelMinMm"), lowest("levelMaxMm"), "water"),
      marks: [
        { value: 0, words: "working mark" },
        { value: tank.highFloatMm, words: "high float" },
        { value: tank.lowFloatMm, words: "low float" },
      ],
    },
    litresPanel(trace, bare),
  ];
}

function litresPanel(trace: Trace, bare: Trace | null): Panel {
  const of = (from: Trace, key: keyof Column, colour: string, dashed: boolean, words: string) =>
    curve(from, lowest(key), lowest(key), colour, dashed, words);
  const spilled = (from: Trace | null) => (from?.columns.at(-1)?.spilledL ?? 0) > 0;
  return {
    title: "Litres since the start",
    unit: "L",
    heightPx: 100,
    least: 0.5,
    curves: [
      ...(bare === null ? [] : [of(bare, "pouredL", INK.bare, true, "poured, bare parts")]),
      ...(bare !== null && spilled(bare) ? [of(bare, "spilledL", INK.bare, true, "on the floor, bare parts")] : []),
      of(trace, "evaporatedL", INK.quiet, false, "evaporated"),
      of(trace, "pouredL", INK.water, false, "poured"),
      ...(spilled(trace) ? [of(trace, "spilledL", INK.high, false, "on the floor")] : []),
    ],
    marks: [],
  };
}

const lowest =
  (key: keyof Column): Curve["low"] =>
  (column) =>
    column[key];

const curve = (
  { columns, columnH }: Trace,
  low: Curve["low"],
  high: Curve["high"],
  colour: string,
  dashed: boolean,
  words: string,
): Curve => ({ columns, columnH, low, high, colour, dashed, words });
