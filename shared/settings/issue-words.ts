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
      return issue.values.length === 1
        ? JSON.stringify(issue.values[0])
        : `one of ${issue.values.map((value) => JSON.stringify(value)).join(", ")}`;
    case "too_small":
    case "too_big":
      return spanWords(issue, bounds);
    case "invalid_union":
      return issue.discriminator === undefined
        ? "one of the ways that the schema shows"
        : "a name that the schema shows";
    default:
      return issue.message;
  }
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
