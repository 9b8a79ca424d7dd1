import { rehearsalField } from "../../controller/rehearsal/index.ts";
import { provenMemory } from "../../controller/scan/memory.ts";
import { step } from "../../controller/scan/step.ts";
import type { Commands, Image } from "../../shared/contract/image.ts";
import { EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { pause } from "../system/rig/until.ts";

/** A whole scan with the simulated tank: advance, look, step, command. Times in milliseconds. */
export interface ScanFigures {
  readonly hotMeanUs: number;
  readonly livePeriods: number;
  readonly liveMedianMs: number;
  readonly liveP99Ms: number;
  readonly liveWorstMs: number;
}

/** `hot` scans in a loop after a warm-up, then scans paced by the clock for `liveS` seconds. */
export async function measureScan(hot: number, liveS: number): Promise<ScanFigures> {
  const scan = scanner();
  for (let warm = 0; warm < 20_000; warm++) scan();
  // Processor time of this thread: on a busy machine the clock would count others' work too.
  const before = process.threadCpuUsage();
  for (let count = 0; count < hot; count++) scan();
  const { user, system } = process.threadCpuUsage(before);
  const hotMeanUs = (user + system) / hot;
  const lasted: number[] = [];
  for (let period = 0; period < liveS * 4; period++) {
    await pause(250);
    const beganNs = process.hrtime.bigint();
    scan();
    lasted.push(Number(process.hrtime.bigint() - beganNs) / 1e6);
  }
  lasted.sort((a, b) => a - b);
  const at = (share: number) => lasted[Math.min(lasted.length - 1, Math.floor(share * lasted.length))] ?? Number.NaN;
  return { hotMeanUs, livePeriods: lasted.length, liveMedianMs: at(0.5), liveP99Ms: at(0.99), liveWorstMs: at(1) };
}

function scanner(): () => void {
  const settings = rehearsalSettings();
  const tank = rehearsalField(1, settings);
  let memory = provenMemory(settings);
  let commands: Commands = EVERYTHING_OFF;
  let start: Image["start"] = { memory: "sound", offMs: 0 };
  return () => {
    tank.command(commands, tank.simulatedMs);
    tank.advance(settings.scanMs);
    const image: Image = {
      ...tank.look(tank.simulatedMs),
      elapsedMs: settings.scanMs,
      start,
      durableSequence: memory.durable.sequence,
      disk: "working",
      requests: [],
    };
    start = null;
    const next = step(memory, image, settings);
    ({ memory, commands } = next);
  };
}
