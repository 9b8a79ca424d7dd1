import { describe, expect, test } from "vitest";
import { FRESH_CONTACT, readContact } from "../../controller/signals/contact.ts";
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
  test.each(rows)("%s", (_name, given, position, doubt) => {
    expect(readContact(FRESH_CONTACT, given, 250, false).signal).toMatchObject({ position, doubt });
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

  test("chatters at three flips in a minute, in a pour too", () => {
    expect(flips(2, 5_000)).toBe(false);
    expect(flips(3, 5_000)).toBe(true);
    expect(flips(3, 5_000, true)).toBe(true);
  });

  test("chatters at three flips in an hour, but not in pours", () => {
    expect(flips(3, 18 * 60_000)).toBe(true);
    expect(flips(3, 18 * 60_000, true)).toBe(false);
    expect(flips(12, 50 * 60_000)).toBe(false);
  });

  test("a silence between two equal positions is no flip", () => {
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
