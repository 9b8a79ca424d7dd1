import { pause } from "../system/rig/until.ts";
import { PINS, SCAN_MS, startPouringProgram } from "./pouring-program.ts";
import { type Spread, spreadOf } from "./spread.ts";

export interface FloatToRelay {
  readonly flips: number;
  /** One scan and 20 ms. */
  readonly toReachMs: number;
  /** From the edge at the emulated float's pin until the first of relay and guard has opened: the load is broken. */
  readonly edgeToOpen: Spread;
  /** From the same edge until the relay's pin has fallen, also where it was the guard's turn to break the load. */
  readonly edgeToPin: Spread;
}

/** The whole way through the whole program: firmware, tty, driver, scan, decision, driver, tty, firmware, pin. */
export async function measureFloatToRelay(flips: number): Promise<FloatToRelay> {
  const { board, close } = await startPouringProgram();
  try {
    const opened: number[] = [];
    const fell: number[] = [];
    for (let flip = 0; flip < flips; flip += 1) {
      await board.contact(PINS.working, "closed");
      await board.until(PINS.pump, "high", 60_000);
      // Spread over the rhythm of the scan.
      await pause(30 + ((flip * 97) % SCAN_MS));
      const edgeMs = Number(await board.contact(PINS.working, "open")) / 1e6;
      await board.until(PINS.pump, "low");
      await board.until(PINS.waterGuard, "low");
      const sinceEdge = (pin: number) => Number(board.edges(pin).at(-1)?.atNs) / 1e6 - edgeMs;
      opened.push(Math.min(sinceEdge(PINS.pump), sinceEdge(PINS.waterGuard)));
      fell.push(sinceEdge(PINS.pump));
    }
    return { flips, toReachMs: SCAN_MS + 20, edgeToOpen: spreadOf(opened), edgeToPin: spreadOf(fell) };
  } finally {
    await close();
  }
}
