import { MACHINE_WORDS, MACHINES, PROOF_PARTS } from "../../../shared/contract/index.ts";
import type { Visit } from "../at-tank/visit.ts";
import { custom, numberIn, yesOrNo } from "../init/questions.ts";
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
    talk.say(`\n${MACHINE_WORDS[machine]} is locked. ${latch}${isFirst ? firstWords(visit) : ""}`);
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
    const looked = yesOrNo({
      id: `clear ${machine}`,
      asks: "Have you looked at the water, and may the lock be cleared",
    });
    if (!(await talk.ask(looked))) continue;
    const occurrence = Number(visit.text(`${machine}/latch-number`));
    talk.say((await visit.ask("clear", { machine, occurrence })).why);
  }
}

/** A box that never ran has no memory to lose, and its keeper nothing to be frightened of. */
function firstWords(visit: Visit): string {
  const { parts } = provingOf(visit);
  return PROOF_PARTS.every((part) => ["never", "not-fitted"].includes(parts[part].standing))
    ? " At a first start there is none yet, and that is always so."
    : "";
}

async function handTest(visit: Visit, talk: Talk): Promise<void> {
  const salinity = await talk.ask(
    custom<number | null>(
      {
        id: "hand-test",
        asks: "Salinity that you measured just now, such as 35.0",
        why: "The controller counts its litres from a salinity that was measured by hand, not from its probe.",
        usual: "skip",
      },
      (answer) => {
        if (answer.toLowerCase() === "skip") return { value: null };
        const value = numberIn(answer, "");
        return value !== null && value >= 5 && value <= 42 ? { value } : { expected: "practical salinity, 5 to 42" };
      },
    ),
  );
  if (salinity !== null) talk.say((await visit.ask("hand-test", { salinity })).why);
}
