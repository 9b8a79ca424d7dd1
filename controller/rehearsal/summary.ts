import { capital, PART_WORDS, REASONS } from "../../shared/contract/index.ts";
import type { Report } from "./report.ts";

/** A report in plain sentences, one a line, for somebody who has never seen one. */
export function summaryOf(report: Report): string {
  return [
    `${report.name}: ${hours(report.hours)} on the simulated tank, seed ${report.seed}, ${report.scans} scans.`,
    ...waterSentences(report),
    ...heatSentences(report),
    ...bareSentences(report),
    ...section("Trips", report.trips.map(tripSentence), "Nothing tripped."),
    ...section("Alarms", report.alarms.map(alarmSentence), "No alarm was raised."),
    ...section("Invariants broken", report.violations.map(violationSentence), "No safety invariant was broken."),
    "This is a simulation with invented water: it shows how the program decides, not that your own box is safe.",
  ].join("\n");
}

const figure = (value: number, digits: number): string => value.toFixed(digits);
const hours = (value: number): string => (value === 1 ? "1 hour" : `${value} hours`);
const span = (atH: number, clearedAtH: number | null): string =>
  clearedAtH === null ? `since ${figure(atH, 2)} h` : `from ${figure(atH, 2)} h to ${figure(clearedAtH, 2)} h`;

function waterSentences({ truth, throttledH }: Report): string[] {
  const spilled = truth.spilledL > 0 ? `${figure(truth.spilledL, 2)} L went onto the floor.` : "No water was spilled.";
  const leaked = truth.leakedL > 0 ? [`${figure(truth.leakedL, 2)} L leaked away.`] : [];
  const throttled =
    throttledH > 0 ? [`For ${figure(throttledH, 2)} h top-off was throttled: litres kept it from pouring.`] : [];
  const dry = truth.pumpDryS > 0 ? [`The top-off pump ran dry for ${figure(truth.pumpDryS, 0)} s.`] : [];
  return [
    spilled,
    ...leaked,
    `${figure(truth.evaporatedL, 2)} L evaporated and ${figure(truth.pouredL, 2)} L were poured.`,
    `The last chamber stood at most ${figure(truth.peakLevelMm, 0)} mm above its mark.`,
    `Salinity stayed between ${figure(truth.salinityMin, 2)} and ${figure(truth.salinityMax, 2)}.`,
    ...dry,
    ...throttled,
  ];
}

function heatSentences({ truth }: Report): string[] {
  const dry = truth.heaterDryS > 0 ? [`The heater was on out of the water for ${figure(truth.heaterDryS, 0)} s.`] : [];
  return [
    `Temperature stayed between ${figure(truth.temperatureMinC, 2)} and ${figure(truth.temperatureMaxC, 2)} °C; the heater was on for ${figure(truth.heaterOnH, 2)} h.`,
    ...dry,
  ];
}

/** The same tank with the bare parts, in the same words. */
function bareSentences({ bare }: Report): string[] {
  if (bare === undefined) return [];
  const { truth } = bare;
  const floor = truth.spilledL > 0 ? `${figure(truth.spilledL, 2)} L on the floor` : "no water on the floor";
  const dry = truth.pumpDryS > 0 ? `, and the pump dry for ${figure(truth.pumpDryS, 0)} s` : "";
  return [
    "With a bare float, relay and thermostat the same tank would have come to:",
    `  ${floor}, ${figure(truth.pouredL, 2)} L poured, salinity between ${figure(truth.salinityMin, 2)} and ${figure(truth.salinityMax, 2)}, ${figure(truth.temperatureMinC, 2)} to ${figure(truth.temperatureMaxC, 2)} °C${dry}. Nobody would have been told.`,
  ];
}

/** A long list is cut: the report has it whole. */
const LINES_MOST = 12;

function section(title: string, lines: readonly string[], otherwise: string): string[] {
  if (lines.length === 0) return [otherwise];
  const more = lines.length > LINES_MOST ? [`  … and ${lines.length - LINES_MOST} more, in the report.`] : [];
  return [`${title}:`, ...lines.slice(0, LINES_MOST).map((line) => `  ${line}`), ...more];
}

const tripSentence = ({ reason, part, latched, atH, clearedAtH }: Report["trips"][number]): string =>
  `${capital(PART_WORDS[part])} ${latched ? "locked" : "stopped"} ${span(atH, clearedAtH)}: ${REASONS[reason]}`;

const alarmSentence = ({ id, priority, raisedAtH, clearedAtH }: Report["alarms"][number]): string =>
  `${id} (${priority}) ${span(raisedAtH, clearedAtH)}.`;

const violationSentence = ({ invariant, atH, detail }: Report["violations"][number]): string =>
  `${invariant} at ${figure(atH, 4)} h: ${detail}.`;
