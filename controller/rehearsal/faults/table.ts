import { CONTACT_FAULTS } from "./contact-faults.ts";
import { CONTROLLER_FAULTS } from "./controller-faults.ts";
import { FAN_FAULTS } from "./fan-faults.ts";
import { HEAT_FAULTS } from "./heat-faults.ts";
import type { Fault, FaultKind, ScenarioPart } from "./kind.ts";
import { POWER_FAULTS } from "./power-faults.ts";
import { PROBE_FAULTS } from "./probe-faults.ts";
import { SWITCH_FAULTS } from "./switch-faults.ts";
import { WATER_FAULTS } from "./water-faults.ts";

/** Every fault that can be rehearsed. */
export const FAULT_KINDS: readonly FaultKind[] = [
  ...CONTACT_FAULTS,
  ...POWER_FAULTS,
  ...SWITCH_FAULTS,
  ...WATER_FAULTS,
  ...HEAT_FAULTS,
  ...FAN_FAULTS,
  ...PROBE_FAULTS,
  ...CONTROLLER_FAULTS,
];

const BY_NAME = new Map(FAULT_KINDS.map((kind) => [kind.kind, kind]));

export const faultKind = (name: string): FaultKind => {
  const found = BY_NAME.get(name);
  if (found === undefined) throw new Error(`no fault of the kind ${name}`);
  return found;
};

/** A fault as a scenario writes it. */
export interface WrittenFault {
  readonly kind: string;
  readonly part?: ScenarioPart | undefined;
  readonly value?: number | string | undefined;
  readonly untilH?: number | undefined;
}

export type FaultCheck =
  | { readonly fault: Fault; readonly wrong: null }
  | { readonly fault: null; readonly wrong: { readonly key: "part" | "value" | "untilH"; readonly expected: string } };

/** Fills in part and value, or says which of them is wrong and what was expected. */
export function resolveFault(written: WrittenFault): FaultCheck {
  const kind = faultKind(written.kind);
  const fitting = kind.parts.filter((part) => !isOfSecondHeater(part));
  const wrongPart = wrongPartOf(kind, fitting, written.part);
  if (wrongPart !== null) return wrong("part", wrongPart);
  const wrongValue = wrongValueOf(kind, written.value);
  if (wrongValue !== null) return wrong("value", wrongValue);
  if (written.untilH !== undefined && kind.end === null) {
    return wrong("untilH", `nothing: ${written.kind} happens at one moment`);
  }
  const part = written.part ?? fitting[0] ?? "box";
  const value = typeof written.value === "number" ? written.value : otherwise(kind);
  const choice = typeof written.value === "string" ? written.value : "";
  return { fault: { kind: written.kind, part, value, choice }, wrong: null };
}

/** Of no tank but one whose settings name a second heater; never meant by a fault that names no part. */
export const isOfSecondHeater = (part: string): boolean => part === "heater-2" || part === "heat-guard-2";

/** Of no tank but one whose settings name a fan. */
export const isOfFan = (kind: string): boolean => FAN_FAULTS.some((fault) => fault.kind === kind);

const wrong = (key: "part" | "value" | "untilH", expected: string): FaultCheck => ({
  fault: null,
  wrong: { key, expected },
});

const otherwise = (kind: FaultKind): number => (kind.value.of === "number" ? kind.value.otherwise : 0);

function wrongPartOf(kind: FaultKind, fitting: readonly ScenarioPart[], part: ScenarioPart | undefined): string | null {
  if (part === undefined) return kind.partImplied || fitting.length === 1 ? null : `one of ${fitting.join(", ")}`;
  if (kind.parts.includes(part)) return null;
  return fitting.length === 0 ? `no part for ${kind.kind}` : `one of ${fitting.join(", ")}`;
}

function wrongValueOf(kind: FaultKind, value: number | string | undefined): string | null {
  if (kind.value.of === "nothing") return value === undefined ? null : `no value for ${kind.kind}`;
  if (kind.value.of === "choice") {
    const choices = kind.value.choices;
    return typeof value === "string" && choices.includes(value) ? null : `one of ${choices.join(", ")}`;
  }
  if (value === undefined) return null;
  const { least, most, unit } = kind.value;
  return typeof value === "number" && value >= least && value <= most ? null : `${least} to ${most} ${unit}`;
}
