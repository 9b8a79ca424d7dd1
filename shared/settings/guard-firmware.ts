import type { OutputPart } from "../contract/parts.ts";
import type { Settings } from "./schema.ts";

/** What the guard firmware of the wiring notes is built for: an Uno with these outputs, and contacts on the other pins. */
export const GUARD_PINS: Readonly<Record<OutputPart, number>> = {
  "top-off-pump": 8,
  "water-guard": 9,
  "heater-1": 10,
  "heat-guard": 11,
  "heater-2": 12,
  "heat-guard-2": 13,
};

/** How it is built for relays that a low level closes. */
export const REST_OPTIONS = {
  "top-off-pump": "PUMP_REST=1",
  "heater-1": "HEATER_REST=1",
  "heater-2": "SECOND_HEATER_REST=1",
} as const satisfies Partial<Record<OutputPart, string>>;

export const hasGuardFirmware = ({ boards }: Pick<Settings, "boards">, name: string): boolean => {
  const board = boards[name];
  return board?.kind === "firmata" && board.firmware === "guard";
};

/** Where a contact or a voltage may hang: pin 12 is the second heater's, where there is one. */
export const isGuardInput = (pin: number, hasSecondHeater: boolean): boolean =>
  (pin >= 2 && pin <= 7) || (pin === 12 && !hasSecondHeater) || (pin >= 14 && pin <= 19);
