import type { Visit } from "../at-tank/visit.ts";
import { buildChoice, buildYesOrNo } from "../conversation/question.ts";
import { typed } from "../typed.ts";
import { soon } from "./soon.ts";
import type { Talk } from "./talk.ts";

/** The hold that a walk starts before hands go in, and ends before anything may run. */
export interface Hands {
  /** False = the keeper does not want a hold now. */
  in(): Promise<boolean>;
  out(): Promise<void>;
  /** What whoever leaves in the middle should know; null = nothing. */
  leaving(): string | null;
}

const HOLD_MINUTES = 30;

export function createHands(visit: Visit, talk: Talk, command: (words: string) => string = typed): Hands {
  let ours = false;
  const active = () => visit.text("hold/active") === "true";
  return {
    async in() {
      if (active()) return true;
      const wanted = buildYesOrNo({
        id: "hold",
        asks: `Start a hold of ${HOLD_MINUTES} minutes`,
        tells:
          "Hands go in: a hold keeps pump and heater off, and keeps a lifted float from locking anything. Unplug mains devices that you could touch.",
        usual: "yes",
      });
      if (!(await talk.ask(wanted))) return false;
      const { accepted, why } = await visit.ask("hold", { minutes: HOLD_MINUTES });
      talk.say(why);
      ours ||= accepted;
      return accepted;
    },
    async out() {
      if (active()) {
        const over = buildYesOrNo({
          id: "end-hold",
          asks: "Are all hands out, and may the hold end",
          tells: ours ? "Nothing runs while the hold lasts." : "Somebody started a hold: nothing runs while it lasts.",
          usual: "yes",
        });
        if (!(await talk.ask(over))) return;
        talk.say((await visit.ask("end-hold", { answer: null })).why);
        ours = false;
        // Whether the water is low is known with the next looks at the float.
        await soon(() => visit.text("hold/question") === "false");
      }
      if (visit.text("hold/question") === "true") await answerQuestion(visit, talk, command);
    },
    leaving: () =>
      ours && active()
        ? `The hold goes on and ends by itself; when your hands are out: ${command("hold --end")}`
        : null,
  };
}

/** After a hold the water may be low, and pouring waits until somebody says why. */
async function answerQuestion(visit: Visit, talk: Talk, command: (words: string) => string): Promise<void> {
  const answer = await talk.ask(
    buildChoice(
      {
        id: "why-low",
        asks: "The water is low after the hold. Why",
        tells:
          "Fresh water in the place of salt water would thin the sea. If salt water left the tank, put it back first.",
        usual: "unsure",
      },
      ["evaporation", "salt-water-added", "unsure"],
    ),
  );
  if (answer !== "unsure") talk.say((await visit.ask("end-hold", { answer })).why);
  else talk.say(`Pouring waits until you say it: on the page, or with ${command("hold --end evaporation")}`);
}
