import { killHosts } from "../guard/host-dies.ts";
import { type HostileOutcome, tryHostileStreams } from "../guard/hostile.ts";
import { buildGuardFirmware } from "../system/rig/guard-firmware.ts";
import { type Spread, spreadOf } from "./spread.ts";

export interface HostKills {
  readonly kills: number;
  /** From kill -9 of the host until the last of the four outputs of the emulated board was safe, by the chip's clock. */
  readonly killToSafe: Spread;
  /** The same by the wall's clock: longer where the machine has no time for the emulator. */
  readonly killToSafeByWall: Spread;
  readonly toReachMs: number;
}

export async function measureHostKills(kills: number): Promise<HostKills> {
  const times = await killHosts(kills);
  return {
    kills,
    killToSafe: spreadOf(times.map(({ chipMs }) => chipMs)),
    killToSafeByWall: spreadOf(times.map(({ wallMs }) => wallMs)),
    toReachMs: 2200,
  };
}

/** What the firmware made of made-up, spoilt and random bytes, against an independent reading of the protocol. */
export function measureHostileStreams(streams: number, seed = 1): HostileOutcome {
  const firmware = buildGuardFirmware();
  try {
    return tryHostileStreams(firmware.hex, streams, seed);
  } finally {
    firmware.remove();
  }
}
