import { buildQuestion, expected, type Question, type Words } from "../conversation/question.ts";
import { readSpoken, type SpokenKind } from "./keeper.ts";

export interface Span {
  readonly least: number;
  readonly most: number;
}

/** A quantity between two bounds, which are told in the keeper's units. */
export function buildQuantity<Q extends number>(
  words: Words,
  spoken: SpokenKind<Q>,
  { least, most }: Span,
): Question<number> {
  const expects =
    spoken.bare === "" ? `a number from ${least} to ${most}` : `${spoken.format(least)} to ${spoken.format(most)}`;
  const asks = spoken.bare === "" ? words.asks : `${words.asks}, in ${spoken.bare}`;
  return buildQuestion({ ...words, asks }, expects, (answer) => {
    const read = readSpoken(spoken, answer);
    if ("refused" in read)
      return read.refused === "" ? expected(expects) : { refused: `${read.refused} Expected ${expects}` };
    // A bound that was rounded to be told is taken as it was told.
    const isTold = [least, most].some((bound) => spoken.format(bound) === spoken.format(read.value));
    const value = Number(Math.min(most, Math.max(least, read.value)).toPrecision(DIGITS));
    return isTold || (read.value >= least && read.value <= most) ? { value, keeps: read.keeps } : expected(expects);
  });
}

/** What a conversion of units adds beyond them is no measure. */
const DIGITS = 7;
