import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Defect } from "./defects.ts";
import { findMatches, type Match, parsePattern, replaceMatch } from "./pattern.ts";
import { parseTree, type Tree } from "./tree.ts";

export interface Source {
  readonly file: string;
  readonly text: string;
  readonly tree: Tree;
}

export interface Place {
  readonly source: Source;
  readonly match: Match;
}

/** All that keeps the water: the simulated tank and those who judge it are no part of that. */
export function readSources(top: string): readonly Source[] {
  const files = readdirSync(join(top, "controller"), { recursive: true, encoding: "utf8" });
  return files
    .filter((file) => file.endsWith(".ts") && !file.startsWith("rehearsal/"))
    .sort()
    .map((file) => readSource(join("controller", file), readFileSync(join(top, "controller", file), "utf8")));
}

export function readSource(file: string, text: string): Source {
  const tree = parseTree(text);
  if (tree === null) throw new Error(`${file} does not parse`);
  return { file, text, tree };
}

/** The one place where the defect can be planted. */
export function findPlace({ name, find }: Defect, sources: readonly Source[]): Place {
  const pattern = parsePattern(find);
  const places = sources.flatMap((source) => findMatches(pattern, source.tree).map((match) => ({ source, match })));
  if (places.length !== 1) {
    const where = places.map(({ source, match }) => `\n  ${source.file}:${lineOf(source, match)}`).join("");
    throw new Error(
      `defect "${name}": its place is found ${places.length} times; mend its anchor in tests/planted/defects.ts\n  ${find}${where}`,
    );
  }
  return places[0] as Place;
}

/** The source with the defect in it. */
export function plantDefect({ name, find, plant }: Defect, { source, match }: Place): string {
  const wrong = replaceMatch(source.text, match, parsePattern(find), plant);
  if (parseTree(wrong) === null) throw new Error(`defect "${name}": ${source.file} does not parse with it: ${plant}`);
  return wrong;
}

const lineOf = ({ text }: Source, { start }: Match): number => text.slice(0, start).split("\n").length;
