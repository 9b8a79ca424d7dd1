import type { PinBoard } from "../../controller/boards/firmata.ts";
import { until } from "../system/rig/until.ts";

const ATTEMPTS = 5;

/**
 * Runs a test's body on a board that is ready, and anew where the board fell out of use meanwhile: a machine that stalls
 * for half a second makes it do so, and then nothing was shown. What is broken fails undisturbed too.
 */
export async function undisturbed(board: PinBoard, body: () => Promise<void>): Promise<void> {
  for (let attempt = 1; ; attempt += 1) {
    await until("the board is ready", () => board.isReady && !board.isSilent(performance.now()), 60_000);
    board.forgetRestart();
    let fell = false;
    const watch = setInterval(() => {
      fell ||= !board.isReady;
    }, 20);
    try {
      await body();
      return;
    } catch (error) {
      if (!fell || attempt === ATTEMPTS) throw error;
    } finally {
      clearInterval(watch);
    }
  }
}
