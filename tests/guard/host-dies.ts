import { spawn } from "node:child_process";
import { type EmulatedBoard, startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { buildGuardFirmware, GUARD_PINS } from "../system/rig/guard-firmware.ts";
import { pause, until } from "../system/rig/until.ts";

const PINS = Object.values(GUARD_PINS);
/** The pump may run for 60 s in ten minutes: a board that has seen so many kills loses its power and forgets. */
const KILLS_PER_POWER = 8;

/** From a kill until the last of the four outputs was safe, as seen on the pins of the emulated board. */
export interface KillToSafe {
  /** By the chip's own clock, which is the one that a real chip has. */
  readonly chipMs: number;
  /** By the wall's: longer where the machine has no time for the emulator. */
  readonly wallMs: number;
}

/** Kills a host that has everything on at random moments. */
export async function killHosts(kills: number): Promise<KillToSafe[]> {
  const firmware = buildGuardFirmware();
  const board = await startEmulatedBoard({
    firmware: firmware.hexPath,
    closed: [3],
    pulsed: [GUARD_PINS.waterGuard, GUARD_PINS.heatGuard],
  });
  try {
    const times: KillToSafe[] = [];
    for (let kill = 0; kill < kills; kill += 1) {
      if (kill > 0 && kill % KILLS_PER_POWER === 0) {
        await board.unplug();
        await board.plug();
      }
      times.push(await killOne(board));
    }
    return times;
  } finally {
    await board.stop();
    firmware.remove();
  }
}

async function killOne(board: EmulatedBoard): Promise<KillToSafe> {
  const host = spawn(process.execPath, [new URL("host.ts", import.meta.url).pathname, board.path], {
    stdio: "inherit",
  });
  await until("everything is on", () => PINS.every((pin) => board.level(pin) === "high"), 60_000);
  await pause(Math.random() * 700);
  const ended = new Promise((resolve) => host.once("exit", resolve));
  const killedMs = await board.chipMs();
  const killedNs = process.hrtime.bigint();
  host.kill("SIGKILL");
  await ended;
  await until("everything is off", () => PINS.every((pin) => board.level(pin) === "low"), 60_000);
  const last = PINS.flatMap((pin) => board.edges(pin).at(-1) ?? []);
  return {
    chipMs: Math.max(...last.map(({ chipMs }) => chipMs - killedMs)),
    wallMs: Math.max(...last.map(({ atNs }) => Number(atNs - killedNs) / 1e6)),
  };
}
