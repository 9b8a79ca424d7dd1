import { STEADY_MS } from "../../shared/settings/limits.ts";
import { PINS, startPouringProgram, WAITS_DIVIDED_BY } from "./pouring-program.ts";
import { type Spread, spreadOf } from "./spread.ts";

export interface Replug {
  readonly rounds: number;
  /** From the plug until the board's inputs are read again. */
  readonly plugToReady: Spread;
  /** From the plug until a pour that is due begins by itself. */
  readonly plugToPour: Spread;
  /** Five seconds and the steady time, as short as the settings make it. */
  readonly toReachMs: number;
  /** Rounds in which the relay came on before the steady time could be over. */
  readonly tooEarly: number;
}

/** The board is unplugged in mid-pour and plugged in again, the float still low. */
export async function measureReplug(rounds: number): Promise<Replug> {
  const { board, program, close } = await startPouringProgram();
  const steadyMs = STEADY_MS / WAITS_DIVIDED_BY;
  try {
    const ready: number[] = [];
    const poured: number[] = [];
    let tooEarly = 0;
    for (let round = 0; round < rounds; round += 1) {
      await board.contact(PINS.working, "closed");
      await board.until(PINS.pump, "high", 60_000);
      await board.unplug();
      await program.untilTopic("scan/board", "silent", 10_000);
      await program.untilTopic("top-off-pump/on", "false");
      await board.plug();
      const pluggedNs = process.hrtime.bigint();
      const sinceMs = (ns: bigint) => Number(ns - pluggedNs) / 1e6;
      await program.untilTopic("scan/board", "ready", 20_000);
      ready.push(sinceMs(process.hrtime.bigint()));
      await board.until(PINS.pump, "high", 60_000);
      const on = board.edges(PINS.pump).filter(({ level, atNs }) => level === "high" && atNs > pluggedNs);
      poured.push(sinceMs(on[0]?.atNs ?? 0n));
      if (sinceMs(on[0]?.atNs ?? 0n) < steadyMs) tooEarly += 1;
      await board.contact(PINS.working, "open");
      await board.until(PINS.pump, "low");
    }
    const toReachMs = 5000 + steadyMs;
    return { rounds, plugToReady: spreadOf(ready), plugToPour: spreadOf(poured), toReachMs, tooEarly };
  } finally {
    await close();
  }
}
