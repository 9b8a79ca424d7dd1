import { describe, expect, test } from "vitest";
import { findMatches, parsePattern, replaceMatch } from "./pattern.ts";
import { parseTree, type Tree } from "./tree.ts";

const placesOf = (find: string, source: string) => findMatches(parsePattern(find), parseTree(source) as Tree);

function plant(find: string, text: string, source: string): string {
  const [match] = placesOf(find, source);
  return match === undefined ? "not found" : replaceMatch(source, match, parsePattern(find), text);
}

describe("what a pattern finds", () => {
  const rows: [rule: string, find: string, source: string, times: number][] = [
    ["a hole stands for any expression", 'f($a, "wet")', 'f(x.y > 3 && z(), "wet")', 1],
    ["a text that is another is not found", 'f($a, "wet")', 'f(x, "dry")', 0],
    ["a text is the same in other quotes", '$f("wet")', "f(`wet`)", 1],
    ["the same hole twice is the same thing", "$a >= $b ? $a : $b", "x >= y ? x : y", 1],
    ["the same hole twice is no other thing", "$a >= $b ? $a : $b", "x >= y ? y : x", 0],
    ["layout and comments", "$a.fullMs >= $b", "x /* of the water */ .fullMs\n  >= // long\n y", 1],
    ["brackets that change nothing", "$a && $b", "(x) && (y)", 1],
    ["brackets that change something", "$a && ($b || $c)", "x && y || z", 0],
    ["casts", "$a <= $b - 1", "(x as number) <= y! - 1", 1],
    ["the type of a variable", "const $a = $b.value;", "const x: Celsius = y.value;", 1],
    ["a field that is another", "$a.fullMs", "x.lowMs", 0],
    ["braces around one statement", 'if ($a) return "wet";', 'function f() { if (x) { return "wet"; } }', 1],
    ["a condition that is another", 'if ($a >= $b) return "wet";', 'function f() { if (x > y) return "wet"; }', 0],
    ["a property among others", "question: $a === 0", "({ ...x, question: y === 0, z })", 1],
    ["a property of another name", "question: $a === 0", "({ answer: y === 0 })", 0],
    ["any number of elements", '["starting", $$rest]', '[["starting"], ["starting", "hold"], ["hold"]]', 2],
    ["any number of properties", "{ reason: $a, $$rest }", "f({ reason: x }, { reason: x, y, z }, { y })", 2],
    ["any number of statements", "if ($a) { $$b; return $c; }", "function f() { if (x) { g(); h(); return 1; } }", 1],
    ["statements that follow one another", "const $a = $b; return $a;", "() => { g(); const x = y; return x; }", 1],
    ["statements with something between them", "const $a = $b; return $a;", "() => { const x = y; g(); return x; }", 0],
  ];
  test.each(rows)("%s: `%s` in `%s` is found %d times", (_rule, find, source, times) => {
    expect(placesOf(find, source)).toHaveLength(times);
  });
});

describe("what is planted", () => {
  const rows: [rule: string, find: string, text: string, source: string, expected: string][] = [
    ["holes are filled as they stood", "$a - $b", "$a", "const x = m.y - z;", "const x = (m.y);"],
    ["loose ones are bracketed", "$a ? $b : 0", "$b && $a", "f(x || y ? z : 0)", "f((z && (x || y)))"],
    ["many stay many", "[1, $$r]", "[2, $$r]", "f([1, 3, 4])", "f(([2, 3, 4]))"],
    ["none stay none", "[1, $$r]", "[2, $$r]", "f([1])", "f(([2, ]))"],
    ["a statement is left out", 'if ($a) return "wet";', "", 'if (x) return "wet"; f();', " f();"],
    ["a property is replaced", "latch: $a", "latch: null", "({ x, latch: { y } })", "({ x, latch: null })"],
  ];
  test.each(rows)("%s: `%s` becomes `%s`", (_rule, find, text, source, expected) => {
    const inFunction = (code: string) => `function f() {${code}}`;
    expect(plant(find, text, inFunction(source))).toBe(inFunction(expected));
  });

  test("a hole that was not looked for: refused", () => {
    expect(() => plant("$a - 1", "$b", "x - 1")).toThrow("nothing was found for $b");
  });
});

test("a pattern that is no TypeScript: refused", () => {
  expect(() => parsePattern("if (")).toThrow("neither an expression nor properties nor statements: if (");
});
