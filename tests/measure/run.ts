import { execFileSync } from "node:child_process";
import { measureFloatToRelay } from "./float-to-relay.ts";
import { measureFirstView, measureProgram } from "./program.ts";
import { measureRehearsal } from "./rehearsal.ts";
import { measureScan } from "./scan.ts";
import { measureWater } from "./water.ts";

/**
 * `npm run measure` prints the figures as a table; `-- --full` takes the long spans that the figures are defined for.
 * Timings are figures, never a pass or fail: read them on a quiet machine.
 */
const full = process.argv.includes("--full");

execFileSync(process.execPath, ["controller/cli/build-dashboard.mjs"], { stdio: "inherit" });
const rows: { figure: string; measured: string; "to reach": string }[] = [];
const row = (figure: string, measured: string, reach: string) => rows.push({ figure, measured, "to reach": reach });

const scan = await measureScan(full ? 2_000_000 : 400_000, full ? 600 : 30);
row("whole scan with the simulated tank, hot mean", `${scan.hotMeanUs.toFixed(1)} µs`, "≤ 6 µs");
row(`live scan at 4 Hz, ${scan.livePeriods} scans, median`, `${scan.liveMedianMs.toFixed(2)} ms`, "");
row("live scan at 4 Hz, p99", `${scan.liveP99Ms.toFixed(2)} ms`, "≤ 1 ms");
row("live scan at 4 Hz, worst", `${scan.liveWorstMs.toFixed(2)} ms`, "");

const program = await measureProgram(full ? 600 : 60);
row("second start to listening", `${(program.toListeningMs / 1000).toFixed(2)} s`, "≤ 3 s");
row(`resident after ${program.afterS} s`, `${program.residentMb.toFixed(0)} MB`, "≤ 130 MB after 600 s");
row("share of one core", `${program.corePercent.toFixed(1)} %`, "≤ 2 %");
row("written to disk, extrapolated", `${program.writtenMbPerDay.toFixed(1)} MB a day`, "≤ 25 MB a day");
row("first view, gzip", `${measureFirstView().toFixed(1)} kB`, "≤ 140 kB");

const floats = await measureFloatToRelay(full ? 1000 : 100);
const reach = `≤ ${floats.toReachMs} ms`;
row(`float edge to load broken, ${floats.flips} flips, p99`, `${floats.edgeToOpen.p99.toFixed(1)} ms`, reach);
row("float edge to relay pin off, p99", `${floats.edgeToPin.p99.toFixed(1)} ms`, reach);

console.table(rows);
measureRehearsal(full ? 365 : 7);
measureWater();
