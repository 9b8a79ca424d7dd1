import fc from "fast-check";
import { describe, expect, test, vi } from "vitest";
import { CONDITIONS } from "../../controller/alarms/list.ts";
import { ABSENCE } from "../../controller/decisions/absence/key.ts";
import { storedAbsence } from "../../controller/decisions/absence/memory.ts";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { keptIn, type Memory, withKept } from "../../controller/scan/memory.ts";
import { step } from "../../controller/scan/step.ts";
import type { AbsenceRequest, Commands, Image } from "../../shared/contract/index.ts";
import { Box, SETTINGS } from "./box.ts";
import { noneMet, SMALL, walk, walkArbitrary } from "./walk.ts";

/** Stories of somebody who goes away, and what it must never change. */

const HOUR_MS = 3_600_000;
const away = (fromH: number, toH: number) => ({ kind: "absence", at: "network", fromH, toH }) as const;
const back = { kind: "end-absence", at: "network" } as const;
const stateOf = (box: Box) => box.record.absence.state;

describe("absence", () => {
  test("told for 1 h to 3 h from now: planned, lasting after the first hour, none after the third", () => {
    const box = Box.atRest().asks(away(1, 3));
    expect([box.accepted, stateOf(box)]).toEqual([true, "planned"]);
    expect(box.after(59, 10_000)).toSatisfy((one: Box) => stateOf(one) === "planned");
    expect(box.after(2, 10_000)).toSatisfy((one: Box) => stateOf(one) === "lasting");
    expect(box.after(118, 10_000)).toSatisfy((one: Box) => stateOf(one) === "lasting");
    expect(box.after(2, 10_000).record.absence).toMatchObject({ state: "none", beginsInMs: 0, endsInMs: null });
  });

  test("answer: noted, the verdict in one line, what runs out and what to do now", () => {
    const box = Box.atRest().asks(away(0, 336));
    expect(box.outcome).toMatch(/^Noted: away from now on, back 14 days from now\./);
    expect(box.outcome).toMatch(/somebody must come meanwhile, for a measurement of the salinity and the reservoir\./);
    expect(box.outcome).toMatch(/Fill it to 10 L before you leave/);
  });

  test("what falls due stands in the record from the first scan on, soonest first, the same list in the next scan", () => {
    const box = Box.atRest();
    const { due } = box.record.absence;
    const earliest = due.map(({ earliestH }) => earliestH ?? Number.POSITIVE_INFINITY);
    expect(earliest).toEqual([...earliest].sort((one, other) => one - other));
    expect(due.find(({ kind }) => kind === "reservoir")).toMatchObject({ litres: { left: 10, full: 10 } });
    expect(due.map(({ kind }) => kind)).toContain("calibration");
    expect(box.scan().record.absence.due).toBe(due);
    // In an hour everything is an hour nearer.
    const later = box.after(60, 10_000).record.absence.due.find(({ of }) => of === "high float");
    expect(later?.inH).toBeCloseTo((due.find(({ of }) => of === "high float")?.inH ?? 0) - 1, 1);
  });

  const refused: readonly [string, ReturnType<typeof away>, RegExp][] = [
    ["it ends before it begins", away(5, 4), /ends before it begins/],
    ["it has no length", away(5, 5), /ends before it begins/],
    ["half an hour", away(0, 0.5), /lasts from 1 hour to 60 days/],
    ["61 days", away(0, 61 * 24), /lasts from 1 hour to 60 days/],
    ["it began yesterday", away(-24, 24), /begins from now to 90 days from now/],
    ["91 days ahead", away(91 * 24, 92 * 24), /begins from now to 90 days from now/],
    ["no number", away(Number.NaN, 4), /begins from now/],
    ["an end that is no number", away(0, Number.NaN), /ends before it begins/],
  ];
  test.each(refused)("%s: refused with the accepted range, nothing changed", (_, asked, why) => {
    const box = Box.atRest().asks(asked);
    expect([box.accepted, stateOf(box)]).toEqual([false, "none"]);
    expect(box.outcome).toMatch(why);
  });

  test("60 days and 1 hour, 90 days ahead: taken", () => {
    expect(Box.atRest().asks(away(0, 60 * 24)).accepted).toBe(true);
    expect(Box.atRest().asks(away(90 * 24, 90 * 24 + 1)).accepted).toBe(true);
  });

  test("a second one while one stands or is planned: refused, with when that is over; ended: taken", () => {
    const box = Box.atRest().asks(away(0, 100)).asks(away(50, 200));
    expect([box.accepted, box.outcome]).toEqual([false, expect.stringMatching(/stands already, over in 4 days/)]);
    expect(box.asks(back)).toMatchObject({ accepted: true });
    expect(box.asks(away(50, 200)).accepted).toBe(true);
    expect(box.asks(away(300, 400)).outcome).toMatch(/is planned already/);
  });

  test("end without one: refused", () => {
    expect(Box.atRest().asks(back)).toMatchObject({ accepted: false, outcome: "No absence stands that could end." });
  });

  test("same id again after it was ended: answered as before, not told again", () => {
    const box = Box.atRest()
      .asks({ ...away(0, 100), id: "one" })
      .asks(back)
      .asks({ ...away(0, 100), id: "one" });
    expect(stateOf(box)).toBe("none");
  });
});

describe("absence over a restart", () => {
  test("killed, off for 2 h of 10: the time counts in full", () => {
    const box = Box.atRest()
      .asks(away(1, 10))
      .scan()
      .isKilled(2 * HOUR_MS)
      .scan();
    const { state, endsInMs } = box.record.absence;
    expect(state).toBe("lasting");
    expect(endsInMs).toBeLessThanOrEqual(8 * HOUR_MS);
    expect(endsInMs).toBeGreaterThan(7.99 * HOUR_MS);
  });
  test("off for longer than it lasts: over", () => {
    expect(
      stateOf(
        Box.atRest()
          .asks(away(0, 10))
          .scan()
          .isKilled(11 * HOUR_MS)
          .scan(),
      ),
    ).toBe("none");
  });
  test("off for an unknown time: ends only when told", () => {
    const box = Box.atRest().asks(away(0, 1)).scan().isKilled(null).scan();
    expect(box.record.absence).toMatchObject({ state: "lasting", endsInMs: null });
    expect(stateOf(box.after(180, 30_000))).toBe("lasting");
    expect(box.asks(away(0, 4)).outcome).toMatch(/until somebody says that it is over/);
    expect(stateOf(box.asks(back))).toBe("none");
  });
  test.each(["missing", "older"] as const)("memory %s: none, reminders are sent again", (found) => {
    expect(stateOf(Box.atRest().asks(away(0, 10)).scan().isKilled(0, found).scan())).toBe("none");
  });
  test.each([null, 5, {}, { untilBeginMs: -1, untilEndMs: 5, untilTold: false }])("stored as %j: none", (stored) => {
    expect(storedAbsence.parse(stored)).toBeNull();
  });
});

/** Thirty-six days since anything was proven: both monthly reminders stand. */
const dueBox = () => {
  const box = Box.atRest();
  const { parts } = box.durable(PROVING);
  const old = Object.fromEntries(
    Object.entries(parts).map(([part, proof]) => [part, { ...proof, ageMs: 36 * 24 * HOUR_MS }]),
  );
  return box.remembers(PROVING, { parts: old as unknown as typeof parts }).afterSeconds(5);
};
const standing = (box: Box) =>
  box.record.alarms.filter(({ active, state }) => active && state !== "suppressed").map(({ id }) => id);
const REMINDERS = ["high-float-proof-due", "protective-device-test-due"];

describe("alarms during an absence", () => {
  test("two monthly proofs due: told; away: suppressed by design; back: told again", () => {
    const box = dueBox();
    expect(standing(box)).toEqual(REMINDERS);
    expect(standing(box.asks(away(0, 100)).scan())).toEqual([]);
    expect(box.record.alarms.map(({ id, state }) => [id, state])).toEqual(REMINDERS.map((id) => [id, "suppressed"]));
    expect(standing(box.asks(back).scan())).toEqual(REMINDERS);
  });
  test("planned only: told", () => {
    expect(standing(dueBox().asks(away(5, 100)).scan())).toEqual(REMINDERS);
  });
  test("water on the floor, reservoir empty while away: both told, as ever", () => {
    const box = dueBox().asks(away(0, 100)).sees({ "floor-sensor": "wet", "reservoir-float": "dry" }).after(3);
    expect(standing(box)).toEqual(expect.arrayContaining(["floor-wet", "reservoir-empty"]));
    expect(standing(box)).not.toEqual(expect.arrayContaining(REMINDERS));
  });

  test("what rests: low, back by itself, mirrors no lock, and is suppressed by an absence alone", () => {
    const { record } = dueBox();
    const lasting = { ...record, absence: { ...record.absence, state: "lasting" as const } };
    const resting = CONDITIONS.filter(({ inAbsence }) => inAbsence === "rests");
    for (const { priority, clears, suppressed, lockedOut } of resting) {
      expect([priority, clears]).toEqual(["low", "by-itself"]);
      expect([suppressed(record, SETTINGS), suppressed(lasting, SETTINGS)]).toEqual([false, true]);
      expect(lockedOut(record)).toBe(false);
    }
    expect(resting.map(({ id }) => id).sort()).toEqual([
      "high-float-proof-due",
      "parts-not-proven",
      "protective-device-test-due",
      "source-water-impure",
    ]);
  });
  test("every other alarm: an absence suppresses none", () => {
    const { record } = dueBox();
    const lasting = { ...record, absence: { ...record.absence, state: "lasting" as const } };
    for (const { inAbsence, suppressed, id } of CONDITIONS) {
      if (inAbsence !== "rests")
        expect([id, suppressed(lasting, SETTINGS)]).toEqual([id, suppressed(record, SETTINGS)]);
    }
  });
});

/** S7: an absence changes no permissive. */
describe("an absence changes nothing in the water", () => {
  vi.setConfig({ testTimeout: 600_000 });
  const RUNS = { numRuns: Number(process.env.RUNS ?? 40) };
  const asked: fc.Arbitrary<AbsenceRequest> = fc.record({
    kind: fc.constant("absence" as const),
    id: fc.constant("away"),
    at: fc.constantFrom("tank" as const, "network" as const),
    fromH: fc.constantFrom(0, 0.001, 5, -1),
    toH: fc.constantFrom(0.5, 1.01, 300, 5_000),
  });
  const withoutAbsence = ({ machines }: Memory) => ({ ...machines, [ABSENCE.name]: null });
  const standingIn = (memory: Memory): Memory =>
    withKept(memory, ABSENCE, {
      durable: { untilBeginMs: 0, untilEndMs: 100 * HOUR_MS, untilTold: false },
      volatile: keptIn(memory, ABSENCE).volatile,
    });

  test("any scan, asked for in it or standing: same commands, same memory of every other machine", () => {
    let scans = 0;
    const property = fc.property(walkArbitrary, asked, (events, request) =>
      walk(events, noneMet(), {
        scanned({ before, image, commands, memory }) {
          scans += 1;
          if (scans % 7 !== 0) return;
          const { requests } = image as Image;
          const told = step(before, { ...(image as Image), requests: [...requests, request] }, SMALL);
          expect(told.commands).toEqual(commands);
          const lasting = step(standingIn(before), image as Image, SMALL);
          expect(lasting.commands).toEqual(commands);
          expect(withoutAbsence(lasting.memory)).toEqual(withoutAbsence(memory));
        },
      }),
    );
    fc.assert(property, RUNS);
    expect(scans).toBeGreaterThan(1_000);
  });

  test("whole walks with and without: same commands in every scan", () => {
    const from = new Box(SMALL, { "working-float": "wet" }).afterSeconds(10);
    const commandsOf = (events: Parameters<typeof walk>[0], start: Box) => {
      const all: Commands[] = [];
      walk(events, noneMet(), { scanned: ({ commands }) => void all.push(commands) }, start);
      return all;
    };
    const property = fc.property(walkArbitrary, (events) => {
      const with_ = from.twin();
      with_.memory = standingIn(with_.memory);
      expect(commandsOf(events, with_)).toEqual(commandsOf(events, from.twin()));
    });
    fc.assert(property, RUNS);
  });
});
