import { GUARD_PINS } from "../wiring/advice.ts";
import { askSwitches, BOARD, hasGuardFirmware, ownerOf } from "./board.ts";
import type { Dialogue, Understood } from "./dialogue.ts";
import type { Draft } from "./draft.ts";
import { custom, numberAt, yesOrNo } from "./questions.ts";

/** The heater: who wires it, where it stands, what it does to the water. */
export async function askHeater(dialogue: Dialogue, draft: Draft): Promise<void> {
  const { ask, say } = dialogue;
  if (draft.boards[BOARD] === undefined) return;
  const probe = draft.inputs["conductivity-probe"] as { temperatureC?: unknown } | undefined;
  if (!draft.inputs["thermometer-1"] && !probe?.temperatureC) {
    say("\nThe heater needs a thermometer of the water: without one it stays out of this file.");
    return;
  }
  const wanted = await ask(
    yesOrNo({
      id: "heater",
      asks: "Shall Evenbrine switch a heater",
      usual: "yes",
      why:
        "Mains and salt water kill: relay and heat guard are wired by a licensed electrician, behind residual-current " +
        "protection. The heater keeps its own thermostat, and a small base heater stays outside of Evenbrine.",
    }),
  );
  if (!wanted) return;
  await askSwitches(dialogue, draft, "heater-1");
  Object.assign(draft.heat, await askOneHeater(dialogue, draft, "heat"));
  await askSecondHeater(dialogue, draft);
  draft.heat.roomC = await ask(
    numberAt("heat.roomC", "°C", {
      asks: "Usual temperature of the room",
      usual: "22",
      why: "What the box loses heat to.",
    }),
  );
  draft.heat.returnPumpW = await ask(
    numberAt("heat.returnPumpW", "W", {
      asks: "Power of the return pump",
      usual: "25",
      why: "It warms the water too.",
    }),
  );
}

async function askSecondHeater(dialogue: Dialogue, draft: Draft): Promise<void> {
  const { ask, say } = dialogue;
  const wanted = await ask(
    yesOrNo({
      id: "secondHeater",
      asks: "Is there a second heater, with a relay and a guard of its own",
      usual: "no",
      why:
        "Two smaller heaters take turns, and heat together on the coldest days: one that dies leaves half of the heat, " +
        "and one that cannot be switched off has half of the power.",
    }),
  );
  if (!wanted) return;
  if (hasGuardFirmware(draft)) {
    const owner = ownerOf(draft, GUARD_PINS["heater-2"]);
    if (owner !== undefined) {
      say(
        `\nThe guard firmware has the second heater on pins 12 and 13, and the ${owner} is on 12: it stays out of this file.`,
      );
      return;
    }
    say(`\n${SECOND_HEATER_BUILD}`);
  }
  await askSwitches(dialogue, draft, "heater-2");
  draft.heat.secondHeater = await askOneHeater(dialogue, draft, "heat.secondHeater");
}

const SECOND_HEATER_BUILD =
  "Build the guard firmware with SECOND_HEATER=1: it then has the second heater on pins 12 and 13.";

type At = "heat" | "heat.secondHeater";

/** What one heater is and where it stands. */
async function askOneHeater(
  dialogue: Dialogue,
  draft: Draft,
  at: At,
): Promise<Record<string, number | string | boolean>> {
  const heaterW = await dialogue.ask(
    numberAt(`${at}.heaterW`, "W", {
      asks: at === "heat" ? "Power of the heater" : "Power of the second heater",
      why: "From its label. Evenbrine expects the water to follow it, and says so when it does not.",
    }),
  );
  return { heaterW, ...(await askPlace(dialogue, draft, at)) };
}

async function askPlace(
  { ask }: Dialogue,
  draft: Draft,
  at: At,
): Promise<{ heaterPlace: string; thermometerSharesHeaterChamber: boolean }> {
  const hasLowFloat = draft.inputs["low-float"] !== undefined;
  const heaterPlace = await ask(
    custom(
      {
        id: `${at}.heaterPlace`,
        asks: "Where does it stand (pinned-chamber/last-chamber)",
        usual: "pinned-chamber",
        why: "In the last chamber the level falls and may bare it: there it needs the low float.",
      },
      (answer): Understood<string> => {
        if (answer === "pinned-chamber" || (answer === "last-chamber" && hasLowFloat)) return { value: answer };
        return answer === "last-chamber"
          ? { expected: "pinned-chamber: no low float is in this file, so a falling level could bare the heater" }
          : { expected: "pinned-chamber (its level cannot fall) or last-chamber" };
      },
    ),
  );
  const seesFlow = draft.inputs["return-sensor"] !== undefined;
  const thermometerSharesHeaterChamber = await ask(
    custom(
      {
        id: `${at}.thermometerSharesHeaterChamber`,
        asks: "Does a thermometer hang in the same chamber as the heater (yes/no)",
        why: "If not, the heater stays off while the return pump is not shown running: nobody would see it cook its chamber.",
      },
      (answer): Understood<boolean> => {
        if (answer === "yes" || answer === "y") return { value: true };
        if (answer !== "no" && answer !== "n") return { expected: "yes or no" };
        return seesFlow
          ? { value: false }
          : { expected: "yes: hang one there, because no sensor of the return pump is in this file to show the flow" };
      },
    ),
  );
  return { heaterPlace, thermometerSharesHeaterChamber };
}
