import { HEATER_PARTS, type InputPart } from "../../shared/contract/index.ts";
import { heaterOf, type Settings } from "../../shared/settings/index.ts";

/** Inputs that a box may be built without. What asks for water and what stops a flood is in every box that pours. */
export const OPTIONAL_PARTS = [
  "low-float",
  "reservoir-float",
  "floor-sensor",
  "mains-sensor",
  "return-sensor",
  "thermometer-1",
  "thermometer-2",
  "room-thermometer",
  "conductivity-probe",
] as const satisfies readonly InputPart[];
export type OptionalPart = (typeof OPTIONAL_PARTS)[number];

export interface FittingFault {
  readonly part: OptionalPart;
  readonly expected: string;
}

/** Parts that cannot be left out of this box, as a settings file that wires its inputs would be told. */
export function fittingFaults(without: readonly OptionalPart[], settings: Settings): FittingFault[] {
  const faults: FittingFault[] = [];
  const need = (part: OptionalPart, isNeeded: boolean, expected: string) => {
    if (isNeeded && without.includes(part)) faults.push({ part, expected });
  };
  const heaters = HEATER_PARTS.flatMap((heater) => heaterOf(settings, heater) ?? []);
  const falls = heaters.some(({ heaterPlace }) => heaterPlace === "last-chamber");
  const alone = heaters.some(({ thermometerSharesHeaterChamber }) => !thermometerSharesHeaterChamber);
  need("low-float", falls, "a low float, because a heater stands where the level falls");
  need("return-sensor", alone, "a return sensor, because no thermometer shares the chamber of a heater");
  need("conductivity-probe", without.includes("thermometer-1"), "this probe or thermometer-1: a heater needs one");
  return faults;
}
