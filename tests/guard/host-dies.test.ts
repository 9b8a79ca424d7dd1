import { expect, it, vi } from "vitest";
import { EMULATED_BOARD_TOOLS, startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { buildGuardFirmware, GUARD_FIRMWARE_TOOLS, GUARD_PINS } from "../system/rig/guard-firmware.ts";
import { describeWith } from "../system/rig/tools.ts";
import { pause, until } from "../system/rig/until.ts";
import { digital, feed } from "./conversation.ts";
import { killHosts } from "./host-dies.ts";
import { plugHost } from "./plug-host.ts";

/** On a machine that has much else to do; what is broken fails all the same, only later. */
vi.setConfig({ testTimeout: 400_000, hookTimeout: 200_000 });

/** A hundred by `npm run measure`. */
const KILLS = 20;
const SAFE_WITHIN_MS = 2200;

describeWith([...EMULATED_BOARD_TOOLS, ...GUARD_FIRMWARE_TOOLS], "a board with guard firmware behind a tty", () => {
  it(`${KILLS} kills -9 of its host: all outputs at rest within ${SAFE_WITHIN_MS} ms each, none before 1,500`, async () => {
    const times = await killHosts(KILLS);
    expect(times).toHaveLength(KILLS);
    const chipMs = times.map((time) => time.chipMs);
    expect(Math.max(...chipMs)).toBeLessThan(SAFE_WITHIN_MS);
    // A host that is alive keeps it fed: nothing falls before the two seconds are nearly over.
    expect(Math.min(...chipMs)).toBeGreaterThan(1500);
  }, 400_000);

  it.each(["hang", "freeze"] as const)(
    "firmware that %ss: water guard and heat guard contacts open within 1 s",
    async (how) => {
      const firmware = buildGuardFirmware();
      const board = await startEmulatedBoard({
        firmware: firmware.hexPath,
        pulsed: [GUARD_PINS.waterGuard, GUARD_PINS.heatGuard],
      });
      const host = await plugHost(board.path);
      for (let counter = 1; counter <= 3; counter += 1) host.send([...feed(counter)]);
      host.send(digital(1, 0b1111));
      const contacts = [GUARD_PINS.waterGuard, GUARD_PINS.heatGuard];
      await until("both are closed", () => contacts.every((pin) => board.level(pin) === "high"));
      const beganMs = await board.chipMs();
      await board[how]();
      await until("both are open", () => contacts.every((pin) => board.level(pin) === "low"), 60_000);
      for (const pin of contacts) {
        const tookMs = (board.edges(pin).at(-1)?.chipMs ?? 0) - beganMs;
        expect(tookMs).toBeLessThan(1000);
      }
      // The pump's relay has no pulse: it stays where it is until a watchdog that is alive resets the chip.
      await pause(800);
      expect(board.level(GUARD_PINS.pump)).toBe(how === "hang" ? "low" : "high");
      await host.close();
      await board.stop();
      firmware.remove();
    },
  );
});
