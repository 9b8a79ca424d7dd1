/** What arrives is text from outside. Whatever cannot be read is unknown (`null`), never an error and never a guess. */

export function readNumber(text: string): number | null {
  if (!/^[+-]?\d{1,15}(\.\d{1,15})?([eE][+-]?\d{1,3})?$/.test(text)) return null;
  const value = Number(text);
  return Number.isFinite(value) ? value : null;
}

export function readBoolean(text: string): boolean | null {
  return text === "true" ? true : text === "false" ? false : null;
}

/** Unix milliseconds from an ISO 8601 date and time with its zone. */
export function readTimeMs(text: string): number | null {
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d{1,9})?)?(Z|[+-]\d\d:?\d\d)$/.test(text)) return null;
  const atMs = Date.parse(text);
  return Number.isFinite(atMs) ? atMs : null;
}

export function readOneOf<Word extends string>(text: string, words: readonly Word[]): Word | null {
  return words.find((word) => word === text) ?? null;
}

/** A sentence for people: control characters out, bounded in length. It is only ever set as text. */
export function readSentence(text: string): string {
  return text
    .replace(/\p{Cc}+/gu, " ")
    .slice(0, LONGEST_SENTENCE)
    .trim();
}

export function readJsonObject(text: string): ReadonlyMap<string, unknown> | null {
  try {
    const value: unknown = JSON.parse(text);
    if (typeof value !== "object" || value === null || Array.isArray(value)) return null;
    return new Map(Object.entries(value));
  } catch {
    // Not JSON: unknown, like every other payload that cannot be read.
    return null;
  }
}

const LONGEST_SENTENCE = 600;
