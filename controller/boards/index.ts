import { CONDUCTIVITY_PARTS, CONTACT_PARTS, OUTPUT_PARTS, THERMOMETER_PARTS } from "../../shared/contract/parts.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { Register } from "../../shared/settings/wiring.ts";
import { openFirmataBoard, type PinBoard, type PinWiring } from "./firmata.ts";
import { openModbusLine, type Question, type RegisterLine } from "./modbus.ts";
import { type OneWireBus, openOneWireBus } from "./one-wire.ts";
import { openTextLine, type TextLine } from "./text-line.ts";

export type { PinBoard } from "./firmata.ts";
export type { Heard } from "./heard.ts";
export type { Question, RegisterLine } from "./modbus.ts";
export type { OneWireBus } from "./one-wire.ts";
export type { TextLine } from "./text-line.ts";

/** Every connection that the settings name, by its name there. */
export interface Boards {
  readonly pins: ReadonlyMap<string, PinBoard>;
  readonly registers: ReadonlyMap<string, RegisterLine>;
  readonly buses: ReadonlyMap<string, OneWireBus>;
  readonly texts: ReadonlyMap<string, TextLine>;
  describe(nowMs: number): readonly string[];
  close(): Promise<void>;
}

/** What has to be asked to know a value. */
export const questionFor = (slave: number, { table, address, type }: Register): Question => ({
  slave,
  table,
  address,
  count: type === "int16" || type === "uint16" ? 1 : 2,
});

/** Opens everything and waits for nothing: what is not plugged in yet is tried again until it is. */
export async function openBoards(settings: Settings, nowMs: () => number): Promise<Boards> {
  const pins = new Map<string, PinBoard>();
  const registers = new Map<string, RegisterLine>();
  const buses = new Map<string, OneWireBus>();
  const texts = new Map<string, TextLine>();
  for (const [name, board] of Object.entries(settings.boards)) {
    switch (board.kind) {
      case "firmata":
        pins.set(name, await openFirmataBoard(name, board, pinsOf(settings, name), nowMs));
        break;
      case "modbus":
        registers.set(name, await openModbusLine(name, board, questionsOf(settings, name), nowMs));
        break;
      case "one-wire":
        buses.set(name, openOneWireBus(name, board, devicesOf(settings, name), nowMs));
        break;
      case "text":
        texts.set(name, await openTextLine(name, board, nowMs));
    }
  }
  const lines = [...registers.values(), ...buses.values(), ...texts.values()];
  return {
    pins,
    registers,
    buses,
    texts,
    describe: (atMs) => [
      ...[...pins.values()].flatMap((board) => board.describe(atMs)),
      ...lines.flatMap((line) => line.describe()),
    ],
    async close() {
      await Promise.all([...pins.values(), ...lines].map((connection) => connection.close()));
    },
  };
}

function pinsOf({ inputs, outputs }: Settings, board: string): PinWiring {
  const isHere = (wiring: { readonly board: string }) => wiring.board === board;
  const contacts = CONTACT_PARTS.flatMap((part) => inputs[part] ?? []).filter(isHere);
  const relays = OUTPUT_PARTS.flatMap((part) => (outputs[part] ? [{ part, ...outputs[part] }] : []));
  const sensors = relays.flatMap(({ sensed }) => sensed ?? []).filter(isHere);
  const thermistors = THERMOMETER_PARTS.flatMap((part) => {
    const wiring = inputs[part];
    return wiring && "thermistor" in wiring ? [wiring] : [];
  }).filter(isHere);
  const buttons = [inputs["tank-button"] ?? []].flat().filter(isHere);
  const plain = contacts.filter(({ supervised }) => supervised === undefined);
  const supervised = contacts.filter((contact) => contact.supervised !== undefined);
  return {
    contacts: [...plain, ...sensors, ...buttons].map(({ pin }) => pin),
    analogs: [...supervised, ...thermistors].map(({ pin }) => pin),
    outputs: relays
      .filter(isHere)
      .map(({ part, pin, energisedLevel }) => ({ part, pin, restHigh: energisedLevel === "low" })),
  };
}

function questionsOf({ inputs }: Settings, line: string): Question[] {
  const thermometers = THERMOMETER_PARTS.flatMap((part) => {
    const wiring = inputs[part];
    return wiring && "slave" in wiring ? [{ ...wiring, register: wiring.temperatureC }] : [];
  });
  const probes = CONDUCTIVITY_PARTS.flatMap((part) => {
    const wiring = inputs[part];
    if (!wiring || !("slave" in wiring)) return [];
    const registers = [wiring.conductivityMsPerCm, ...(wiring.temperatureC ? [wiring.temperatureC] : [])];
    return registers.map((register) => ({ ...wiring, register }));
  });
  const asked = [...probes, ...thermometers].filter(({ board }) => board === line);
  return asked.map(({ slave, register }) => questionFor(slave, register));
}

const devicesOf = ({ inputs }: Settings, bus: string): string[] => {
  const devices = THERMOMETER_PARTS.flatMap((part) => {
    const wiring = inputs[part];
    return wiring && "device" in wiring && wiring.board === bus ? [wiring.device] : [];
  });
  return [...new Set(devices)];
};
