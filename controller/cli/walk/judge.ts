import { JUDGING, type ProofPart } from "../../../shared/contract/index.ts";
import { allowWord, buildYesOrNo } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import type { Talk } from "./talk.ts";

/** What goes with the proof; null = it did not work, or the person is not sure. */
export type Judgement = Readonly<Record<string, number | boolean>>;

const ML_PER_L = 1000;

/** Asks what only a person can have seen. `now` is the figure that counts until then, where there is one. */
export async function judge(part: ProofPart, talk: Talk, now: number | null): Promise<Judgement | null> {
  const judging = JUDGING[part];
  if (judging.kind === "seen") return {};
  if (judging.kind === "yes-or-no") {
    if (await talk.ask(buildYesOrNo({ id: part, asks: judging.asks }))) return {};
    talk.say(judging.ifNot);
    return null;
  }
  const { field, asks, why, least, most, mayBeLeftOut, also } = judging;
  const { volume, length } = talk.spoken;
  // A volume is read in litres.
  const perUnit = field === "ml" ? ML_PER_L : 1;
  const until = now === null ? "" : `; until now ${length.format(now)}`;
  const words = { id: `${part} ${field}`, asks: `${asks}${until}`, why };
  const span = { least: least / perUnit, most: most / perUnit };
  const inJug = { ...volume, bare: "mL", format: (litres: number) => `${Number((litres * ML_PER_L).toFixed(0))} mL` };
  const question = field === "ml" ? buildQuantity(words, inJug, span) : buildQuantity(words, length, span);
  const value = await talk.ask(
    mayBeLeftOut ? { ...allowWord(question, "not-measured"), usual: "not-measured" } : question,
  );
  const measured = value === null ? {} : { [field]: Number((value * perUnit).toFixed(2)) };
  if (also === null) return measured;
  return { ...measured, [also.field]: await talk.ask(buildYesOrNo({ id: also.field, asks: also.asks, usual: "no" })) };
}
