import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { minifySync, transformWithOxc } from "vite";
import { describe, expect, test } from "vitest";
import { FIGURES_FILE, type Figures } from "../explore/proof-page.ts";
import { DEFECTS, type Defect } from "./defects.ts";
import { findPlace, plantDefect, readSource, readSources, type Source } from "./place.ts";

const SOURCES = readSources(resolve(import.meta.dirname, "../.."));

/** The same program with every name of its functions and variables replaced, no layout, no types and no comments. */
const RENAMED = await Promise.all(SOURCES.map(renameAll));

async function renameAll({ file, text }: Source): Promise<Source> {
  const { code } = await transformWithOxc(text, file, { sourcemap: false });
  const hidden = code.replace(/^export (?=const|function|class|async)/gm, "");
  const options = { compress: false, mangle: { toplevel: true }, codegen: { removeWhitespace: true } };
  return readSource(file, minifySync(file.replace(/ts$/, "js"), hidden, options).code);
}

test.each(DEFECTS)("$name: found once, also with every function and variable renamed and all layout gone", (defect) => {
  const place = findPlace(defect, SOURCES);
  expect(plantDefect(defect, place)).not.toBe(place.source.text);
  expect(findPlace(defect, RENAMED).source.file).toBe(place.source.file);
});

describe("a place that is not found once", () => {
  const lost: Defect = { name: "water is salt", find: '$add($isSalt, "no-such-reason")', plant: "" };

  test("nowhere: says which defect, and where its anchor is mended", () => {
    expect(() => findPlace(lost, SOURCES)).toThrow(
      'defect "water is salt": its place is found 0 times; mend its anchor in tests/planted/defects.ts',
    );
  });

  test("twice: says in which lines", () => {
    const twice = readSource("controller/salt.ts", 'add(a, "no-such-reason");\nadd(b, "no-such-reason");');
    expect(() => findPlace(lost, [twice])).toThrow(/found 2 times.*salt\.ts:1\n.*salt\.ts:2$/s);
  });
});

test("the page of the proof lists these defects, in this order", () => {
  const { planted } = JSON.parse(readFileSync(FIGURES_FILE, "utf8")) as Figures;
  expect(planted.map(({ name }) => name)).toEqual(DEFECTS.map(({ name }) => name));
});
