import { settingsJsonSchema } from "../../../shared/settings/index.ts";
import type { Question, Understood } from "./dialogue.ts";

type Words = Pick<Question<unknown>, "id" | "asks" | "why" | "usual">;

/** A number with the unit that the question names, within what the settings allow at this path. */
export function numberAt(path: string, unit: string, words: Omit<Words, "id">): Question<number> {
  const { minimum, maximum } = boundsAt(path);
  return number({ id: path, ...words }, unit, minimum, maximum);
}

export const number = (words: Words, unit: string, least: number, most: number): Question<number> => ({
  ...words,
  asks: unit === "" ? words.asks : `${words.asks}, in ${unit}`,
  read(answer) {
    const value = numberIn(answer, unit);
    return value !== null && value >= least && value <= most
      ? { value }
      : { expected: `a number from ${least} to ${most}${unit === "" ? "" : `, in ${unit}`}` };
  },
});

/** `1.5`, `1,5` or `1.5 L`; another unit than the one asked for is no answer. */
export function numberIn(answer: string, unit: string): number | null {
  const [, digits, typedUnit] = answer.match(/^(-?\d+(?:[.,]\d+)?)\s*(.*)$/) ?? [];
  if (digits === undefined || (typedUnit !== "" && typedUnit?.toLowerCase() !== unit.toLowerCase())) return null;
  // `1,500` may be one and a half or fifteen hundred.
  if (/,\d{3}$/.test(digits)) return null;
  return Number(digits.replace(",", "."));
}

export const yesOrNo = (words: Words): Question<boolean> => ({
  ...words,
  asks: `${words.asks} (yes/no)`,
  read(answer) {
    if (/^(y|yes)$/i.test(answer)) return { value: true };
    return /^(n|no)$/i.test(answer) ? { value: false } : { expected: "yes or no" };
  },
});

export const choice = <const Options extends readonly string[]>(
  words: Words,
  options: Options,
): Question<Options[number]> => ({
  ...words,
  asks: `${words.asks} (${options.join("/")})`,
  read(answer) {
    const found = options.find((option) => option === answer.toLowerCase());
    return found === undefined ? { expected: `one of ${options.join(", ")}` } : { value: found };
  },
});

export const line = (words: Words, expected: string, fits: (answer: string) => boolean): Question<string> => ({
  ...words,
  read: (answer) => (fits(answer) ? { value: answer } : { expected }),
});

export const custom = <Value>(words: Words, read: (answer: string) => Understood<Value>): Question<Value> => ({
  ...words,
  read,
});

interface Bounds {
  readonly minimum: number;
  readonly maximum: number;
}

interface SchemaNode extends Partial<Bounds> {
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  /** What may also be left out is this or null. */
  readonly anyOf?: readonly SchemaNode[];
}

let schema: SchemaNode | undefined;

/** The bounds that the settings' own schema has for a number. */
export function boundsAt(path: string): Bounds {
  schema ??= settingsJsonSchema() as SchemaNode;
  let node: SchemaNode | undefined = schema;
  for (const key of path.split(".")) {
    const there: SchemaNode | undefined = node?.anyOf?.find(({ properties }) => properties !== undefined) ?? node;
    node = there?.properties?.[key];
  }
  const { minimum, maximum } = node ?? {};
  if (minimum === undefined || maximum === undefined) throw new Error(`the settings have no bounds at ${path}`);
  return { minimum, maximum };
}
