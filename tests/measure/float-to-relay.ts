import { openField } from "../../controller/outputs/field.ts";
import { type Commands, EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { settingsSchema } from "../../shared/settings/index.ts";
import { startEmulatedBoard } from "../system/rig/emulated-board.ts";

/** Times in milliseconds. */
export interface Spread {
  readonly median: number;
  readonly p99: number;
  readonly worst: number;
}

export interface FloatToRelay {
  readonly flips: number;
  /** From the edge at the emulated float's pin until a look shows it. */
  readonly edgeToLook: Spread;
  /** From the command until the relay's pin has fallen. */
  readonly commandToPin: Spread;
  /** Both, with the command given as soon as the flip is seen; what the scan adds is its own period and work. */
  readonly edgeToPin: Spread;
}

const FLOAT_PIN = 2;
const RELAY_PIN = 4;
const GUARD_PIN = 5;
const pumping: Commands = { ...EVERYTHING_OFF, "top-off-pump": true, "water-guard": true };

/** The share of boards, inputs and outputs in "float edge to relay off": through the firmware, the tty and back. */
export async function measureFloatToRelay(flips: number): Promise<FloatToRelay> {
  const chip = await startEmulatedBoard();
  const settings = settingsSchema.parse({
    attendedMinutes: 60,
    boards: { io: { kind: "firmata", port: chip.path } },
    inputs: { "high-float": { board: "io", pin: FLOAT_PIN, closedWhen: "on" } },
    outputs: {
      "top-off-pump": { board: "io", pin: RELAY_PIN, energisedLevel: "high" },
      "water-guard": { board: "io", pin: GUARD_PIN, energisedLevel: "high" },
    },
  });
  const nowMs = () => Number(process.hrtime.bigint()) / 1e6;
  const field = await openField(settings, nowMs);
  try {
    await waitFor(() => field.look(nowMs()).board === "ready");
    const looks: number[] = [];
    const pins: number[] = [];
    const wholes: number[] = [];
    for (let flip = 0; flip < flips; flip += 1) {
      field.command(pumping, nowMs());
      await waitFor(() => chip.level(RELAY_PIN) === "high");
      // Spread over the firmware's and the sampling's rhythm.
      await new Promise((resolve) => setTimeout(resolve, 20 + ((flip * 37) % 100)));
      const edge = chip.contact(FLOAT_PIN, "closed");
      await waitFor(() => field.look(nowMs()).readings["high-float"]?.value === true);
      const seenMs = nowMs();
      field.command(EVERYTHING_OFF, nowMs());
      const edgeMs = Number(await edge) / 1e6;
      await waitFor(() => chip.level(RELAY_PIN) === "low");
      const fellMs = Number(chip.edges(RELAY_PIN).at(-1)?.atNs) / 1e6;
      looks.push(seenMs - edgeMs);
      pins.push(fellMs - seenMs);
      wholes.push(fellMs - edgeMs);
      await chip.contact(FLOAT_PIN, "open");
      await waitFor(() => field.look(nowMs()).readings["high-float"]?.value === false);
    }
    return { flips, edgeToLook: spreadOf(looks), commandToPin: spreadOf(pins), edgeToPin: spreadOf(wholes) };
  } finally {
    await field.close();
    await chip.stop();
  }
}

function spreadOf(times: readonly number[]): Spread {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
  return { median: at(0.5), p99: at(0.99), worst: at(1) };
}

const MOST_MS = 10_000;

/** Looks again as soon as the event loop has done everything else, so that waiting adds nothing to what is measured. */
async function waitFor(holds: () => boolean): Promise<void> {
  const endMs = performance.now() + MOST_MS;
  while (!holds()) {
    if (performance.now() > endMs) throw new Error("the emulated board does not do its part");
    await new Promise((resolve) => setImmediate(resolve));
  }
}
