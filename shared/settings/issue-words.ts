import type { z } from "zod";

/** The bounds of a number, as far as a schema has them. */
export interface Bounds {
  readonly minimum?: number;
  readonly maximum?: number;
}

/** What a schema expected, for a person; a sentence that the schema itself has for it comes first. */
export function expectationOf(issue: z.core.$ZodIssue, bounds: Bounds | null = null): string {
  switch (issue.code) {
    case "invalid_type":
      return TYPE_WORDS[issue.expected] ?? `a ${issue.expected}`;
    case "invalid_value":
      return oneOf(issue.values);
    case "too_small":
    case "too_big":
      return spanWords(issue, bounds);
    case "invalid_union":
      return unionWords(issue);
    default:
      return issue.message;
  }
}

/** More than these are looked up, not read in a line. */
const MOST_NAMED = 16;

function oneOf(values: readonly unknown[]): string {
  const named = values.slice(0, MOST_NAMED).map((value) => JSON.stringify(value));
  if (values.length === 1) return named[0] as string;
  const more = values.length > MOST_NAMED ? ` and ${values.length - MOST_NAMED} more, which the schema lists` : "";
  return `one of ${named.join(", ")}${more}`;
}

/** The words that tell the ways apart, or what each of them wants. */
function unionWords(issue: z.core.$ZodIssueInvalidUnion): string {
  const { options } = issue as { readonly options?: readonly unknown[] };
  if (options !== undefined) return oneOf(options);
  const ways = issue.errors.flatMap(([first]) => (first === undefined ? [] : [expectationOf(first)]));
  return ways.length === 0 ? "one of the ways that the schema shows" : [...new Set(ways)].join(", or ");
}

const TYPE_WORDS: Readonly<Record<string, string>> = {
  number: "a number",
  int: "a whole number",
  string: "a text in quotes",
  boolean: "true or false",
  object: "an object in { }",
  record: "an object in { }",
  array: "a list in [ ]",
  tuple: "a list in [ ]",
};

function spanWords(issue: z.core.$ZodIssueTooSmall | z.core.$ZodIssueTooBig, bounds: Bounds | null): string {
  const of = { string: " characters", array: " entries" }[issue.origin as string] ?? "";
  if (of === "" && bounds?.minimum !== undefined && bounds.maximum !== undefined) {
    return `a number from ${bounds.minimum} to ${bounds.maximum}`;
  }
  if (issue.code === "too_big") return `at most ${issue.maximum}${of}`;
  return `${issue.inclusive === false ? "more than" : "at least"} ${issue.minimum}${of}`;
}
