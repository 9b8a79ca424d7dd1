import type { Settings } from "../../../shared/settings/index.ts";
import type { Report } from "../report.ts";
import type { Scenario } from "../scenario.ts";
import type { Trace } from "../trace.ts";
import { type Block, blockHeightPx, blocksOf, drawBlock } from "./happenings.ts";
import { drawPanel, type Frame } from "./panel.ts";
import { panelsOf } from "./panels.ts";
import { hourTicks, hourWords, scale } from "./scale.ts";
import { drawStrip, STRIP_PX, stripsOf } from "./strips.ts";
import { element, INK, line, text } from "./svg.ts";

export interface Plotted {
  readonly report: Report;
  readonly scenario: Scenario;
  readonly settings: Settings;
  readonly trace: Trace;
  /** The same tank with the bare parts, where it was asked for. */
  readonly bare: Trace | null;
}

const WIDTH_PX = 1000;
const LEFT_PX = 64;
const RIGHT_PX = 830;
const HEADER_PX = 96;
const PANEL_GAP_PX = 34;

/** A run as a picture: the truth of the water above, what was on below it, and under the clock all that happened. */
export function plotOf(plotted: Plotted): string {
  const { report, scenario } = plotted;
  const frame = { leftPx: LEFT_PX, rightPx: RIGHT_PX, time: scale(0, report.hours, LEFT_PX, RIGHT_PX) };
  const body: string[] = [];
  let topPx = HEADER_PX;
  for (const panel of panelsOf(plotted.trace, plotted.bare, plotted.settings)) {
    body.push(drawPanel(panel, topPx, frame));
    topPx += panel.heightPx + PANEL_GAP_PX;
  }
  topPx -= PANEL_GAP_PX / 2;
  for (const strip of stripsOf(plotted.trace, plotted.bare)) {
    body.push(drawStrip(strip, topPx, frame));
    topPx += STRIP_PX;
  }
  const panelsEndPx = topPx + 2;
  const blocks = blocksOf(report, scenario);
  const guides = guideLines(scenario, panelsEndPx, frame);
  const axis = drawAxis(report.hours, panelsEndPx, frame);
  topPx = panelsEndPx + 34;
  for (const block of blocks) {
    body.push(drawBlock(block, topPx, frame));
    topPx += blockHeightPx(block);
  }
  return page([...heading(plotted), guides, axis, ...body, footer(topPx + 16, blocks)].join("\n"), topPx + 30);
}

const HALO = `.halo{paint-order:stroke;stroke:${INK.paper};stroke-width:3px;stroke-linejoin:round}`;

function page(body: string, heightPx: number): string {
  const ground = element("rect", { width: WIDTH_PX, height: heightPx, fill: INK.paper });
  const attributes = {
    xmlns: "http://www.w3.org/2000/svg",
    viewBox: `0 0 ${WIDTH_PX} ${Math.ceil(heightPx)}`,
    width: WIDTH_PX,
    height: Math.ceil(heightPx),
    role: "img",
    "font-family": "system-ui, 'Segoe UI', Helvetica, Arial, sans-serif",
    "font-size": 11,
    fill: INK.text,
  };
  return `${element("svg", attributes, `\n<style>${HALO}</style>\n${ground}\n${body}\n`)}\n`;
}

function heading({ report, bare }: Plotted): string[] {
  const { truth } = report;
  const floor = truth.spilledL > 0 ? `${truth.spilledL.toFixed(2)} L on the floor` : "no water on the floor";
  const facts = [
    floor,
    `salinity ${truth.salinityMin.toFixed(2)} to ${truth.salinityMax.toFixed(2)}`,
    `${truth.temperatureMinC.toFixed(1)} to ${truth.temperatureMaxC.toFixed(1)} °C`,
    `${truth.pouredL.toFixed(2)} L poured`,
  ];
  const beside = bare === null ? "" : " Dashed brown: the same tank with a bare float, relay and thermostat.";
  return [
    element("title", {}, "Rehearsal on a simulated tank"),
    text(LEFT_PX, 32, report.name, { "font-size": 20, "font-weight": 600 }),
    text(
      LEFT_PX,
      52,
      `${hoursWords(report.hours)} on the simulated tank, seed ${report.seed}: ${facts.join(", ")}.`,
      {},
    ),
    text(LEFT_PX, 68, `Blue: the truth of the water, not what anybody believed.${beside}`, { fill: INK.quiet }),
  ];
}

const hoursWords = (hours: number): string => `${Math.round(hours * 100) / 100} ${hours === 1 ? "hour" : "hours"}`;

function drawAxis(hours: number, topPx: number, { leftPx, rightPx, time }: Frame): string {
  const marks = hourTicks(hours).map((value) => {
    const x = time.at(value);
    const label = text(x, topPx + 17, hourWords(value, hours), { "text-anchor": "middle", fill: INK.quiet });
    return line(x, topPx, x, topPx + 5, { stroke: INK.quiet }) + label;
  });
  const words = text(rightPx + 34, topPx + 17, "since midnight", { fill: INK.quiet });
  return line(leftPx, topPx, rightPx, topPx, { stroke: INK.quiet }) + marks.join("") + words;
}

/** A thin line through all panels where something breaks, as far as they can still be told apart. */
function guideLines({ faults }: Scenario, bottomPx: number, { time }: Frame): string {
  const times = [...new Set(faults.map(({ atH }) => atH))].slice(0, 12);
  return times
    .map((atH) =>
      line(time.at(atH), HEADER_PX - 4, time.at(atH), bottomPx, {
        stroke: INK.fault,
        "stroke-opacity": 0.5,
        "stroke-width": 1,
      }),
    )
    .join("");
}

const footer = (yPx: number, blocks: readonly Block[]): string =>
  text(
    LEFT_PX,
    yPx,
    `${blocks.length === 0 ? "Nothing broke, nothing was stopped, nobody was called. " : ""}Simulated water: it shows how the program decides, not that your own box is safe.`,
    { fill: INK.quiet },
  );
