import { describe, expect, test } from "vitest";
import { FRESH_CONTACT, isOnOrAbsent, readContact } from "../../controller/signals/contact.ts";
import type { ContactReading } from "../../shared/contract/index.ts";

const reading = (value: boolean, ageMs = 100): ContactReading => ({ value, fault: null, ageMs, sample: 1 });

describe("a contact", () => {
  const rows: [name: string, reading: ContactReading | null, position: string, doubt: string | null][] = [
    ["wet", reading(true), "on", null],
    ["dry", reading(false), "off", null],
    ["two seconds old", reading(true, 2_000), "on", null],
    ["older", reading(true, 2_001), "unknown", "stale"],
    ["of an age that is no number", reading(false, Number.NaN), "unknown", "stale"],
    ["disconnected", { value: null, fault: "disconnected", ageMs: 0, sample: 0 }, "unknown", "disconnected"],
    ["short", { value: null, fault: "short-circuit", ageMs: 0, sample: 0 }, "unknown", "short-circuit"],
    ["not fitted", null, "unknown", "not-fitted"],
    [
      "neither true nor false",
      { value: null, fault: null, ageMs: 0, sample: 1 } as unknown as ContactReading,
      "unknown",
      "garbled",
    ],
  ];
  test.each(rows)("%s: %j: %s, doubt %s", (_name, given, position, doubt) => {
    expect(readContact(FRESH_CONTACT, given, 250, false).signal).toMatchObject({ position, doubt });
  });

  test("isOnOrAbsent: on or not fitted true; off, disconnected or stale false", () => {
    const counts = (given: ContactReading | null) => isOnOrAbsent(readContact(FRESH_CONTACT, given, 250, false).signal);
    expect(counts(reading(true))).toBe(true);
    expect(counts(null)).toBe(true);
    expect(counts(reading(false))).toBe(false);
    // A cut wire to the return pump's sensor: nobody may heat as if the pump ran.
    expect(counts({ value: null, fault: "disconnected", ageMs: 0, sample: 0 })).toBe(false);
    expect(counts(reading(true, 2_001))).toBe(false);
  });

  function flips(count: number, everyMs: number, pouring = false): boolean {
    let memory = readContact(FRESH_CONTACT, reading(false), 0, pouring).memory;
    let chattering = false;
    for (let flip = 0; flip < count; flip++) {
      const read = readContact(memory, reading(flip % 2 === 0), everyMs, pouring);
      memory = read.memory;
      chattering = read.signal.chattering;
    }
    return chattering;
  }

  test("flips 5 s apart: two are no chatter, three are, in a pour too", () => {
    expect(flips(2, 5_000)).toBe(false);
    expect(flips(3, 5_000)).toBe(true);
    expect(flips(3, 5_000, true)).toBe(true);
  });

  test("three flips 18 min apart: chatter outside pours, none in pours; twelve 50 min apart: none", () => {
    expect(flips(3, 18 * 60_000)).toBe(true);
    expect(flips(3, 18 * 60_000, true)).toBe(false);
    expect(flips(12, 50 * 60_000)).toBe(false);
  });

  test("on to off and back: a flip of a minute and of 45 min each; to or from unknown: none, by way of it: one", () => {
    const seen = (positions: readonly (boolean | null)[]) => {
      let memory = FRESH_CONTACT;
      for (const value of positions) {
        const given = value === null ? reading(true, 9_999) : reading(value);
        memory = readContact(memory, given, 1_000, false).memory;
      }
      return memory;
    };
    expect(seen([true])).toEqual({ position: "on", known: "on", minuteMs: 0, hourMs: 0 });
    expect(seen([true, true])).toEqual({ position: "on", known: "on", minuteMs: 0, hourMs: 0 });
    expect(seen([true, null])).toEqual({ position: "unknown", known: "on", minuteMs: 0, hourMs: 0 });
    expect(seen([null, false])).toEqual({ position: "off", known: "off", minuteMs: 0, hourMs: 0 });
    expect(seen([true, false])).toEqual({ position: "off", known: "off", minuteMs: 60_000, hourMs: 2_700_000 });
    expect(seen([true, false, false])).toEqual({ position: "off", known: "off", minuteMs: 59_000, hourMs: 2_699_000 });
    expect(seen([true, false, null])).toEqual({
      position: "unknown",
      known: "off",
      minuteMs: 59_000,
      hourMs: 2_699_000,
    });
    expect(seen([true, false, true])).toEqual({ position: "on", known: "on", minuteMs: 119_000, hourMs: 5_399_000 });
    // By way of nothing it has flipped as well; back where it was, it has not.
    expect(seen([true, null, false])).toMatchObject({ position: "off", minuteMs: 60_000 });
    expect(seen([true, null, null, true])).toMatchObject({ position: "on", minuteMs: 0 });
  });

  test("one flip, 100 s later: minute forgotten, 2,600 s of the hour left", () => {
    let memory = readContact(FRESH_CONTACT, reading(true), 1_000, false).memory;
    memory = readContact(memory, reading(false), 1_000, false).memory;
    for (let second = 0; second < 100; second++) memory = readContact(memory, reading(false), 1_000, false).memory;
    expect(memory).toEqual({ position: "off", known: "off", minuteMs: 0, hourMs: 2_600_000 });
  });

  test("flip in a pour, 60 s later: nothing left, the very same memory from then on", () => {
    let memory = readContact(FRESH_CONTACT, reading(true), 1_000, false).memory;
    memory = readContact(memory, reading(false), 1_000, true).memory;
    expect(memory).toMatchObject({ minuteMs: 60_000, hourMs: 0 });
    memory = readContact(memory, reading(false), 60_000, false).memory;
    expect(memory).toEqual({ position: "off", known: "off", minuteMs: 0, hourMs: 0 });
    // And with nothing left to forget, what did not change is the same memory.
    expect(readContact(memory, reading(false), 1_000, false).memory).toBe(memory);
  });

  test("on, lost, on, stale, on: not chattering", () => {
    let memory = FRESH_CONTACT;
    let chattering = false;
    for (const given of [reading(true), null, reading(true), reading(true, 9_999), reading(true)]) {
      ({
        memory,
        signal: { chattering },
      } = readContact(memory, given, 250, false));
    }
    expect(chattering).toBe(false);
  });
});
