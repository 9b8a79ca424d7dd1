import { describe, expect, it } from "vitest";
import { openAttendance } from "../../controller/outputs/attendance.ts";
import { FIRST_TURN, type Turns, takeTurns } from "../../controller/outputs/turns.ts";
import { type Commands, EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { settingsSchema } from "../../shared/settings/index.ts";

const POURING: Commands = { ...EVERYTHING_OFF, "top-off-pump": true, "water-guard": true };
const HEATING: Commands = { ...POURING, "heater-1": true, "heat-guard": true };
const APART_MS = 10;

/** What is shown over time from a stop on, until both are open. */
function stop(from: Turns, shown: Commands, wanted: Commands) {
  const first = takeTurns(from, shown, wanted, 1000, APART_MS);
  const between = takeTurns(first.turns, first.commands, wanted, 1009, APART_MS);
  const after = takeTurns(between.turns, between.commands, wanted, 1010, APART_MS);
  return { first: first.commands, between: between.commands, after: after.commands, turns: after.turns };
}

describe("relay and guard of the pump", () => {
  it("three stops: relay, guard, relay opens first, the other 10 ms later", () => {
    const one = stop(FIRST_TURN, POURING, EVERYTHING_OFF);
    expect(one.first).toEqual({ ...EVERYTHING_OFF, "water-guard": true });
    expect(one.between).toEqual(one.first);
    expect(one.after).toEqual(EVERYTHING_OFF);
    const two = stop(one.turns, POURING, EVERYTHING_OFF);
    expect(two.first).toEqual({ ...EVERYTHING_OFF, "top-off-pump": true });
    expect(two.after).toEqual(EVERYTHING_OFF);
    expect(stop(two.turns, POURING, EVERYTHING_OFF).first).toEqual(one.first);
  });

  it("heater on too: off at once, or on as before; only the pump's pair takes turns", () => {
    const { first, after } = stop(FIRST_TURN, HEATING, EVERYTHING_OFF);
    expect([first["heater-1"], first["heat-guard"]]).toEqual([false, false]);
    expect(after).toEqual(EVERYTHING_OFF);
    expect(stop(FIRST_TURN, HEATING, { ...HEATING, "top-off-pump": false, "water-guard": false }).first).toEqual({
      ...HEATING,
      "top-off-pump": false,
    });
  });

  it.each([
    ["only the relay is to open", POURING, { ...POURING, "top-off-pump": false }],
    ["only the guard was closed", { ...EVERYTHING_OFF, "water-guard": true }, EVERYTHING_OFF],
    ["both are to close", EVERYTHING_OFF, POURING],
  ])("%s: as wanted, turn kept", (_, shown, wanted) => {
    const { turns, commands } = takeTurns(FIRST_TURN, shown, wanted, 0, APART_MS);
    expect(commands).toEqual(wanted);
    expect(turns).toEqual(FIRST_TURN);
  });

  it("pour wanted again after 5 ms: on, no second opening", () => {
    const first = takeTurns(FIRST_TURN, POURING, EVERYTHING_OFF, 1000, APART_MS);
    const again = takeTurns(first.turns, first.commands, POURING, 1005, APART_MS);
    expect(again.commands).toEqual(POURING);
    expect(again.turns.held).toBeNull();
  });
});

describe("whether outputs may be energised", () => {
  const MINUTE_MS = 60_000;
  const settings = (more: object, firmware = "standard") =>
    settingsSchema.parse({
      boards: { io: { kind: "firmata", port: "/dev/x", firmware } },
      outputs: { "heater-1": { board: "io", pin: 10, energisedLevel: "high" } },
      ...more,
    });
  const may = (more: object, minutes: number, isService = false, firmware = "standard") =>
    openAttendance(settings(more, firmware), 1000, isService).mayEnergise(1000 + minutes * MINUTE_MS);

  it("standard firmware, nobody named: never", () => expect(may({}, 0)).toBe(false));
  it("attended for 10 min: until then; under a service manager: never", () => {
    expect(may({ attendedMinutes: 10 }, 0)).toBe(true);
    expect(may({ attendedMinutes: 10 }, 9.99)).toBe(true);
    expect(may({ attendedMinutes: 10 }, 10)).toBe(false);
    expect(may({ attendedMinutes: 10 }, 0, true)).toBe(false);
  });
  it("independent guard, or guard firmware: always", () => {
    expect(may({ independentGuard: "A timer relay that must be fed." }, 1e6, true)).toBe(true);
    expect(may({}, 1e6, true, "guard")).toBe(true);
  });
  it("words: minutes left, all off, or what the firmware does", () => {
    const say = (more: object, minutes: number, firmware = "standard") =>
      openAttendance(settings(more, firmware), 0, false)
        .describe(minutes * MINUTE_MS)
        .join(" ");
    expect(say({ attendedMinutes: 10 }, 3.5)).toMatch(/outputs stay as they are.*in at most 10 min all outputs go off/);
    expect(say({ attendedMinutes: 10 }, 5)).toMatch(/in at most 5 min/);
    expect(say({ attendedMinutes: 10 }, 9.5)).toMatch(/in at most 1 min/);
    expect(say({ attendedMinutes: 45 }, 0)).toMatch(/in at most 45 min/);
    expect(say({ attendedMinutes: 10 }, 11)).toMatch(/All outputs are off and stay off/);
    expect(say({}, 0, "guard")).toMatch(/guard firmware of board io opens pump and heater after 2 s/);
  });
  it("no outputs wired: always, nothing told", () => {
    const none = openAttendance(settingsSchema.parse({}), 0, true);
    expect(none.mayEnergise(1e9)).toBe(true);
    expect(none.describe(0)).toEqual([]);
  });
});
