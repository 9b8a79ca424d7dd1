import uPlot from "uplot";
import type { TrendColumns } from "../columns/columns.ts";

/** The only file that knows the chart library. It draws; it does not compute. */
export interface Chart {
  show(columns: TrendColumns, fromMs: number, toMs: number): void;
  close(): void;
}

export function drawChart(place: HTMLElement, band: readonly [number, number]): Chart {
  let spanS: readonly [number, number] = [0, 1];
  const chart = new uPlot(
    optionsFor(place, band, () => spanS),
    [[], [], [], []],
    place,
  );
  const resized = new ResizeObserver(() => chart.setSize({ width: widthOf(place), height: HEIGHT_PX }));
  resized.observe(place);
  // Colours come from the style sheet; a canvas must be told when they change.
  const scheme = matchMedia("(prefers-color-scheme: dark)");
  const repaint = (): void => chart.redraw(false, true);
  scheme.addEventListener("change", repaint);
  return {
    show(columns, fromMs, toMs) {
      spanS = [fromMs / 1000, toMs / 1000];
      chart.setData([[...columns.atS], [...columns.min], [...columns.max], [...columns.last]]);
      place.dataset.points = String(columns.last.filter((value) => value !== null).length);
    },
    close() {
      resized.disconnect();
      scheme.removeEventListener("change", repaint);
      chart.destroy();
    },
  };
}

const HEIGHT_PX = 170;
/** Half of what is always in view, as a share of the band. */
const LEAST_SHARE = 0.2;
const widthOf = (place: HTMLElement): number => Math.max(200, Math.floor(place.clientWidth));
const colour = (place: HTMLElement, name: string): string => getComputedStyle(place).getPropertyValue(name).trim();

function optionsFor(
  place: HTMLElement,
  band: readonly [number, number],
  spanS: () => readonly [number, number],
): uPlot.Options {
  const axis: uPlot.Axis = {
    stroke: () => colour(place, "--ink-soft"),
    grid: { stroke: () => colour(place, "--line-faint"), width: 1 },
    ticks: { show: false },
    font: "12px system-ui, sans-serif",
  };
  const edge: uPlot.Series = { stroke: "transparent", width: 0, points: { show: false } };
  return {
    width: widthOf(place),
    height: HEIGHT_PX,
    padding: [8, 22, 0, 0],
    legend: { show: false },
    cursor: { show: false },
    scales: {
      x: { range: () => [...spanS()] },
      // At least the middle of the band stays in view: a line alone would look dramatic whatever it did.
      y: {
        range: (_chart, low, high) => {
          const width = band[1] - band[0];
          const middle = (band[0] + band[1]) / 2;
          const least = [middle - LEAST_SHARE * width, middle + LEAST_SHARE * width] as const;
          return [Math.min(low ?? middle, least[0]) - 0.05 * width, Math.max(high ?? middle, least[1]) + 0.05 * width];
        },
      },
    },
    axes: [
      { ...axis, space: 60, values: "{HH}:{mm}", size: 28 },
      {
        ...axis,
        size: 44,
        // Steps that one decimal can say.
        incrs: [0.1, 0.2, 0.5, 1, 2, 5, 10, 20],
        values: (_chart, marks) => marks.map((mark) => mark.toFixed(1)),
      },
    ],
    series: [
      {},
      edge,
      edge,
      { stroke: () => colour(place, "--ink"), width: 1.5, points: { show: false }, spanGaps: false },
    ],
    bands: [{ series: [2, 1], fill: () => colour(place, "--spread") }],
    hooks: { drawClear: [(chart) => shadeBand(chart, band, colour(place, "--aim"), colour(place, "--aim-edge"))] },
  };
}

function shadeBand(chart: uPlot, band: readonly [number, number], fill: string, edge: string): void {
  const { ctx } = chart;
  const { left, top, width, height } = chart.bbox;
  const low = chart.valToPos(band[0], "y", true);
  const high = chart.valToPos(band[1], "y", true);
  if (!Number.isFinite(low) || !Number.isFinite(high)) return;
  ctx.save();
  ctx.fillStyle = fill;
  ctx.beginPath();
  ctx.rect(left, top, width, height);
  ctx.clip();
  ctx.fillRect(left, high, width, low - high);
  ctx.strokeStyle = edge;
  ctx.setLineDash([4, 4]);
  for (const y of [low, high]) {
    ctx.beginPath();
    ctx.moveTo(left, Math.round(y) + 0.5);
    ctx.lineTo(left + width, Math.round(y) + 0.5);
    ctx.stroke();
  }
  ctx.restore();
}
