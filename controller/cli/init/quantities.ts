import { boundsIn, settingsJsonSchema } from "../../../shared/settings/index.ts";
import {
  allowWord,
  buildQuestion,
  expected,
  type Question,
  type Understood,
  type Words,
} from "../conversation/question.ts";
import { readSpoken, type Spoken, type SpokenKind } from "../values/keeper.ts";
import { buildQuantity, type Span } from "../values/questions.ts";

/** The same within what the settings' own schema allows at this path. */
export function buildQuantityAt<Q extends number>(
  path: string,
  spoken: SpokenKind<Q>,
  words: Omit<Words, "id">,
): Question<number> {
  return buildQuantity({ id: path, ...words }, spoken, spanAt(path));
}

export function spanAt(path: string): Span {
  const { minimum, maximum } = boundsIn(settingsJsonSchema(), path.split(".")) ?? {};
  if (minimum === undefined || maximum === undefined) throw new Error(`the settings have no bounds at ${path}`);
  return { least: minimum, most: maximum };
}

/** What can only be measured when water is in may be left for later; null = later. */
export const allowLater = <Value>(question: Question<Value>): Question<Value | null> => allowWord(question, "later");

/** Lengths as a ruler gives them, such as `250 x 80 mm` or `10 x 3 in`, in millimetres. */
export function readLengths(
  answer: string,
  count: number,
  { length }: Spoken,
): { readonly mm: readonly number[]; readonly keeps: string } | null {
  const parts = answer.split(/\s*[x×*]\s*/i);
  if (parts.length !== count) return null;
  const unit = parts.at(-1)?.match(/[a-z"]+\s*$/i)?.[0] ?? length.bare;
  const read = parts.map((part) => readSpoken(length, /[a-z]\s*$/i.test(part) ? part : `${part} ${unit}`));
  if (read.some((one) => "refused" in one || !(one.value > 0))) return null;
  const lengths = read as { readonly value: number; readonly keeps: string }[];
  return { mm: lengths.map(({ value }) => value), keeps: lengths.map(({ keeps }) => keeps).join(" x ") };
}

const MM2_PER_M2 = 1e6;
const MM2_PER_IN2 = 25.4 ** 2;

/** Two lengths that make a surface in m², within bounds. */
export function buildSurface(words: Words, spoken: Spoken, { least, most }: Span): Question<number> {
  const inches = spoken.length.bare === "in";
  const example = inches ? "10 x 3 in" : "250 x 80 mm";
  const format = (m2: number) =>
    inches ? `${Number(((m2 * MM2_PER_M2) / MM2_PER_IN2).toPrecision(3))} in²` : `${m2} m²`;
  const expects = `two lengths, such as ${example}, that make ${format(least)} to ${format(most)}`;
  return buildQuestion(
    { ...words, asks: `${words.asks}, such as ${example}` },
    expects,
    (answer): Understood<number> => {
      const lengths = readLengths(answer, 2, spoken);
      if (lengths === null) return expected(expects);
      const [long, wide] = lengths.mm as [number, number];
      const squareMetres = Number(((long * wide) / MM2_PER_M2).toPrecision(4));
      return squareMetres >= least && squareMetres <= most
        ? { value: squareMetres, keeps: lengths.keeps }
        : { refused: `that makes ${format(squareMetres)}; expected ${expects}` };
    },
  );
}
