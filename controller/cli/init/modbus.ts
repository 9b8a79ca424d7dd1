import { buildChoice, buildQuestion, expected, type Question, type Understood } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import { askPort } from "./board.ts";
import { lineName } from "./existing.ts";
import type { Sitting } from "./sitting.ts";

/** The address of one more instrument; with the first one the line itself is asked for. */
export async function askSlave(sitting: Sitting, id: string): Promise<number> {
  const { ask, draft } = sitting;
  const name = lineName(sitting);
  if (draft.boards[name] === undefined) {
    const port = await askPort(sitting, "line.port", "Serial port of the Modbus line");
    const baud = await ask(
      buildQuantity({ id: "line.baud", asks: "Its speed in baud", usual: "9600" }, sitting.spoken().plain, {
        least: 1200,
        most: 115_200,
      }),
    );
    const parity = await ask(
      buildChoice({ id: "line.parity", asks: "Its parity", usual: "none" }, ["none", "even", "odd"]),
    );
    draft.boards[name] = { kind: "modbus", port, baud: Math.round(baud), parity };
  }
  const taken = Object.values(draft.inputs).flatMap((wiring) => ("slave" in wiring ? [wiring.slave] : []));
  const expects = "a whole number from 1 to 247 that no other instrument has";
  return ask(
    buildQuestion(
      { id, asks: "Its address on the line", why: "Give each instrument an address of its own before they meet." },
      expects,
      (answer): Understood<number> => {
        const slave = Number(answer);
        const fits = /^\d+$/.test(answer) && slave >= 1 && slave <= 247 && !taken.includes(slave);
        return fits ? { value: slave } : expected(expects);
      },
    ),
  );
}

/** A register field by field, as its manual names them; what most instruments have is offered. */
export async function askRegister(
  { ask, spoken }: Sitting,
  id: string,
  of: string,
  usual: { readonly address: number; readonly type: "float32" | "int16"; readonly scale: number },
): Promise<object> {
  const address = await ask(buildAddress(`${id}.address`, of, usual.address));
  const type = await ask(
    buildChoice(
      {
        id: `${id}.type`,
        asks: "Kind of number in it",
        usual: usual.type,
        why: "float32 and 32-bit numbers fill two registers. int16: whole number with a sign; uint16: without.",
      },
      ["float32", "int16", "uint16", "int32", "uint32"],
    ),
  );
  const table = await ask(
    buildChoice(
      {
        id: `${id}.table`,
        asks: "In which table",
        usual: "input",
        why: "Input registers are read with function 4, holding with 3.",
      },
      ["input", "holding"],
    ),
  );
  const wordOrder = type.endsWith("32") ? await ask(buildWordOrder(`${id}.wordOrder`)) : "high-first";
  const scale =
    type === "float32"
      ? 1
      : await ask(
          buildQuantity(
            { id: `${id}.scale`, asks: "Times what", usual: `${usual.scale}`, why: "0.01 where 2534 means 25.34." },
            spoken().plain,
            { least: 1e-6, most: 1e6 },
          ),
        );
  return {
    table,
    address,
    type,
    ...(scale === 1 ? {} : { scale }),
    ...(wordOrder === "high-first" ? {} : { wordOrder }),
  };
}

function buildAddress(id: string, of: string, usual: number): Question<number> {
  const expects = "a whole number from 0 to 65535";
  return buildQuestion(
    {
      id,
      asks: `Register of ${of}: its address`,
      usual: `${usual}`,
      why: "From the manual's register table, counted from 0. A number such as 30001 is the first input register: 0 here.",
    },
    expects,
    (answer): Understood<number> =>
      /^\d{1,5}$/.test(answer) && Number(answer) <= 65_535 ? { value: Number(answer) } : expected(expects),
  );
}

const buildWordOrder = (id: string) =>
  buildChoice(
    {
      id,
      asks: "Which of its two words comes first",
      usual: "high-first",
      why: "The manual says big-endian for high-first; swapped or little-endian for low-first.",
    },
    ["high-first", "low-first"],
  );
