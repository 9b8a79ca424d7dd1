import { CONTACT_PARTS, OUTPUT_PARTS, THERMOMETER_PARTS } from "../../shared/contract/parts.ts";
import type { Settings } from "../../shared/settings/index.ts";
import type { Register } from "../../shared/settings/wiring.ts";
import { openFirmataBoard, type PinBoard, type PinWiring } from "./firmata.ts";
import { openModbusLine, type Question, type RegisterLine } from "./modbus.ts";

export type { PinBoard } from "./firmata.ts";
export type { Heard } from "./heard.ts";
export type { Question, RegisterLine } from "./modbus.ts";

/** Every connection that the settings name, by its name there. */
export interface Boards {
  readonly pins: ReadonlyMap<string, PinBoard>;
  readonly registers: ReadonlyMap<string, RegisterLine>;
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
  for (const [name, board] of Object.entries(settings.boards)) {
    if (board.kind === "firmata") pins.set(name, await openFirmataBoard(name, board, pinsOf(settings, name), nowMs));
    else registers.set(name, await openModbusLine(name, board, questionsOf(settings, name), nowMs));
  }
  return {
    pins,
    registers,
    describe: (atMs) => [
      ...[...pins.values()].flatMap((board) => board.describe(atMs)),
      ...[...registers.values()].flatMap((line) => line.describe()),
    ],
    async close() {
      await Promise.all([...pins.values(), ...registers.values()].map((connection) => connection.close()));
    },
  };
}

function pinsOf({ inputs, outputs }: Settings, board: string): PinWiring {
  const contacts = CONTACT_PARTS.flatMap((part) => inputs[part] ?? []).filter((wiring) => wiring.board === board);
  const relays = OUTPUT_PARTS.flatMap((part) => outputs[part] ?? []).filter((wiring) => wiring.board === board);
  return {
    contacts: contacts.map(({ pin }) => pin),
    outputs: relays.map(({ pin, energisedLevel }) => ({ pin, restHigh: energisedLevel === "low" })),
  };
}

function questionsOf({ inputs }: Settings, line: string): Question[] {
  const thermometers = THERMOMETER_PARTS.flatMap((part) => inputs[part] ?? []);
  const probe = inputs["conductivity-probe"];
  const asked = [
    ...(probe ? [{ ...probe, register: probe.conductivityMsPerCm }] : []),
    ...(probe?.temperatureC ? [{ ...probe, register: probe.temperatureC }] : []),
    ...thermometers.map((wiring) => ({ ...wiring, register: wiring.temperatureC })),
  ];
  return asked.filter(({ board }) => board === line).map(({ slave, register }) => questionFor(slave, register));
}
