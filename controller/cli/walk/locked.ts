import { MACHINE_WORDS, MACHINES, PROOF_PARTS, REASONS } from "../../../shared/contract/index.ts";
import type { Visit } from "../at-tank/visit.ts";
import { allowWord, buildYesOrNo } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import { provingOf } from "./status.ts";
import type { Talk } from "./talk.ts";

/**
 * What is locked lets no part run, so it comes before the walk. A box that never ran is locked for want of a memory:
 * somebody has to have looked at the water, and to have measured it.
 */
export async function lookAtLocks(visit: Visit, talk: Talk, isFirst: boolean): Promise<void> {
  for (const machine of MACHINES) {
    const latch = visit.text(`${machine}/latch`);
    // A heater that only heats carefully for something that was found may be run.
    if (latch === "" || (machine !== "top-off" && visit.text(`${machine}/state`) !== "locked")) continue;
    const isNew = isFirst && latch === REASONS["memory-lost"] && isNewBox(visit);
    talk.say(isNew ? `\n${NEW_BOX}` : `\n${MACHINE_WORDS[machine]} is locked. ${latch}`);
    const isClearable = () => visit.text(`${machine}/clearable`) === "true";
    if (!isClearable()) {
      talk.say(
        "It cannot be cleared while its cause stands or the controller has just started. Enter goes on without it.",
      );
      const blockers = () => visit.text(`${machine}/blockers`) || visit.text(`${machine}/why`);
      const seen = await talk.watch(() => ({ shows: `waiting: ${blockers()}`, says: null, isDone: isClearable() }));
      if (seen === "passed") continue;
    }
    if (machine === "top-off" && isFirst) await handTest(visit, talk);
    const looked = buildYesOrNo({
      id: `clear ${machine}`,
      asks: "Have you looked at the water, and may the lock be cleared",
    });
    if (!(await talk.ask(looked))) continue;
    const occurrence = Number(visit.text(`${machine}/latch-number`));
    talk.say((await visit.ask("clear", { machine, occurrence })).why);
  }
}

/** Every part that is fitted has never been proven: nothing ever ran here. */
function isNewBox(visit: Visit): boolean {
  const { parts } = provingOf(visit);
  return PROOF_PARTS.every((part) => ["never", "not-fitted"].includes(parts[part].standing));
}

/** A box that never ran has no memory to lose, and its keeper nothing to be frightened of. */
const NEW_BOX =
  "This box is new to Evenbrine. Before it pours for the first time it wants to know how salty the water is, and that " +
  "somebody has looked at it.";

async function handTest(visit: Visit, talk: Talk): Promise<void> {
  const salinity = await talk.ask({
    ...allowWord(
      buildQuantity(
        {
          id: "hand-test",
          asks: "Salinity that you measured just now, such as 35.0",
          why: "The controller counts its litres from a salinity that was measured by hand, not from its probe.",
        },
        talk.spoken.plain,
        { least: 5, most: 42 },
      ),
      "skip",
    ),
    usual: "skip",
  });
  if (salinity !== null) talk.say((await visit.ask("hand-test", { salinity })).why);
}
