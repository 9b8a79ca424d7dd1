import { readSentence } from "./payload.ts";

/** Reading of what came as JSON: whatever does not fit is null. Names are our own, never those of the message. */
export type Fields = Readonly<Record<string, unknown>>;

export const fieldsOf = (value: unknown): Fields | null =>
  typeof value === "object" && value !== null && !Array.isArray(value) ? (value as Fields) : null;

export const numberOf = (value: unknown): number | null =>
  typeof value === "number" && Number.isFinite(value) ? value : null;

export const sentenceOf = (value: unknown): string => (typeof value === "string" ? readSentence(value) : "");

export const wordOf = <Word extends string>(value: unknown, words: readonly Word[]): Word | null =>
  words.find((word) => word === value) ?? null;

export const listOf = (value: unknown, most: number): readonly unknown[] =>
  Array.isArray(value) ? value.slice(0, most) : [];

export function parsed(text: string): Fields | null {
  try {
    return fieldsOf(JSON.parse(text));
  } catch {
    // Not JSON: nothing is known.
    return null;
  }
}
