/** What an answer means; or, in words that follow “… will not do:”, why it means nothing. */
export type Understood<Value> =
  | {
      readonly value: Value;
      /** The answer as it is kept, where it is not as typed: with its unit, so that it means the same later. */
      readonly keeps?: string;
    }
  | { readonly refused: string };

export interface Question<Value> {
  /** A name for what is asked; the path in the settings where there is one. */
  readonly id: string;
  readonly asks: string;
  /** Said before it is asked: what nobody can do without, such as a caution. */
  readonly tells?: string;
  /** Said when `?` is typed: why it is asked, how it is measured, what follows from it. */
  readonly why?: string;
  /** Taken when nothing is typed. What cannot be assumed has none. */
  readonly usual?: string;
  /** What is accepted, in the keeper's units. */
  readonly expects: string;
  read(answer: string): Understood<Value>;
}

/** A conversation with a keeper. What is not understood is asked again, with what was expected. */
export interface Conversation {
  say(text: string): void;
  ask<Value>(question: Question<Value>): Promise<Value>;
}

export type Words = Pick<Question<unknown>, "id" | "asks" | "tells" | "why" | "usual">;

export const expected = (expects: string): { readonly refused: string } => ({ refused: `expected ${expects}` });

export const buildQuestion = <Value>(
  words: Words,
  expects: string,
  read: (answer: string) => Understood<Value>,
): Question<Value> => ({ ...words, expects, read });

export const buildYesOrNo = (words: Words): Question<boolean> =>
  buildQuestion({ ...words, asks: `${words.asks}? (yes/no)` }, "yes or no", (answer) => {
    if (/^(y|yes)$/i.test(answer)) return { value: true, keeps: "yes" };
    return /^(n|no)$/i.test(answer) ? { value: false, keeps: "no" } : expected("yes or no");
  });

export function buildChoice<const Options extends readonly string[]>(
  words: Words,
  options: Options,
): Question<Options[number]> {
  const expects = options.length === 1 ? `${options[0]}` : `one of ${options.join(", ")}`;
  return buildQuestion({ ...words, asks: `${words.asks} (${options.join("/")})` }, expects, (answer) => {
    const found = options.find((option) => option === answer.toLowerCase());
    return found === undefined ? expected(expects) : { value: found, keeps: found };
  });
}

/** Some of a few names, in any order; `all` and `none` are understood too. */
export function buildList<const Options extends readonly string[]>(
  words: Words,
  options: Options,
): Question<readonly Options[number][]> {
  const expects = `some of ${options.join(", ")}, with blanks between; or all, or none`;
  return buildQuestion(
    { ...words, asks: `${words.asks} (${options.join(", ")}; all or none)` },
    expects,
    (answer): Understood<readonly Options[number][]> => {
      const typed = answer.toLowerCase().split(/[\s,]+/);
      if (answer.toLowerCase() === "all") return { value: options as readonly Options[number][] };
      if (answer.toLowerCase() === "none") return { value: [] };
      const isKnown = typed.every((word) => (options as readonly string[]).includes(word));
      if (!isKnown || answer === "") return expected(expects);
      return { value: options.filter((option) => typed.includes(option)) as readonly Options[number][] };
    },
  );
}

export const buildText = (words: Words, expects: string, fits: (answer: string) => boolean): Question<string> =>
  buildQuestion(words, expects, (answer) => (fits(answer) ? { value: answer } : expected(expects)));

/** A question that may also be answered with one word of its own, such as `none` or `later`; then its value is null. */
export const allowWord = <Value>(question: Question<Value>, word: string): Question<Value | null> => ({
  ...question,
  asks: `${question.asks}; or ${word}`,
  expects: `${question.expects}; or ${word}`,
  read(answer): Understood<Value | null> {
    if (answer.toLowerCase() === word) return { value: null, keeps: word };
    const understood = question.read(answer);
    return "refused" in understood ? { refused: `${understood.refused}; or ${word}` } : understood;
  },
});
