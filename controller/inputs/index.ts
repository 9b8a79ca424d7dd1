import {
  CONTACT_PARTS,
  type ContactPart,
  THERMOMETER_PARTS,
  type ThermometerPart,
} from "../../shared/contract/parts.ts";
import type {
  ConductivityReading,
  ContactReading,
  Reading,
  Readings,
  ThermometerReading,
} from "../../shared/contract/reading.ts";
import type { ConductivityWiring, InputsWiring, Register } from "../../shared/settings/index.ts";
import { type Boards, questionFor } from "../boards/index.ts";
import { conductivityReading } from "./conductivity.ts";
import { contactReading } from "./contact.ts";
import { thermometerReading } from "./thermometer.ts";

/** What every input says now; null for parts that the settings do not name. */
export function readInputs(wiring: InputsWiring, boards: Boards, nowMs: number): Readings {
  const contacts = CONTACT_PARTS.map((part): [ContactPart, ContactReading | null] => {
    const wired = wiring[part];
    return [part, wired ? contactReading(pinBoard(boards, wired.board).contact(wired.pin), wired, nowMs) : null];
  });
  const thermometers = THERMOMETER_PARTS.map((part): [ThermometerPart, ThermometerReading | null] => {
    const wired = wiring[part];
    return [part, wired ? registerReading(boards, wired, wired.temperatureC, nowMs) : null];
  });
  const probe = wiring["conductivity-probe"];
  return {
    ...(Object.fromEntries(contacts) as Record<ContactPart, ContactReading | null>),
    ...(Object.fromEntries(thermometers) as Record<ThermometerPart, ThermometerReading | null>),
    "conductivity-probe": probe ? probeReading(boards, probe, nowMs) : null,
  };
}

function probeReading(boards: Boards, probe: ConductivityWiring, nowMs: number): Reading<ConductivityReading> {
  const { conductivityMsPerCm, temperatureC, compensation } = probe;
  return conductivityReading(
    registerReading(boards, probe, conductivityMsPerCm, nowMs),
    temperatureC && registerReading(boards, probe, temperatureC, nowMs),
    compensation,
  );
}

function registerReading(
  boards: Boards,
  { board, slave }: { readonly board: string; readonly slave: number },
  register: Register,
  nowMs: number,
): Reading<number> {
  const line = boards.registers.get(board);
  if (line === undefined) throw new Error(`the settings name no line ${board}`);
  return thermometerReading(line.words(questionFor(slave, register)), register, nowMs);
}

function pinBoard(boards: Boards, name: string) {
  const board = boards.pins.get(name);
  if (board === undefined) throw new Error(`the settings name no board ${name}`);
  return board;
}
