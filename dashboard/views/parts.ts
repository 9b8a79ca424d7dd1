import type { Box } from "../incoming/box.ts";
import { readBoolean, readNumber, readOneOf, readSentence } from "../incoming/payload.ts";
import { levelSentence, type ShownLevel } from "../pieces/level-words.ts";
import { valueWords } from "../pieces/words.ts";
import { readLevel } from "./water.tsx";

/** The parts of the box as they are drawn and said. */
export interface ShownParts {
  readonly level: ShownLevel;
  readonly workingFloat: "full" | "low" | "unknown" | "not-fitted";
  readonly highFloat: "wet" | "dry" | "unknown" | "not-fitted";
  readonly lowFloat: "covered" | "dry" | "unknown" | "not-fitted";
  readonly reservoirFloat: "has-water" | "empty" | "unknown" | "not-fitted";
  readonly floor: "wet" | "dry" | "unknown" | "not-fitted";
  readonly returnPump: "running" | "stopped" | "unknown" | "not-fitted";
  readonly isPumpOn: boolean | null;
  readonly isHeaterOn: boolean | null;
  readonly hasSecondHeater: boolean;
  readonly isSecondHeaterOn: boolean | null;
  readonly isWaterGuardClosed: boolean | null;
  readonly isHeatGuardClosed: boolean | null;
  readonly isSecondHeatGuardClosed: boolean | null;
  readonly reservoirL: number | null;
}

export function readParts(box: Box): ShownParts {
  const contact = <Word extends string>(node: string, on: Word, off: Word) =>
    readOneOf(box.text(node, "position"), [on, off, "unknown", "not-fitted"] as const) ?? "unknown";
  return {
    level: readLevel(box),
    workingFloat: contact("working-float", "full", "low"),
    highFloat: contact("high-float", "wet", "dry"),
    lowFloat: contact("low-float", "covered", "dry"),
    reservoirFloat: contact("reservoir-float", "has-water", "empty"),
    floor: contact("floor-sensor", "wet", "dry"),
    returnPump: contact("return-sensor", "running", "stopped"),
    isPumpOn: readBoolean(box.text("top-off-pump", "on")),
    isHeaterOn: readBoolean(box.text("heater-1", "on")),
    hasSecondHeater: box.text("second-heat", "state") !== "",
    isSecondHeaterOn: readBoolean(box.text("heater-2", "on")),
    isWaterGuardClosed: readBoolean(box.text("water-guard", "closed")),
    isHeatGuardClosed: readBoolean(box.text("heat-guard", "closed")),
    isSecondHeatGuardClosed: readBoolean(box.text("heat-guard-2", "closed")),
    reservoirL: readNumber(box.text("top-off", "reservoir")),
  };
}

export interface PartLine {
  readonly name: string;
  readonly words: string;
  readonly isAbnormal: boolean;
}

/** The drawing in words, line by line: for whoever does not see it, and for whoever wants to be sure. */
export function partLines(parts: ShownParts, box: Box): readonly PartLine[] {
  const doubtOf = (node: string): string => {
    const doubt = readSentence(box.text(node, "doubt"));
    return doubt === "" ? "" : ` (it ${doubt})`;
  };
  const contact = (name: string, node: string, position: string, words: string, isAbnormal: boolean): PartLine[] =>
    position === "not-fitted"
      ? []
      : position === "unknown"
        ? [{ name, words: `unknown${doubtOf(node)}`, isAbnormal: true }]
        : [{ name, words, isAbnormal }];
  const isHigh = parts.highFloat === "wet";
  return [
    { name: "Level", words: levelSentence(parts.level), isAbnormal: !["low", "at-mark"].includes(parts.level.state) },
    ...contact("Working float", "working-float", parts.workingFloat, parts.workingFloat, false),
    ...contact("High float", "high-float", parts.highFloat, isHigh ? "wet: the water is too high" : "dry", isHigh),
    ...contact("Low float", "low-float", parts.lowFloat, parts.lowFloat, parts.lowFloat === "dry"),
    switchLine("Top-off pump", parts.isPumpOn, "pouring; its tube ends in air above the water", "off"),
    switchLine("Water guard", parts.isWaterGuardClosed, "closed: the pump may run", "open: the pump cannot run"),
    switchLine("Heater", parts.isHeaterOn, "on", "off"),
    switchLine("Heat guard", parts.isHeatGuardClosed, "closed: the heater may run", "open: the heater cannot run"),
    ...secondHeaterLines(parts),
    ...contact("Return pump", "return-sensor", parts.returnPump, parts.returnPump, parts.returnPump === "stopped"),
    reservoirLine(parts, doubtOf("reservoir-float")),
    ...contact(
      "Floor",
      "floor-sensor",
      parts.floor,
      parts.floor === "wet" ? "wet: water on the floor" : "dry",
      parts.floor === "wet",
    ),
  ];
}

function secondHeaterLines({ hasSecondHeater, isSecondHeaterOn, isSecondHeatGuardClosed }: ShownParts): PartLine[] {
  if (!hasSecondHeater) return [];
  return [
    switchLine("Second heater", isSecondHeaterOn, "on", "off"),
    switchLine("Second heat guard", isSecondHeatGuardClosed, "closed: it may run", "open: it cannot run"),
  ];
}

function switchLine(name: string, isOn: boolean | null, on: string, off: string): PartLine {
  return { name, words: isOn === null ? "unknown" : isOn ? on : off, isAbnormal: isOn === null };
}

function reservoirLine({ reservoirFloat, reservoirL }: ShownParts, doubt: string): PartLine {
  const left =
    reservoirL === null
      ? "litres left not known"
      : `about ${valueWords(Math.max(0, reservoirL), 1)} L left by the ledger`;
  const float = {
    "has-water": "",
    empty: "empty by its float; ",
    unknown: `float unknown${doubt}; `,
    "not-fitted": "",
  }[reservoirFloat];
  return {
    name: "Reservoir",
    words: `${float}${left}`,
    isAbnormal: reservoirFloat === "empty" || reservoirFloat === "unknown",
  };
}
