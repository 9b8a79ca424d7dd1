import { execFileSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { findCircles } from "./circles.ts";
import { BANNED_IN_PURE, PURE_BUT_FOR, PURE_ROOMS, SHARED_ROOMS, WAY_OF_THE_DATA } from "./rooms.ts";

const top = resolve(import.meta.dirname, "../..");

function filesUnder(place: string): string[] {
  const path = join(top, place);
  if (!existsSync(path)) return [];
  if (statSync(path).isFile()) return [place];
  return readdirSync(path, { recursive: true, encoding: "utf8" })
    .map((name) => join(place, name))
    .filter((name) => /\.tsx?$/.test(name) && !name.endsWith(".d.ts") && !name.includes("dist/"));
}

/** Source without comments, so that a ban may be explained where it holds. */
const codeOf = (file: string): string =>
  readFileSync(join(top, file), "utf8")
    .replace(/\/\*[\s\S]*?\*\//g, "")
    .replace(/(^|[^:"'`])\/\/.*$/gm, "$1");

const importsOf = (file: string): string[] =>
  [...codeOf(file).matchAll(/(?:from|import\()\s*"(\.[^"]+)"/g)].map(([, target]) =>
    relative(top, resolve(top, dirname(file), target as string)),
  );

/** The longest known room that a file lies in, and its place on the way. */
function roomOf(file: string, rooms: readonly string[]): number {
  const found = rooms.filter((room) => file.startsWith(`${room}/`)).sort((a, b) => b.length - a.length)[0];
  return found === undefined ? -1 : rooms.indexOf(found);
}

/** What a pure file may not do and this one does. */
const offencesIn = (file: string): string[] =>
  BANNED_IN_PURE.filter(([pattern]) => pattern.test(codeOf(file))).map(([, why]) => `${file} ${why}`);

describe("pure rooms", () => {
  it.each(PURE_ROOMS)("%s: no clock, timer, chance, await or node import", (room) => {
    expect(filesUnder(room).flatMap(offencesIn)).toEqual([]);
  });

  it.each(Object.entries(PURE_BUT_FOR))(
    "%s: none in any file but those named, some in each of those",
    (room, named) => {
      const impure = filesUnder(room).filter((file) => offencesIn(file).length > 0);
      expect(impure.map((file) => relative(room, file)).sort()).toEqual([...named].sort());
    },
  );

  it("Date.now, setTimeout, Math.random, await and a node import: each noticed", () => {
    const offences = ['import fs from "node:fs"', "Date.now()", "setTimeout(f)", "Math.random()", "await x"];
    for (const offence of offences) expect(BANNED_IN_PURE.some(([pattern]) => pattern.test(offence))).toBe(true);
  });
});

describe("imports of the house", () => {
  it("controller: backwards along the way of the data, or shared", () => {
    const faults = filesUnder("controller").flatMap((file) =>
      importsOf(file)
        .filter((target) => !target.startsWith("shared/"))
        .filter((target) => roomOf(target, WAY_OF_THE_DATA) > roomOf(file, WAY_OF_THE_DATA) || target.startsWith(".."))
        .map((target) => `${file} imports ${target}`),
    );
    expect(faults).toEqual([]);
  });

  it("shared: backwards in shared only", () => {
    const faults = filesUnder("shared").flatMap((file) =>
      importsOf(file)
        .filter((target) => {
          const room = roomOf(target, SHARED_ROOMS);
          return room < 0 || room > roomOf(file, SHARED_ROOMS);
        })
        .map((target) => `${file} imports ${target}`),
    );
    expect(faults).toEqual([]);
  });

  it("dashboard: dashboard and shared only", () => {
    const faults = filesUnder("dashboard").flatMap((file) =>
      importsOf(file)
        .filter((target) => !target.startsWith("dashboard/") && !target.startsWith("shared/"))
        .map((target) => `${file} imports ${target}`),
    );
    expect(faults).toEqual([]);
  });
});

describe("circles of files", () => {
  const everyFile = ["controller", "shared", "dashboard"].flatMap(filesUnder);

  it("imports and types: none", () => {
    expect(findCircles(new Map(everyFile.map((file) => [file, importsOf(file)])))).toEqual([]);
  });

  it("a imports b, b imports c, c imports a, d imports a: a, b and c", () => {
    const imports = new Map(Object.entries({ a: ["b"], b: ["c"], c: ["a"], d: ["a"] }));
    expect(findCircles(imports)).toEqual([["a", "b", "c"]]);
  });
});

describe("rules of the house", () => {
  it("each room that a rule names: there, with files in it", () => {
    const named = [...WAY_OF_THE_DATA, ...SHARED_ROOMS, ...PURE_ROOMS, ...Object.keys(PURE_BUT_FOR)];
    expect(named.filter((room) => filesUnder(room).length === 0)).toEqual([]);
  });
});

describe("files of the house", () => {
  it("top level: what the map shows and nothing else", () => {
    const tracked = execFileSync("git", ["ls-files", "--cached", "--others", "--exclude-standard"], {
      cwd: top,
      encoding: "utf8",
    });
    const names = new Set(
      tracked
        .split("\n")
        .filter(Boolean)
        .map((file) => file.split("/")[0] as string),
    );
    const visible = [...names].filter((name) => !name.startsWith(".")).sort();
    expect(visible).toEqual([
      "DEVELOPERS.md",
      "LICENSE",
      "README.md",
      "controller",
      "dashboard",
      "package-lock.json",
      "package.json",
      "shared",
      "tests",
      "tsconfig.json",
      "wiring-notes",
    ]);
  });

  it("names: no utils, common, helpers or misc", () => {
    const names = ["controller", "shared", "dashboard", "tests"].flatMap(filesUnder);
    expect(names.filter((name) => /(^|\/)(utils?|common|helpers?|misc)(\/|\.|$)/.test(name))).toEqual([]);
  });

  it("top-level functions: 70 lines at most", () => {
    const names = ["controller", "shared", "dashboard"].flatMap(filesUnder);
    expect(names.flatMap((file) => longFunctions(codeOf(file)).map((line) => `${file}: ${line}`))).toEqual([]);
  });
});

/** Top-level functions of more than 70 lines, by their first line; the formatter closes each with `}` in column 0. */
function longFunctions(code: string): string[] {
  const lines = code.split("\n");
  const starts = lines.flatMap((line, index) => (/^(export )?(async )?function\b/.test(line) ? [index] : []));
  return starts
    .filter((start) => lines.findIndex((line, index) => index > start && line.startsWith("}")) - start > 70)
    .map((start) => lines[start] as string);
}
