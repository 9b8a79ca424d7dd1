import { describe, expect, test } from "vitest";
import type { Kept, Others, ScanContext, WatchContext } from "../../controller/decisions/machine.ts";
import { isAtTank, NOT_AT_TANK, type PresenceMemory, presence } from "../../controller/decisions/presence.ts";
import { elapsed } from "../elapsed.ts";

/** Who is known to stand at the tank. */
const kept = (atTankMs: number): Kept<null, PresenceMemory> => ({ durable: null, volatile: { atTankMs } });
const around = (atTankMs: number) => ({ keptOf: () => kept(atTankMs) }) as unknown as Others;

describe("at the tank", () => {
  test.each([
    ["tank", 0, true],
    ["network", 0, false],
    ["network", 1, true],
  ] as const)("asked from the %s, %d ms left of a presence said there: %s", (at, leftMs, expected) => {
    expect(isAtTank(at, around(leftMs))).toBe(expected);
  });

  const says = (minutes: number, at: "tank" | "network" = "tank") =>
    presence.request?.(kept(7), { kind: "at-tank", id: "x", at, minutes }, {} as ScanContext);
  const here = (minutes: number) =>
    `You are at the tank for ${minutes} minutes: parts may be proven and calibrated from the dashboard too.`;
  test.each([
    [60, kept(3_600_000), true, here(60)],
    [30, kept(1_800_000), true, here(30)],
    [0, kept(0), true, "Nobody is at the tank now."],
    [-0.1, kept(7), false, "From 0 to 60 minutes are expected."],
    [60.1, kept(7), false, "From 0 to 60 minutes are expected."],
    [Number.NaN, kept(7), false, "From 0 to 60 minutes are expected."],
  ])("%d minutes said at the tank", (minutes, after, accepted, why) => {
    expect(says(minutes)).toEqual({ kept: after, accepted, why });
  });
  test("said from the network: refused, unchanged", () => {
    expect(says(30, "network")).toEqual({ kept: kept(7), accepted: false, why: NOT_AT_TANK });
    expect(NOT_AT_TANK).toMatch(/^Parts are proven and calibrated at the tank, .* \(at-tank 30\)\.$/);
  });
  test("any other request is no business of it", () => {
    expect(presence.request?.(kept(7), { kind: "end-run", id: "x", at: "tank" }, {} as ScanContext)).toBeNull();
  });
  test("1.5 s left: 0.5 s after a scan of 1 s, none after the next", () => {
    const after = (leftMs: number) =>
      presence.watch?.(kept(leftMs), { elapsed: elapsed(1_000) } as unknown as WatchContext).kept.volatile.atTankMs;
    expect([after(1_500), after(500), after(0)]).toEqual([500, 0, 0]);
  });
});
