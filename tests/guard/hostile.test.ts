import { describe, expect, it } from "vitest";
import { buildGuardFirmware, GUARD_FIRMWARE_TOOLS } from "../system/rig/guard-firmware.ts";
import { describeWith } from "../system/rig/tools.ts";
import { digital, feed } from "./conversation.ts";
import { commandedBy, tryHostileStreams } from "./hostile.ts";

describe("outputs that a stream has commanded", () => {
  const armed = [...feed(1), ...feed(2)];
  it.each([
    ["a write before feeding", [...digital(1, 15)], 0],
    ["a write after one feed", [...feed(1), ...digital(1, 15)], 0],
    ["a write after two feeds", [...armed, ...digital(1, 5)], 5],
    ["a write after the same feed twice", [...feed(1), ...feed(1), ...digital(1, 5)], 0],
    ["a write that is cut short", [...armed, 0x91, 5], 0],
    ["one pin", [...armed, 0xf5, 9, 1], 2],
    ["on and off", [...armed, 0xf5, 9, 1, 0xf5, 9, 0], 0],
    ["a reset after all", [...armed, ...digital(1, 15), 0xff], 0],
    ["stray bytes behind a feed", [...armed, 3, 4, ...digital(1, 5), 6], 5],
    ["a feed with a foreign byte in it", [...feed(1), 0xf0, 0x0e, 1, 2, 0xc0, 0, 0, 0, 0xf7, ...digital(1, 5)], 0],
  ])("%s: $2", (_, stream, now) => expect(commandedBy([0xff, ...stream]).now).toBe(now));
});

describeWith(GUARD_FIRMWARE_TOOLS, "the guard firmware under hostile bytes", () => {
  /** Ten thousand by `npm run measure`; here as many as a few seconds allow. */
  const STREAMS = 500;

  it(`${STREAMS} hostile streams: outputs as commanded and no other, safe levels unchanged`, () => {
    const seed = Number(process.env.SEED ?? 20_260);
    const built = buildGuardFirmware();
    const outcome = tryHostileStreams(built.hex, STREAMS, seed);
    built.remove();
    expect(outcome.disobeyed, `seed ${seed}`).toEqual([]);
    expect(outcome.safeLevelsChanged).toBe(0);
    expect(outcome.withOutputOn).toBeGreaterThan(STREAMS / 10);
  });
});
