import { MACHINE_WORDS, MACHINES } from "../../../shared/contract/index.ts";
import {
  celsius,
  fahrenheitFromCelsius,
  formatLength,
  formatVolume,
  type KeeperUnits,
} from "../../../shared/units/index.ts";
import { nameMoment } from "../absence/moments.ts";
import type { Visit } from "../at-tank/visit.ts";
import { translateUnits } from "./translate-units.ts";

/** One sentence, and one table of what is known and what each part does and why. */
export function statusLines(visit: Pick<Visit, "text">, units: KeeperUnits): string[] {
  const text = (place: string) => visit.text(place);
  const rows = [
    ...readingRows(visit, units),
    ...MACHINES.flatMap((machine) => machineRow(text, machine)),
    ...absenceRow(text),
    ...(text("hold/active") === "true" ? [["Hold", `until ${timeWords(text("hold/until"))}`, ""]] : []),
  ].map((row) => row.map((cell) => translateUnits(cell, units)));
  const sentence = translateUnits(text("box/sentence"), units) || "The controller has said nothing yet.";
  return [sentence, "", ...alignColumns(rows)];
}

/** What is read: temperature, salinity, level and reservoir, each with its value and what there is to say of it. */
export function readingRows(visit: Pick<Visit, "text">, units: KeeperUnits): string[][] {
  const text = (place: string) => visit.text(place);
  return [
    temperatureRow(text, units),
    salinityRow(text),
    ["Level", LEVEL_WORDS[text("level/state")] ?? "unknown", levelWords(text, units)],
    reservoirRow(text, units),
  ];
}

type Text = (place: string) => string;

function temperatureRow(text: Text, units: KeeperUnits): string[] {
  const inF = units.temperature === "°F";
  const number = (celsiusText: string) =>
    shorten(inF ? fahrenheitFromCelsius(celsius(Number(celsiusText))) : Number(celsiusText));
  const difference = (text: string) => shorten(Number(text) * (inF ? 1.8 : 1));
  return quantityRow(text, "temperature", "Temperature", { unit: ` ${units.temperature}`, number, difference });
}

const salinityRow = (text: Text): string[] =>
  quantityRow(text, "salinity", "Salinity", {
    unit: "",
    number: (text) => shorten(Number(text)),
    difference: (text) => shorten(Number(text)),
  });

interface Spoken {
  readonly unit: string;
  number(text: string): string;
  difference(text: string): string;
}

function quantityRow(text: Text, node: string, name: string, { unit, number, difference }: Spoken): string[] {
  const value = text(`${node}/value`);
  const doubt = text(`${node}/doubt`);
  if (value === "") {
    const last = text(`${node}/last-value`);
    return [name, "unknown", [doubt, last === "" ? "" : `last ${number(last)}${unit}`].filter(Boolean).join("; ")];
  }
  const uncertainty = text(`${node}/uncertainty`);
  return [name, `${number(value)}${uncertainty === "" ? "" : ` ± ${difference(uncertainty)}`}${unit}`, doubt];
}

const LEVEL_WORDS: Readonly<Record<string, string>> = {
  low: "low",
  "at-mark": "at its mark",
  high: "high",
  contradiction: "the floats contradict each other",
};

function levelWords(text: Text, units: KeeperUnits): string {
  const bounds = [text("level/from-mm"), text("level/to-mm")];
  if (bounds.every((bound) => bound === "")) return "";
  const [from, to] = bounds.map((bound) => (bound === "" ? "?" : formatLength(Number(bound), units)));
  return `between ${from} and ${to} from the working mark`;
}

function reservoirRow(text: Text, units: KeeperUnits): string[] {
  const litres = text("top-off/reservoir");
  const days = text("top-off/reservoir-days");
  if (litres === "") return ["Reservoir", "unknown", ""];
  return ["Reservoir", formatVolume(Number(litres), units), days === "" ? "" : `${shorten(Number(days))} days`];
}

function absenceRow(text: Text): string[][] {
  const state = text("absence/state");
  if (state !== "lasting" && state !== "planned") return [];
  const ends = text("absence/ends");
  const from = state === "planned" ? `from ${nameMoment(text("absence/begins"))} ` : "";
  return [["Absence", state, `${from}until ${ends === "" ? "you say that you are back" : nameMoment(ends)}`]];
}

/** What it does, and what it waits for or is locked by. */
function machineRow(text: Text, machine: (typeof MACHINES)[number]): string[][] {
  const state = text(`${machine}/state`);
  if (state === "") return [];
  const why = text(`${machine}/latch`) || text(`${machine}/blockers`) || text(`${machine}/why`);
  return [[MACHINE_WORDS[machine], state, why]];
}

/** One decimal is what these quantities are worth. */
const shorten = (value: number): string => value.toFixed(1);

const timeWords = (iso: string): string => {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return "?";
  return `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
};

/** Rows of a table, each cell as wide as the widest of its column. */
export function alignColumns(rows: readonly (readonly string[])[]): string[] {
  const widths = (rows[0] ?? []).map((_, index) => Math.max(...rows.map((row) => row[index]?.length ?? 0)));
  return rows.map((row) =>
    row
      .map((cell, index) => cell.padEnd(widths[index] as number))
      .join("  ")
      .trimEnd(),
  );
}
