import type { ProofPart } from "../../../shared/contract/index.ts";
import { custom, numberIn, yesOrNo } from "../init/questions.ts";
import type { Talk } from "./talk.ts";

/** What a person has to say after they have seen it; null = it did not work, or they are not sure. */
export type Judgement = Readonly<Record<string, number | boolean>>;

export async function judge(part: ProofPart, talk: Talk): Promise<Judgement | null> {
  if (part === "top-off-pump") {
    return { ml: await talk.ask(millilitres("How much is in the jug", "Empty the jug before the next run.")) };
  }
  if (part === "siphon") {
    const ml = await talk.ask(
      millilitres("How much ran into the jug after the pump had stopped", "0 when nothing did."),
    );
    const backward = await talk.ask(
      yesOrNo({ id: "backward", asks: "Did water run back towards the reservoir", usual: "no" }),
    );
    return { ml, backward };
  }
  const asks = QUESTIONS[part];
  if (asks === undefined) return {};
  return (await talk.ask(yesOrNo({ id: part, asks }))) ? {} : null;
}

const millilitres = (asks: string, why: string) =>
  custom<number>({ id: "ml", asks: `${asks}, in mL`, why }, (answer) => {
    const value = numberIn(answer, "mL");
    return value !== null && value >= 0 && value <= 5000 ? { value } : { expected: "millilitres, 0 to 5000" };
  });

/** Only where the scan itself cannot see it. */
const QUESTIONS: Partial<Readonly<Record<ProofPart, string>>> = {
  "water-guard": "Did the pump stand still",
  "heat-guard": "Did the heater stay dark",
  "heater-1": "Did the heater come on",
  "heater-thermostat": "Did the heater stay dark, and is its thermostat back 1–1.5 K above the setpoint",
  "heat-guard-2": "Did the second heater stay dark",
  "heater-2": "Did the second heater come on",
  "heater-2-thermostat": "Did the second heater stay dark, and is its thermostat back 1–1.5 K above the setpoint",
  "protective-device": "Did it trip at once, and does everything run again",
};

const HEAT_GUARD_STUCK =
  "Then its contact is stuck or bridged: unplug the heater and replace the guard. It stays unproven.";
const HEATER_DARK =
  "Look at plug, guard and relay, and whether its own thermostat stands above the water. It stays unproven.";
const THERMOSTAT_STUCK = "A heater whose thermostat does not cut belongs in the bin: unplug it. It stays unproven.";

/** What to do when the answer was no. */
export const NOT_SEEN: Partial<Readonly<Record<ProofPart, string>>> = {
  "water-guard": "Then its contact is stuck or bridged: unplug the pump and replace the guard. It stays unproven.",
  "heat-guard": HEAT_GUARD_STUCK,
  "heater-1": HEATER_DARK,
  "heater-thermostat": THERMOSTAT_STUCK,
  "heat-guard-2": HEAT_GUARD_STUCK,
  "heater-2": HEATER_DARK,
  "heater-2-thermostat": THERMOSTAT_STUCK,
  "protective-device": "Unplug everything at the tank and call an electrician before hands go in. It stays unproven.",
};
