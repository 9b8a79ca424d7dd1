import { capital } from "../../../shared/contract/index.ts";
import { PART_WORDS, type ThermometerPart } from "../../../shared/contract/parts.ts";
import { buildChoice, buildText } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import { buildPin, type Drives } from "./board.ts";
import { boardName, busName, lineName, partAsItIs } from "./existing.ts";
import { askRegister, askSlave } from "./modbus.ts";
import type { Sitting } from "./sitting.ts";

export async function askThermometers(sitting: Sitting, { heater }: Drives): Promise<void> {
  sitting.say(
    "\nThermometers: two of the water, on buses of their own, so that one can contradict the other. An instrument that " +
      "writes lines of text is added by hand afterwards, as wiring-notes/thermometers.md shows.",
  );
  for (const part of ["thermometer-1", "thermometer-2", "room-thermometer"] as const) {
    await askThermometer(sitting, part, heater && part === "thermometer-1");
  }
}

async function askThermometer(sitting: Sitting, part: ThermometerPart, isNeeded: boolean): Promise<void> {
  const { ask, draft } = sitting;
  const asItIs = partAsItIs(sitting, part);
  const kinds = [
    "one-wire",
    "modbus",
    ...(draft.boards[boardName(sitting)] ? ["ntc"] : []),
    ...(isNeeded ? [] : ["none"]),
    ...(asItIs === null ? [] : ["as-it-is"]),
  ];
  const usual = asItIs !== null ? "as-it-is" : freeDevices(sitting).length > 0 ? "one-wire" : isNeeded ? null : "none";
  const kind = await ask(
    buildChoice(
      {
        id: `inputs.${part}`,
        asks: part === "room-thermometer" ? "Room thermometer" : `${capital(PART_WORDS[part])} in the water`,
        why: `${THERMOMETER_WHY[part]} one-wire: a DS18B20; modbus: a transmitter on a line; ntc: a thermistor on the input board.`,
        ...(usual === null ? {} : { usual }),
      },
      kinds,
    ),
  );
  if (kind === "as-it-is") asItIs?.keep();
  if (kind === "one-wire") draft.inputs[part] = await askOneWire(sitting, part);
  if (kind === "ntc") draft.inputs[part] = await askThermistor(sitting, part);
  if (kind === "modbus") {
    const slave = await askSlave(sitting, `inputs.${part}.slave`);
    const usualRegister = { address: 0, type: "int16", scale: 0.01 } as const;
    const temperatureC = await askRegister(
      sitting,
      `inputs.${part}.temperatureC`,
      "the temperature in °C",
      usualRegister,
    );
    draft.inputs[part] = { board: lineName(sitting), slave, temperatureC };
  }
}

const THERMOMETER_WHY: Readonly<Record<ThermometerPart, string>> = {
  "thermometer-1": "Without a thermometer in the water the heater stays off.",
  "thermometer-2": "It finds out when the first has drifted or lies dry.",
  "room-thermometer": "In the air of the room: it tells a heatwave from a stuck heater.",
};

function freeDevices({ draft, plugged }: Sitting): readonly string[] {
  const taken = Object.values(draft.inputs).flatMap((wiring) => ("device" in wiring ? [wiring.device] : []));
  return plugged.thermometers.filter((device) => !taken.includes(device));
}

async function askOneWire(sitting: Sitting, part: ThermometerPart) {
  const { ask, draft } = sitting;
  const board = busName(sitting);
  draft.boards[board] ??= { kind: "one-wire" };
  const taken = Object.values(draft.inputs).flatMap((wiring) => ("device" in wiring ? [wiring.device] : []));
  const free = freeDevices(sitting);
  const device = await ask(
    buildText(
      {
        id: `inputs.${part}.device`,
        asks: "Its number on the bus",
        why: `${free.length > 0 ? `The kernel shows ${free.join(", ")}.` : "The kernel shows none now."} wiring-notes/thermometers.md says how two buses are enabled.`,
        ...(free[0] === undefined ? {} : { usual: free[0] }),
      },
      "a DS18B20's number that no other thermometer of this file has, such as 28-0316a2795caa",
      (answer) => /^28-[0-9a-f]{12}$/.test(answer) && !taken.includes(answer),
    ),
  );
  return { board, device };
}

async function askThermistor(sitting: Sitting, part: ThermometerPart) {
  const { ask } = sitting;
  const pin = await ask(
    buildPin(
      { id: `inputs.${part}.pin`, asks: "Its analog pin", usual: "A0", why: "Half a kelvin at best." },
      sitting,
      true,
    ),
  );
  const ohms = (id: string, asks: string, why: string) =>
    ask(
      buildQuantity(
        { id: `inputs.${part}.${id}`, asks: `${asks}, in Ω`, usual: "10000", why },
        sitting.spoken().plain,
        { least: 100, most: 1_000_000 },
      ),
    );
  const seriesOhms = await ohms("seriesOhms", "Resistor in series with it", "From the pin to the board's supply.");
  const ohmsAt25C = await ohms(
    "ohmsAt25C",
    "Its own resistance at 25 °C",
    "From its data sheet; it goes from the pin to ground.",
  );
  const betaK = await ask(
    buildQuantity(
      { id: `inputs.${part}.betaK`, asks: "Its constant (beta), in K", usual: "3950", why: "From its data sheet." },
      sitting.spoken().plain,
      { least: 2000, most: 6000 },
    ),
  );
  return { board: boardName(sitting), pin, thermistor: { seriesOhms, ohmsAt25C, betaK } };
}
