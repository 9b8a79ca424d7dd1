import { CAUTIONS } from "../../../shared/contract/index.ts";
import { askBoard, askWhoLetsGo } from "./board.ts";
import { askBox } from "./box.ts";
import { askButton } from "./button.ts";
import { askConductivity } from "./conductivity.ts";
import { derive } from "./derived.ts";
import type { Dialogue } from "./dialogue.ts";
import { type Draft, emptyDraft, type PluggedIn } from "./draft.ts";
import { askHeater } from "./heater.ts";
import { askSensed } from "./sensed.ts";
import { askThermometers } from "./thermometers.ts";
import { askContacts, askTopOff } from "./water.ts";

/** Asks what cannot be assumed about a box, and gives the settings that follow from it. */
export async function interview(dialogue: Dialogue, plugged: PluggedIn): Promise<Draft> {
  const draft = emptyDraft();
  dialogue.say(
    `Please read first:\n${CAUTIONS.slice(0, 3)
      .map((caution) => `- ${caution}`)
      .join("\n")}`,
  );
  dialogue.say(
    "\nAbout thirty questions; a rule and a jug help. Enter takes what stands in [ ]. Ctrl-C ends and writes nothing.",
  );
  await askBox(dialogue, draft);
  await askBoard(dialogue, draft, plugged);
  await askContacts(dialogue, draft);
  await askButton(dialogue, draft);
  await askTopOff(dialogue, draft);
  await askThermometers(dialogue, draft, plugged);
  await askConductivity(dialogue, draft, plugged);
  await askHeater(dialogue, draft);
  await askSensed(dialogue, draft);
  await askWhoLetsGo(dialogue, draft);
  const followed = derive(draft);
  if (followed.length > 0)
    dialogue.say(`\nWhat follows from your answers:\n${followed.map((words) => `- ${words}`).join("\n")}`);
  return draft;
}
