import { execFileSync } from "node:child_process";
import { measureFront } from "./front-figures.ts";
import { FORTNIGHTS, measureLedger } from "./ledger.ts";
import { FORTNIGHT_KINDS } from "./ledger-fortnights.ts";
import { measureParts } from "./parts.ts";
import { measureFirstView, measureProgram } from "./program.ts";
import { measureRehearsal } from "./rehearsal.ts";
import { measureScan } from "./scan.ts";
import { measureWater } from "./water.ts";

/**
 * `npm run measure` prints the figures as a table; `-- --full` takes the long spans that the figures are defined for, and
 * `-- parts` only the boards, or some of their figures by name, such as `-- --full parts "host kills"`. `-- front` takes
 * ten calm minutes and ten in which the front is attacked, three hundred kills, and ten minutes of nothing;
 * `-- front 0.05` a twentieth of each.
 * Timings are figures, never a pass or fail: read them on a quiet machine.
 */
const full = process.argv.includes("--full");
const [only, ...names] = process.argv.slice(2).filter((word) => !word.startsWith("--"));

const told = (figure: string, measured: string, reach: string) =>
  console.log(`${figure}: ${measured}${reach === "" ? "" : ` (${reach})`}`);
if (only === "parts") {
  await measureParts(full, told, names);
  process.exit();
}
if (only === "front") {
  await measureFront(Number(names[0] ?? 1), told);
  process.exit();
}

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
row(`both processes resident after ${program.afterS} s`, `${program.residentMb.toFixed(0)} MB`, "≤ 180 MB after 600 s");
row("share of one core", `${program.corePercent.toFixed(1)} %`, "≤ 2 %");
row("written to disk, extrapolated", `${program.writtenMbPerDay.toFixed(1)} MB a day`, "≤ 40 MB a day");
row("first view, gzip", `${measureFirstView().toFixed(1)} kB`, "≤ 140 kB");

await measureParts(full, row);

console.table(rows);
measureRehearsal(full ? 365 : 7);
await measureLedger(full ? FORTNIGHTS : FORTNIGHT_KINDS.length);
measureWater();
