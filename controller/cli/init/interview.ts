import { CAUTIONS } from "../../../shared/contract/index.ts";
import type { Conversation } from "../conversation/question.ts";
import { askBoard, askDrives, askSwitches } from "./board.ts";
import { askBox } from "./box.ts";
import { askConductivity } from "./conductivity.ts";
import { askContacts } from "./contacts.ts";
import { derive } from "./derived.ts";
import type { Draft, PluggedIn } from "./draft.ts";
import type { Existing } from "./existing.ts";
import { askExtras, askWhoLetsGo } from "./extras.ts";
import { askHeater } from "./heater.ts";
import { askLowFloat, askMeasures } from "./measures.ts";
import { askReservoir } from "./reservoir.ts";
import { createSitting } from "./sitting.ts";
import { askThermometers } from "./thermometers.ts";

/** Asks what cannot be assumed about a box, and gives the settings that follow from it. */
export async function interview(
  conversation: Conversation,
  plugged: PluggedIn,
  existing: Existing | null = null,
): Promise<Draft> {
  const sitting = createSitting(conversation, plugged, existing);
  sitting.say(
    `Please read first:\n${CAUTIONS.slice(0, 3)
      .map((caution) => `- ${caution}`)
      .join("\n")}`,
  );
  await askBox(sitting);
  const drives = await askDrives(sitting);
  if (await askBoard(sitting, drives)) await askContacts(sitting, drives);
  await askThermometers(sitting, drives);
  await askConductivity(sitting);
  if (drives.heater) await askHeater(sitting);
  if (drives.pump) await askPump(sitting);
  else await askLowFloat(sitting);
  await askExtras(sitting);
  await askWhoLetsGo(sitting);
  const followed = derive(sitting);
  if (followed.length > 0)
    sitting.say(`\nWhat follows from your answers:\n${followed.map((words) => `- ${words}`).join("\n")}`);
  return sitting.draft;
}

async function askPump(sitting: ReturnType<typeof createSitting>): Promise<void> {
  await askSwitches(sitting, "top-off-pump");
  if (await askMeasures(sitting)) await askReservoir(sitting);
}
