import { describe, expect, it } from "vitest";
import { createNewest } from "../../dashboard/incoming/newest.ts";
import { readJsonObject, readNumber, readSentence, readTimeMs } from "../../dashboard/incoming/payload.ts";
import { ageWords, leftWords, uncertaintyWords, valueWords } from "../../dashboard/pieces/words.ts";
import { drawnLevel, heightOfMm } from "../../dashboard/views/tank-heights.ts";

describe("payloads", () => {
  it.each([
    ["25.02", 25.02],
    ["-3", -3],
    ["1e-3", 0.001],
    ["", null],
    ["NaN", null],
    ["Infinity", null],
    ["1e999", null],
    ["0x10", null],
    ["25 ", null],
    ["25,0", null],
    ["[object Object]", null],
  ])("number %j is %j", (text, value) => expect(readNumber(text)).toBe(value));

  it.each([
    ["2026-01-02T03:04:05.678Z", Date.UTC(2026, 0, 2, 3, 4, 5, 678)],
    ["2026-01-02T03:04:05+01:00", Date.UTC(2026, 0, 2, 2, 4, 5)],
    ["2026-13-02T03:04:05Z", null],
    ["2026-01-02", null],
    ["yesterday", null],
    ["", null],
  ])("time %j is %j", (text, value) => expect(readTimeMs(text)).toBe(value));

  it("control characters: spaces; 5,000 characters: 600", () => {
    expect(readSentence("a\u0000b\nc")).toBe("a b c");
    expect(readSentence("x".repeat(5_000)).length).toBe(600);
  });

  it("object with an id: no toString in it; array, null, number or broken: null", () => {
    expect(readJsonObject('{"id":"a"}')?.get("toString")).toBeUndefined();
    expect([readJsonObject("[1]"), readJsonObject("null"), readJsonObject("{"), readJsonObject("3")]).toEqual([
      null,
      null,
      null,
      null,
    ]);
  });
});

describe("words", () => {
  it.each([
    [0.87, 1, "0.9"],
    [0.9, 1, "0.9"],
    [0.91, 1, "1.0"],
    [0.03, 1, "0.1"],
    [0.00066, 4, "0.0007"],
  ])("uncertainty %d is never said smaller than it is: %d decimals, %s", (value, decimals, said) =>
    expect(uncertaintyWords(value, decimals)).toBe(said),
  );

  it("−0.01 in one decimal: 0.0; −0.06: −0.1", () => {
    expect([valueWords(-0.01, 1), valueWords(-0.06, 1)]).toEqual(["0.0", "−0.1"]);
  });

  it.each([
    [2_000, "just now"],
    [45_000, "45 s ago"],
    [600_000, "10 min ago"],
    [3 * 3_600_000, "3 h ago"],
    [3 * 86_400_000, "3 days ago"],
  ])("an age of %d ms is %s", (ageMs, said) => expect(ageWords(ageMs)).toBe(said));

  it.each([
    [0, "0 s"],
    [59_001, "1 min 00 s"],
    [3_660_000, "1 h 01 min"],
    [-5, "0 s"],
  ])("%d ms left is %s", (leftMs, said) => expect(leftWords(leftMs)).toBe(said));
});

describe("the drawn level", () => {
  const heights = heightOfMm(40, -60);

  it("0, 40 and −60 mm: at mark, high and low float, one scale", () => {
    expect(heights.of(0)).toBe(heights.mark);
    expect(heights.of(40)).toBe(heights.high);
    expect(heights.of(-60)).toBe(heights.low);
    expect(heights.of(20) - heights.of(40)).toBeCloseTo(heights.of(0) - heights.of(20));
  });

  it("0 to 40 mm: solid to the mark, band to the high float, estimate; unknown: nothing; open below: no solid", () => {
    const between = { state: "at-mark", fromMm: 0, toMm: 40, estimateMm: 6 } as const;
    expect(drawnLevel(between, heights)).toEqual({
      solidTop: heights.mark,
      bandTop: heights.high,
      estimate: heights.of(6),
    });
    expect(drawnLevel({ state: "unknown", fromMm: 0, toMm: 40, estimateMm: 6 }, heights)).toEqual({
      solidTop: null,
      bandTop: null,
      estimate: null,
    });
    expect(drawnLevel({ state: "low", fromMm: null, toMm: 0, estimateMm: null }, heights)).toEqual({
      solidTop: null,
      bandTop: heights.mark,
      estimate: null,
    });
  });

  it("±1e9 mm: within the glass", () => {
    expect(heights.of(1e9)).toBeGreaterThan(0);
    expect(heights.of(-1e9)).toBe(206);
  });
});

describe("retained after live on one topic", () => {
  it("retained word after a live one: no news until the connection is opened anew; other topics: news", () => {
    const newest = createNewest();
    newest.opened();
    expect(newest.isNews("high-float/position", true)).toBe(true);
    expect(newest.isNews("high-float/position", false)).toBe(true);
    expect(newest.isNews("high-float/position", true)).toBe(false);
    expect(newest.isNews("low-float/position", true)).toBe(true);
    expect(newest.isNews("high-float/position", false)).toBe(true);
    newest.opened();
    expect(newest.isNews("high-float/position", true)).toBe(true);
  });
});
