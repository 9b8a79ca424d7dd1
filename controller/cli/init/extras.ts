import { type OutputPart, PART_WORDS } from "../../../shared/contract/parts.ts";
import { allowWord, buildChoice, buildList, buildText } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import { askLevels, buildPin, hasGuardFirmware } from "./board.ts";
import { bandEndC } from "./derived.ts";
import { boardName } from "./existing.ts";
import { spanAt } from "./quantities.ts";
import type { Sitting } from "./sitting.ts";

/** What most boxes do not have, behind one question. */
export async function askExtras(sitting: Sitting): Promise<void> {
  const { draft, ask } = sitting;
  const options = [
    ...(draft.boards[boardName(sitting)] === undefined ? [] : ["button"]),
    ...(Object.keys(draft.outputs).length === 0 ? [] : ["sensed", "low-relays"]),
    ...(draft.topOff.evaporationLPerDay === undefined ? [] : ["fan"]),
  ];
  if (options.length === 0) return;
  const chosen = await ask(
    buildList(
      {
        id: "extras",
        asks: "Anything else",
        usual: "none",
        why:
          "button: a push button at the tank that begins and ends a hold. sensed: sensors of voltage or current behind the " +
          "contacts of pump and heater, which tell at once when one did not open. low-relays: relay modules that close on a low pin. fan: one over the water with a thermostat of its own.",
      },
      options,
    ),
  );
  if (chosen.includes("low-relays")) await askLevels(sitting);
  if (chosen.includes("fan")) await askFan(sitting);
  if (chosen.includes("button")) await askButton(sitting);
  if (chosen.includes("sensed")) await askSensed(sitting);
}

/** A fan with a thermostat of its own: its litres are owed while it blows, and no budget grows. */
async function askFan(sitting: Sitting): Promise<void> {
  const { ask, draft } = sitting;
  const { temperature, litresPerDay } = sitting.spoken();
  const aboveC = await ask(
    buildQuantity(
      {
        id: "topOff.fan.aboveC",
        asks: "Temperature above which the fan blows",
        why: "Its wires go past Evenbrine; only its litres have to be known. It must not blow against the heater.",
      },
      temperature,
      { least: bandEndC(draft), most: spanAt("topOff.fan.aboveC").most },
    ),
  );
  const perHour = await ask(
    buildQuantity(
      {
        id: "topOff.fan.evaporationLPerDay",
        asks: "Evaporation a day with the fan on",
        why: "Measured as without it. It falls due while the water is warm enough for the fan; budgets stay as they are.",
      },
      litresPerDay,
      {
        least: (draft.topOff.evaporationLPerDay as number) / 24,
        most: spanAt("topOff.fan.evaporationLPerDay").most / 24,
      },
    ),
  );
  const withFanL = Number((perHour * 24).toPrecision(3));
  draft.topOff.fan = { aboveC, evaporationLPerDay: Math.max(withFanL, draft.topOff.evaporationLPerDay as number) };
}

/** The push button at the tank: for wet hands, and for whoever stands there without a screen. */
async function askButton(sitting: Sitting): Promise<void> {
  const pin = await sitting.ask(
    buildPin(
      {
        id: "inputs.tank-button.pin",
        asks: "Pin of the push button at the tank",
        why:
          "From the pin to ground. A short press begins a hold with the heater off, or ends it; a long one acknowledges " +
          "the alarms and clears what is locked, as far as its cause is gone.",
      },
      sitting,
    ),
  );
  sitting.draft.inputs["tank-button"] = { board: boardName(sitting), pin };
}

/** What tells at once that a contact did not open; without it a weld shows only by water or warmth nobody asked for. */
async function askSensed(sitting: Sitting): Promise<void> {
  const { draft, ask } = sitting;
  for (const part of Object.keys(draft.outputs) as OutputPart[]) {
    const question = buildPin(
      {
        id: `outputs.${part}.sensed.pin`,
        asks: `Pin of the sensor behind the ${PART_WORDS[part]}`,
        usual: "none",
        why:
          "Its own contact, which carries no voltage, from the pin to ground, and open while there is power. A broken wire " +
          "then reads as power that should not be there, and locks. Behind mains a licensed electrician wires it.",
      },
      sitting,
    );
    const pin = await ask(allowWord(question, "none"));
    if (pin === null) continue;
    draft.outputs[part] = { ...draft.outputs[part], sensed: { board: boardName(sitting), pin, closedWhen: "off" } };
  }
}

/** Standard firmware holds its outputs: who opens them when this computer dies must be said. */
export async function askWhoLetsGo(sitting: Sitting): Promise<void> {
  const { ask, draft } = sitting;
  if (Object.keys(draft.outputs).length === 0 || hasGuardFirmware(sitting)) return;
  const answer = await ask(
    buildChoice(
      {
        id: "letsGo",
        asks: "What opens pump and heater when this computer dies",
        usual: "attended",
        why:
          "With standard firmware they stay as they are. Either a switch of its own opens them (a timer relay that must " +
          "be fed), or somebody stays beside the box and all goes off after a while.",
      },
      ["attended", "switch"],
    ),
  );
  if (answer === "switch") {
    draft.independentGuard = await ask(
      buildText(
        { id: "independentGuard", asks: "Which switch, in your own words" },
        "a sentence of at least 10 characters that somebody else understands",
        (words) => words.length >= 10,
      ),
    );
    return;
  }
  const { plain } = sitting.spoken();
  draft.attendedMinutes = Math.round(
    await ask(
      buildQuantity(
        { id: "attendedMinutes", asks: "How many minutes does somebody stay after each start", usual: "60" },
        plain,
        spanAt("attendedMinutes"),
      ),
    ),
  );
}
