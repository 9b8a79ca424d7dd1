import type { Image } from "../../shared/contract/image.ts";
import {
  CONTACT_PARTS,
  type ContactPart,
  OUTPUT_PARTS,
  type OutputPart,
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
import type {
  ConductivityWiring,
  ContactWiring,
  InputsWiring,
  OutputsWiring,
  Register,
  ThermometerWiring,
} from "../../shared/settings/index.ts";
import { CONTACT_STALE_MS } from "../../shared/settings/limits.ts";
import { type Boards, questionFor } from "../boards/index.ts";
import { conductivityReading, textConductivityReading } from "./conductivity.ts";
import { contactReading, supervisedReading } from "./contact.ts";
import { oneWireReading, textThermometerReading, thermistorReading, thermometerReading } from "./thermometer.ts";

export { inputSentences } from "./sentences.ts";
export { askedBy, type ButtonMemory, FRESH_BUTTON, followButton } from "./tank-button.ts";

/** What every input says now; null for parts that the settings do not name. */
export function readInputs(wiring: InputsWiring, boards: Boards, nowMs: number): Readings {
  const contacts = CONTACT_PARTS.map((part): [ContactPart, ContactReading | null] => {
    const wired = wiring[part];
    return [part, wired ? contactOf(boards, wired, nowMs) : null];
  });
  const thermometers = THERMOMETER_PARTS.map((part): [ThermometerPart, ThermometerReading | null] => {
    const wired = wiring[part];
    return [part, wired ? thermometerOf(boards, wired, nowMs) : null];
  });
  const probe = wiring["conductivity-probe"];
  const source = wiring["source-probe"];
  return {
    ...(Object.fromEntries(contacts) as Record<ContactPart, ContactReading | null>),
    ...(Object.fromEntries(thermometers) as Record<ThermometerPart, ThermometerReading | null>),
    "conductivity-probe": probe ? probeOf(boards, probe, nowMs) : null,
    "source-probe": source ? probeOf(boards, source, nowMs) : null,
  };
}

/** Whether the button at the tank is pressed; null where there is none. */
export function readButton(
  { "tank-button": wired }: InputsWiring,
  boards: Boards,
  nowMs: number,
): ContactReading | null {
  if (wired === undefined) return null;
  return contactReading(named(boards.pins, wired.board).contact(wired.pin), { closedWhen: "on" }, nowMs);
}

/** What is sensed behind the contacts; null where nothing is, or where its sensor has nothing fresh to say. */
export function readSensed(wiring: OutputsWiring, boards: Boards, nowMs: number): Image["seen"] {
  const seen = OUTPUT_PARTS.map((part): [OutputPart, boolean | null] => {
    const sensed = wiring[part]?.sensed;
    if (sensed === undefined) return [part, null];
    const { value, ageMs } = contactReading(named(boards.pins, sensed.board).contact(sensed.pin), sensed, nowMs);
    return [part, ageMs > CONTACT_STALE_MS ? null : value];
  });
  return Object.fromEntries(seen) as Record<OutputPart, boolean | null>;
}

function contactOf(boards: Boards, wired: ContactWiring, nowMs: number): ContactReading {
  const board = named(boards.pins, wired.board);
  if (wired.supervised) return supervisedReading(board.analog(wired.pin), wired, wired.supervised, nowMs);
  return contactReading(board.contact(wired.pin), wired, nowMs);
}

function thermometerOf(boards: Boards, wired: ThermometerWiring, nowMs: number): ThermometerReading {
  if ("slave" in wired) return registerReading(boards, wired, wired.temperatureC, nowMs);
  if ("device" in wired) return oneWireReading(named(boards.buses, wired.board).scratchpad(wired.device), nowMs);
  if ("thermistor" in wired) {
    return thermistorReading(named(boards.pins, wired.board).analog(wired.pin), wired.thermistor, nowMs);
  }
  const { group, unit } = wired.text;
  return textThermometerReading(named(boards.texts, wired.board).value(group), unit, nowMs);
}

function probeOf(boards: Boards, probe: ConductivityWiring, nowMs: number): Reading<ConductivityReading> {
  if ("text" in probe) {
    const line = named(boards.texts, probe.board);
    const { group, temperature } = probe.text;
    return conductivityReading(
      textConductivityReading(line.value(group), probe.text, nowMs),
      temperature && textThermometerReading(line.value(temperature.group), temperature.unit, nowMs),
      probe.compensation,
    );
  }
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
  return thermometerReading(named(boards.registers, board).words(questionFor(slave, register)), register, nowMs);
}

function named<Connection>(connections: ReadonlyMap<string, Connection>, name: string): Connection {
  const connection = connections.get(name);
  if (connection === undefined) throw new Error(`the settings name no such connection: ${name}`);
  return connection;
}
