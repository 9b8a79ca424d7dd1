import { PART_WORDS, type ThermometerPart } from "../../../shared/contract/parts.ts";
import { BOARD, pinQuestion } from "./board.ts";
import type { Dialogue, Understood } from "./dialogue.ts";
import type { Draft, PluggedIn } from "./draft.ts";
import { askSlave, LINE, registerQuestion } from "./modbus.ts";
import { choice, custom, line } from "./questions.ts";

const BUS = "bus";

export async function askThermometers(dialogue: Dialogue, draft: Draft, plugged: PluggedIn): Promise<void> {
  dialogue.say(
    "\nThermometers: two of the water, on buses of their own, so that one can contradict the other. An instrument that " +
      "writes lines of text is added by hand afterwards, as wiring-notes/thermometers.md shows.",
  );
  for (const part of ["thermometer-1", "thermometer-2", "room-thermometer"] as const) {
    await askThermometer(dialogue, draft, part, plugged);
  }
}

async function askThermometer(
  dialogue: Dialogue,
  draft: Draft,
  part: ThermometerPart,
  plugged: PluggedIn,
): Promise<void> {
  const kinds = ["one-wire", "modbus", ...(draft.boards[BOARD] ? ["ntc"] : []), "none"];
  const kind = await dialogue.ask(
    choice(
      { id: `inputs.${part}`, asks: `${PART_WORDS[part]}: which kind`, usual: "none", why: THERMOMETER_WHY[part] },
      kinds,
    ),
  );
  if (kind === "one-wire") draft.inputs[part] = await askOneWire(dialogue, draft, part, plugged);
  if (kind === "ntc") draft.inputs[part] = await askThermistor(dialogue, draft, part);
  if (kind === "modbus") {
    const slave = await askSlave(dialogue, draft, `inputs.${part}.slave`, plugged);
    const temperatureC = await dialogue.ask(
      registerQuestion(`inputs.${part}.temperatureC`, "Register of the temperature", "input 0 int16 0.01"),
    );
    draft.inputs[part] = { board: LINE, slave, temperatureC };
  }
}

const THERMOMETER_WHY: Readonly<Record<ThermometerPart, string>> = {
  "thermometer-1": "The first in the water. Without any thermometer the heater stays off.",
  "thermometer-2": "The second in the water: it finds out when the first has drifted or lies dry.",
  "room-thermometer": "In the air of the room: it tells a heatwave from a stuck heater.",
};

async function askOneWire({ ask }: Dialogue, draft: Draft, part: ThermometerPart, { thermometers }: PluggedIn) {
  draft.boards[BUS] ??= { kind: "one-wire" };
  const taken = Object.values(draft.inputs).flatMap((wiring) => ("device" in wiring ? [wiring.device] : []));
  const free = thermometers.filter((device) => !taken.includes(device));
  const device = await ask(
    line(
      {
        id: `inputs.${part}.device`,
        asks: "Its number on the bus",
        why: free.length > 0 ? `The kernel shows ${free.join(", ")}.` : "The kernel shows none now.",
        ...(free[0] === undefined ? {} : { usual: free[0] }),
      },
      "a DS18B20's folder that no other thermometer of this file has, such as 28-0316a2795caa",
      (answer) => /^28-[0-9a-f]{12}$/.test(answer) && !taken.includes(answer),
    ),
  );
  return { board: BUS, device };
}

async function askThermistor({ ask }: Dialogue, draft: Draft, part: ThermometerPart) {
  const pin = await ask(
    pinQuestion(
      { id: `inputs.${part}.pin`, asks: "Its analog pin, such as A0", why: "Half a kelvin at best." },
      draft,
      false,
    ),
  );
  const thermistor = await ask(
    custom(
      {
        id: `inputs.${part}.thermistor`,
        asks: "Series resistor in Ω, its own at 25 °C in Ω, its constant in K",
        usual: "10000 10000 3950",
        why: "From its data sheet; the resistor goes from the pin to the board's supply, the thermistor to ground.",
      },
      thermistorFrom,
    ),
  );
  return { board: BOARD, pin, thermistor };
}

function thermistorFrom(answer: string): Understood<object> {
  const [seriesOhms, ohmsAt25C, betaK, ...more] = answer.split(/\s+/).map(Number);
  const isResistor = (ohms: number | undefined) => ohms !== undefined && ohms >= 100 && ohms <= 1_000_000;
  const fits = isResistor(seriesOhms) && isResistor(ohmsAt25C) && betaK !== undefined && betaK >= 2000 && betaK <= 6000;
  return fits && more.length === 0
    ? { value: { seriesOhms, ohmsAt25C, betaK } }
    : { expected: "three numbers such as 10000 10000 3950: ohms from 100 to 1000000, the constant from 2000 to 6000" };
}
