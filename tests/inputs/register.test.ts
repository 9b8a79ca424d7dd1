import { describe, expect, it } from "vitest";
import { numberFrom } from "../../controller/inputs/register.ts";

const plain = { wordOrder: "high-first", scale: 1, offset: 0 } as const;

describe("a number in registers", () => {
  // Two's complement and IEEE 754-2019 binary32; the float patterns are those of the standard's own interchange format.
  it.each([
    ["uint16", [0x0000], 0],
    ["uint16", [0xffff], 65_535],
    ["int16", [0x7fff], 32_767],
    ["int16", [0x8000], -32_768],
    ["int16", [0xffff], -1],
    ["uint32", [0x0001, 0x0000], 65_536],
    ["uint32", [0xffff, 0xffff], 4_294_967_295],
    ["int32", [0xffff, 0xfffe], -2],
    ["int32", [0x8000, 0x0000], -2_147_483_648],
    ["float32", [0x3f80, 0x0000], 1],
    ["float32", [0xc000, 0x0000], -2],
    ["float32", [0x4254, 0x6666], Math.fround(53.1)],
    ["float32", [0x8000, 0x0000], 0],
  ] as const)("%s of %j is %d", (type, words, value) => {
    expect(numberFrom(words, { ...plain, type })).toBe(value);
  });

  it("low word first: 53.1 and 65,536", () => {
    expect(numberFrom([0x6666, 0x4254], { ...plain, type: "float32", wordOrder: "low-first" })).toBeCloseTo(53.1, 5);
    expect(numberFrom([0x0000, 0x0001], { ...plain, type: "uint32", wordOrder: "low-first" })).toBe(65_536);
  });

  it("one word, low word first: not swapped", () => {
    expect(numberFrom([0x0102], { ...plain, type: "uint16", wordOrder: "low-first" })).toBe(0x0102);
  });

  it("0x09ce, scale 0.01, offset −0.1: 25", () => {
    expect(numberFrom([0x09ce], { ...plain, type: "int16", scale: 0.01, offset: -0.1 })).toBeCloseTo(25, 10);
  });

  it.each([
    ["a quiet NaN", [0x7fc0, 0x0000]],
    ["a signalling NaN", [0x7fa0, 0x0001]],
    ["plus infinity", [0x7f80, 0x0000]],
    ["minus infinity", [0xff80, 0x0000]],
    ["one word too few", [0x3f80]],
    ["no words", []],
  ] as const)("%s: null", (_, words) => {
    expect(numberFrom(words, { ...plain, type: "float32" })).toBeNull();
  });

  it("scaled beyond the largest number: null", () => {
    expect(numberFrom([0x7f7f, 0xffff], { ...plain, type: "float32", scale: 1e300 })).toBeNull();
  });
});
