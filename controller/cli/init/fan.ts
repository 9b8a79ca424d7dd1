import { settingsSchema } from "../../../shared/settings/index.ts";
import type { Dialogue, Question, Understood } from "./dialogue.ts";
import type { Draft } from "./draft.ts";
import { boundsAt, custom, number, numberIn } from "./questions.ts";

/** A fan with a thermostat of its own: most boxes have none. Its litres are owed while it blows, and no budget grows. */
export async function askFan({ ask }: Dialogue, { targets, topOff }: Draft): Promise<void> {
  const aboveC = await ask(aboveQuestion(targets.temperatureC as number));
  if (aboveC === null) return;
  const withoutL = topOff.evaporationLPerDay as number;
  const evaporationLPerDay = await ask(
    number(
      {
        id: "topOff.fan.evaporationLPerDay",
        asks: "Evaporation with that fan on all day",
        why: "Measured as without it. It falls due while the water is warm enough for the fan; budgets stay as they are.",
      },
      "L a day",
      withoutL,
      boundsAt("topOff.fan.evaporationLPerDay").maximum,
    ),
  );
  topOff.fan = { aboveC, evaporationLPerDay };
}

/** The band of the heater keeps its usual width here. */
const { deadbandK } = settingsSchema.parse({}).heat;

function aboveQuestion(setpointC: number): Question<number | null> {
  const { maximum } = boundsAt("topOff.fan.aboveC");
  const least = Math.ceil((setpointC + deadbandK / 2) * 10 + 0.5) / 10;
  const read = (answer: string): Understood<number | null> => {
    if (/^none$/i.test(answer)) return { value: null };
    const value = numberIn(answer, "°C");
    return value !== null && value >= least && value <= maximum
      ? { value }
      : { expected: `none, or a temperature from ${least} to ${maximum}, in °C` };
  };
  return custom(
    {
      id: "topOff.fan.aboveC",
      asks: "Temperature above which a fan blows over the water, in °C, or none",
      usual: "none",
      why:
        "A fan with a thermostat of its own cools a box in summer by evaporation (common practice). Its wires go past " +
        "Evenbrine; only its litres have to be known.",
    },
    read,
  );
}
