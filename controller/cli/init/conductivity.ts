import { buildChoice, buildYesOrNo } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import { lineName, partAsItIs } from "./existing.ts";
import { askRegister, askSlave } from "./modbus.ts";
import type { Sitting } from "./sitting.ts";

const PART = "conductivity-probe";

/** The conductivity transmitter, and what it does to its value. */
export async function askConductivity(sitting: Sitting): Promise<void> {
  const { ask, draft } = sitting;
  const asItIs = partAsItIs(sitting, PART);
  const kind = await ask(
    buildChoice(
      {
        id: `inputs.${PART}`,
        asks: "Conductivity probe",
        usual: asItIs === null ? "none" : "as-it-is",
        why:
          "Salinity is worked out from it. Take an isolated transmitter. One that writes lines of text is added by hand " +
          "afterwards, as wiring-notes/conductivity-probe.md shows.",
      },
      ["modbus", "none", ...(asItIs === null ? [] : ["as-it-is"])],
    ),
  );
  if (kind === "as-it-is") asItIs?.keep();
  if (kind !== "modbus") return;
  const slave = await askSlave(sitting, `inputs.${PART}.slave`);
  const conductivityMsPerCm = await askRegister(
    sitting,
    `inputs.${PART}.conductivityMsPerCm`,
    "the conductivity in mS/cm",
    {
      address: 0,
      type: "float32",
      scale: 0.01,
    },
  );
  const hasTemperature = await ask(
    buildYesOrNo({
      id: "conductivity.temperature",
      asks: "Does it give the temperature at its cell too",
      usual: "yes",
    }),
  );
  const temperatureC = hasTemperature
    ? await askRegister(sitting, `inputs.${PART}.temperatureC`, "that temperature in °C", {
        address: 2,
        type: "float32",
        scale: 0.1,
      })
    : null;
  const compensation = await askCompensation(sitting, hasTemperature);
  draft.inputs[PART] = { board: lineName(sitting), slave, conductivityMsPerCm, temperatureC, compensation };
}

async function askCompensation({ ask, say, spoken }: Sitting, hasTemperature: boolean): Promise<object | "none"> {
  if (!hasTemperature) {
    say("Without that temperature no compensation can be undone: switch it off in the instrument.");
    return "none";
  }
  const compensates = await ask(
    buildYesOrNo({
      id: "conductivity.compensates",
      asks: "Does it compensate its conductivity for temperature",
      usual: "no",
      why:
        "Salinity needs the raw conductivity. Switch compensation off in the instrument, or say exactly what it does, so " +
        "that it can be undone. A wrong guess costs three quarters of a unit of salinity for each kelvin from its reference.",
    }),
  );
  if (!compensates) return "none";
  const { plain, temperature } = spoken();
  const percentPerK = await ask(
    buildQuantity({ id: "conductivity.percentPerK", asks: "By how many percent per kelvin", usual: "2" }, plain, {
      least: 0,
      most: 5,
    }),
  );
  const referenceC = await ask(
    buildQuantity(
      { id: "conductivity.referenceC", asks: "To which temperature", usual: temperature.format(25) },
      temperature,
      { least: 15, most: 30 },
    ),
  );
  return { percentPerK, referenceC };
}
