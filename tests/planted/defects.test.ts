import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { expect, test } from "vitest";
import { DEFECTS } from "./defects.ts";

const TOP = resolve(import.meta.dirname, "../..");

/** A run plants twelve of them by chance: one whose line has changed would otherwise fail a later commit than its own. */
test.each(DEFECTS)("$name: its line stands once in $file", ({ file, from, to }) => {
  expect(readFileSync(resolve(TOP, file), "utf8").split(from)).toHaveLength(2);
  expect(to).not.toBe(from);
});
