import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { frontOf } from "../system/rig/attacks.ts";
import { type Program, startProgram } from "../system/rig/program.ts";
import { pause } from "../system/rig/until.ts";

/** The whole program on the rehearsal tank at the pace of the clock. */
export interface ProgramFigures {
  readonly toListeningMs: number;
  readonly afterS: number;
  readonly residentMb: number;
  /** Share of one core since the start settled, percent. */
  readonly corePercent: number;
  readonly writtenMbPerDay: number;
  readonly worstScanMs: number;
}

export async function measureProgram(afterS: number): Promise<ProgramFigures> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-measure-"));
  const beganMs = performance.now();
  const program = await startProgram("reef-box", "--data", folder);
  const toListeningMs = performance.now() - beganMs;
  try {
    await pause(10_000);
    const early = usage(program);
    await pause((afterS - 10) * 1000);
    const late = usage(program);
    const spanS = afterS - 10;
    return {
      toListeningMs,
      afterS,
      residentMb: late.residentMb,
      corePercent: (100 * (late.cpuS - early.cpuS)) / spanS,
      writtenMbPerDay: ((late.writtenMb - early.writtenMb) / spanS) * 86_400,
      worstScanMs: Number(program.topic("scan/worst-ms")),
    };
  } finally {
    await program.end("SIGINT");
    rmSync(folder, { recursive: true, force: true });
  }
}

const TICKS_PER_S = 100;

/** Of both processes together. */
function usage({ pid }: Program) {
  const parts = [pid, frontOf(pid)].flatMap((one) => (one === null ? [] : usageOf(one)));
  const sum = (what: keyof (typeof parts)[number]) => parts.reduce((total, one) => total + one[what], 0);
  return { residentMb: sum("residentMb"), cpuS: sum("cpuS"), writtenMb: sum("writtenMb") };
}

function usageOf(pid: number) {
  const of = (name: string) => readFileSync(`/proc/${pid}/${name}`, "utf8");
  const residentMb = Number(of("status").match(/VmRSS:\s+(\d+)/)?.[1]) * 1.024e-3;
  const fields = of("stat").split(") ")[1]?.split(" ") ?? [];
  const cpuS = (Number(fields[11]) + Number(fields[12])) / TICKS_PER_S;
  const writtenMb = Number(of("io").match(/^write_bytes: (\d+)/m)?.[1]) / 1e6;
  return { residentMb, cpuS, writtenMb };
}

/** Everything that the first view loads, gzip, kB. */
export function measureFirstView(): number {
  const dist = new URL("../../dashboard/dist/", import.meta.url).pathname;
  const files = readdirSync(dist, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".gz"));
  return files.reduce((sum, name) => sum + statSync(join(dist, name)).size, 0) / 1000;
}
