import { expect, it } from "vitest";
import { measureFloatToRelay } from "../measure/float-to-relay.ts";
import { measureMessageFlood } from "../measure/message-flood.ts";
import { measureReplug } from "../measure/replug.ts";
import { EMULATED_BOARD_TOOLS } from "../system/rig/emulated-board.ts";
import { describeWith } from "../system/rig/tools.ts";

/**
 * The figures themselves are printed by `npm run measure`, on a quiet machine. Here the same measurements run with room
 * for a machine that is busy: what fails is broken, not slow.
 */
const ROOM_MS = 300;

describeWith(EMULATED_BOARD_TOOLS, "the whole way from the water to the pump", () => {
  it("float full, 20 times: pump's pin and contact open within a scan, median", async () => {
    const { edgeToOpen, edgeToPin, toReachMs } = await measureFloatToRelay(20);
    expect(edgeToPin.median).toBeLessThan(toReachMs + ROOM_MS);
    expect(edgeToOpen.median).toBeLessThanOrEqual(edgeToPin.median);
  }, 200_000);

  it("plug pulled in a pour, twice: pours again after the steady time, never before it", async () => {
    const { plugToPour, toReachMs, tooEarly } = await measureReplug(2);
    expect(plugToPour.median).toBeLessThan(toReachMs + 10 * ROOM_MS);
    expect(tooEarly).toBe(0);
  }, 120_000);

  it("100,000 messages of a board: heap grows by less than 3 MB", async () => {
    const { heapWarmMb, heapEndMb, heardShare } = await measureMessageFlood(100_000);
    expect(heardShare).toBeGreaterThan(0.9);
    expect(heapEndMb - heapWarmMb).toBeLessThan(3);
  }, 120_000);
});
