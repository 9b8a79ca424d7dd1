import { askPort } from "./board.ts";
import type { Dialogue, Question, Understood } from "./dialogue.ts";
import type { Draft, PluggedIn } from "./draft.ts";
import { choice, custom, number } from "./questions.ts";

/** The name of the Modbus line in the settings. */
export const LINE = "line";

/** The address of one more instrument; with the first one the line itself is asked for. */
export async function askSlave(dialogue: Dialogue, draft: Draft, id: string, { ports }: PluggedIn): Promise<number> {
  if (draft.boards[LINE] === undefined) {
    const port = await askPort(dialogue, draft, ports, "line.port", "Port of the Modbus line");
    const baud = await dialogue.ask(
      number({ id: "line.baud", asks: "Its speed", usual: "9600" }, "baud", 1200, 115_200),
    );
    const parity = await dialogue.ask(
      choice({ id: "line.parity", asks: "Its parity", usual: "none" }, ["none", "even", "odd"]),
    );
    draft.boards[LINE] = { kind: "modbus", port, baud: Math.round(baud), parity };
  }
  const taken = Object.values(draft.inputs).flatMap((wiring) => ("slave" in wiring ? [wiring.slave] : []));
  return dialogue.ask(
    custom(
      { id, asks: "Its address on the line", why: "Give each instrument an address of its own before they meet." },
      (answer) => {
        const slave = Number(answer);
        const fits = /^\d+$/.test(answer) && slave >= 1 && slave <= 247 && !taken.includes(slave);
        return fits ? { value: slave } : { expected: "a whole number from 1 to 247 that no other instrument has" };
      },
    ),
  );
}

/** A register as a manual gives it, in one line. */
export const registerQuestion = (id: string, asks: string, usual: string): Question<object> =>
  custom(
    {
      id,
      asks,
      usual,
      why: "From its manual: table (input or holding), address, type, scale; low-first if the words are swapped.",
    },
    registerFrom,
  );

const REGISTER =
  /^(input|holding)\s+(\d{1,5})\s+(int16|uint16|int32|uint32|float32)(?:\s+(-?\d*\.?\d+))?(\s+low-first)?$/i;

function registerFrom(answer: string): Understood<object> {
  const [, table, address, type, scale, lowFirst] = answer.match(REGISTER) ?? [];
  if (table === undefined || Number(address) > 65_535 || Number(scale ?? 1) === 0) {
    return { expected: "such as `input 0 int16 0.01` or `holding 2 float32 1 low-first`" };
  }
  return {
    value: {
      table: table.toLowerCase(),
      address: Number(address),
      type: type?.toLowerCase(),
      ...(scale === undefined || Number(scale) === 1 ? {} : { scale: Number(scale) }),
      ...(lowFirst === undefined ? {} : { wordOrder: "low-first" }),
    },
  };
}
