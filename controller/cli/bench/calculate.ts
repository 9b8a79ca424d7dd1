import { type Choice, type Kind, type Read, readChoice, readQuantity } from "../values/kind.ts";
import type { Answer, Ask, Calculator, Refusal } from "./calculator.ts";

/** What was asked, as it was understood, and the answer. */
export type Calculation = { readonly given: Readonly<Record<string, number | string>>; readonly answer: Answer };

/** Reads what was typed and calculates; whatever is missing, doubtful or out of range becomes one plain sentence. */
export function calculate(
  calculator: Calculator,
  typed: Readonly<Record<string, string | undefined>>,
): Calculation | Refusal {
  const given: Record<string, number | string> = {};
  for (const [name, ask] of Object.entries(calculator.asks)) {
    const text = typed[name] ?? (typeof ask.need === "object" ? ask.need.preset : undefined);
    if (text === undefined) {
      if (ask.need === "optional") continue;
      return { refused: askFor(name, ask) };
    }
    const read = readAsk(ask, text);
    if ("refused" in read) return { refused: `--${toFlag(name)} ${read.refused}` };
    given[name] = read.value;
  }
  const answer = calculator.calculate(given as never);
  return "refused" in answer ? answer : { given, answer };
}

function readAsk(ask: Ask<unknown>, text: string): Read<number | string> {
  return "words" in ask.source
    ? readChoice(ask.source as Choice<string>, text)
    : readQuantity(ask.source as Kind<number>, text);
}

function askFor(name: string, { source, meaning }: Ask<unknown>): string {
  if ("words" in source) return `${source.question} Add --${toFlag(name)} ${source.words.join(" or ")}.`;
  const example = source.example.split(" ")[0]!.replace(/,$/, "");
  const question = source.question ?? `Which ${source.what}: ${meaning}?`;
  return `${question} Add --${toFlag(name)}, like --${toFlag(name)} ${example}.`;
}

/** "sampleTemp" is typed as --sample-temp; the number of pH stays where it is. */
export const toFlag = (name: string): string => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
