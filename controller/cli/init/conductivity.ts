import type { Dialogue, Understood } from "./dialogue.ts";
import type { Draft, PluggedIn } from "./draft.ts";
import { askSlave, LINE, registerQuestion } from "./modbus.ts";
import { choice, custom, yesOrNo } from "./questions.ts";

/** The conductivity transmitter, and what it does to its value. */
export async function askConductivity(dialogue: Dialogue, draft: Draft, plugged: PluggedIn): Promise<void> {
  const { ask } = dialogue;
  const fitted = await ask(
    choice(
      {
        id: "inputs.conductivity-probe",
        asks: "Conductivity probe: which kind",
        usual: "none",
        why:
          "Salinity is reckoned from it. Take an isolated transmitter. One that writes lines of text is added by hand " +
          "afterwards, as wiring-notes/conductivity-probe.md shows.",
      },
      ["modbus", "none"],
    ),
  );
  if (fitted === "none") return;
  const slave = await askSlave(dialogue, draft, "inputs.conductivity-probe.slave", plugged);
  const conductivityMsPerCm = await ask(
    registerQuestion(
      "inputs.conductivity-probe.conductivityMsPerCm",
      "Register of the conductivity in mS/cm",
      "input 0 float32",
    ),
  );
  const hasTemperature = await ask(
    yesOrNo({ id: "conductivity.temperature", asks: "Does it give the temperature at its cell too", usual: "yes" }),
  );
  const temperatureC = hasTemperature
    ? await ask(
        registerQuestion("inputs.conductivity-probe.temperatureC", "Register of that temperature", "input 2 float32"),
      )
    : null;
  const compensation = await ask(custom(COMPENSATION_WORDS, compensationFrom(hasTemperature)));
  draft.inputs["conductivity-probe"] = { board: LINE, slave, conductivityMsPerCm, temperatureC, compensation };
}

const COMPENSATION_WORDS = {
  id: "inputs.conductivity-probe.compensation",
  asks: "Does it compensate for temperature: none, or percent per kelvin and reference, such as 2 25",
  why:
    "Salinity needs the raw conductivity. Switch compensation off in the instrument, or say exactly what it does, so " +
    "that it can be undone. A wrong guess costs three quarters of a unit of salinity for each kelvin from its reference.",
};

const compensationFrom =
  (hasTemperature: boolean) =>
  (answer: string): Understood<object | "none"> => {
    if (/^none$/i.test(answer)) return { value: "none" };
    if (!hasTemperature) return { expected: "none: without the temperature that it used nothing can be undone" };
    const [percentPerK, referenceC, ...more] = answer.split(/\s+/).map(Number);
    const inside = (value: number | undefined, least: number, most: number) =>
      value !== undefined && value >= least && value <= most;
    return inside(percentPerK, 0, 5) && inside(referenceC, 15, 30) && more.length === 0
      ? { value: { percentPerK, referenceC } }
      : { expected: "none, or two numbers such as 2 25: 0 to 5 % per kelvin, 15 to 30 °C" };
  };
