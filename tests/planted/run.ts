import { execFile } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { parseArgs } from "node:util";
import { FIGURES_FILE, type Figures, PROOF_FILE, proofPage } from "../explore/proof-page.ts";
import { DEFECTS, type Defect } from "./defects.ts";
import { findPlace, type Place, plantDefect, readSources } from "./place.ts";

/**
 * `npm run explore:planted`: each defect in a copy of the tree, one at a time, until something notices it. One that
 * nothing notices fails the run. `--sample` plants those that `.ci/run` plants every time, `--only words` those whose
 * name has these words. With `UPDATE_PAGES=1` the page says what this run of all of them has found.
 */
const TOP = resolve(import.meta.dirname, "../..");
const COPIED = ["controller", "shared", "tests", "package.json", "tsconfig.json"];
const MOST_MS = 240_000;
const VITEST = ["node_modules/vitest/vitest.mjs", "run", "--config", "tests/vitest.config.ts", "--bail", "1"];
/** Random walks take the same way in every run, so that what notices a defect is the defect. */
const SEED = "7";

const { values } = parseArgs({ options: { sample: { type: "boolean" }, only: { type: "string" } } });
const chosen = DEFECTS.filter(
  ({ name, always }) => (values.sample !== true || always === true) && name.includes(values.only ?? ""),
);
if (chosen.length === 0) throw new Error("no defect has that name");
const sources = readSources(TOP);
const waiting = chosen.map((defect) => ({ defect, place: findPlace(defect, sources) }));
const noticedBy = new Map<Defect, string | null>();
const copies: string[] = [];

const began = process.hrtime.bigint();
try {
  await expectSound(makeCopy());
  const workers = Math.min(2, availableParallelism());
  while (copies.length < workers) makeCopy();
  await Promise.all(copies.map(plantWaiting));
} finally {
  for (const copy of copies) rmSync(copy, { recursive: true, force: true });
}
const unnoticed = chosen.filter((defect) => noticedBy.get(defect) === null);
const noticed = chosen.length - unnoticed.length;
process.stdout.write(`\n${noticed} of ${chosen.length} planted defects noticed, in ${secondsSince(began)} s\n`);
for (const { name } of unnoticed) process.stdout.write(`NOT NOTICED: ${name}\n`);
if (unnoticed.length > 0) process.exitCode = 1;
else if (chosen.length === DEFECTS.length && process.env.UPDATE_PAGES !== undefined) renewPage();

function makeCopy(): string {
  const copy = mkdtempSync(join(tmpdir(), "planted-"));
  copies.push(copy);
  for (const name of COPIED) cpSync(join(TOP, name), join(copy, name), { recursive: true });
  symlinkSync(join(TOP, "node_modules"), join(copy, "node_modules"));
  return copy;
}

/** A test that fails without any defect notices nothing. */
async function expectSound(copy: string): Promise<void> {
  const tests = new Set(chosen.flatMap((defect) => defect.tests ?? []));
  if (tests.size === 0) return;
  const { failed, out } = await run(copy, [...VITEST, ...tests]);
  if (failed) throw new Error(`the tests fail before anything is planted:\n${out.slice(-4000)}`);
}

async function plantWaiting(copy: string): Promise<void> {
  for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) {
    const start = process.hrtime.bigint();
    const { defect, place } = next;
    const by = await plantOne(copy, defect, place);
    noticedBy.set(defect, by);
    process.stdout.write(
      `${secondsSince(start).padStart(6)} s  ${(by ?? "NOTHING").padEnd(56)} noticed: ${defect.name}\n`,
    );
  }
}

async function plantOne(copy: string, defect: Defect, place: Place): Promise<string | null> {
  const path = join(copy, place.source.file);
  writeFileSync(path, plantDefect(defect, place));
  try {
    for (const machine of defect.machines ?? []) {
      const rule = await exploreMachine(copy, machine);
      if (rule !== null) return `${rule}, ${machine}`;
    }
    return defect.tests === undefined ? null : await findFailingTest(copy, defect.tests);
  } finally {
    writeFileSync(path, place.source.text);
  }
}

/** What the exploration finds broken. */
async function exploreMachine(copy: string, machine: string): Promise<string | null> {
  const { failed, out } = await run(copy, ["tests/explore/run.ts", "--only", machine]);
  if (!failed) return null;
  const found = /!! (\w+): /.exec(out);
  if (found !== null) return `${found[1]} in the exploration`;
  // Stopped by a value without an end, or by a rule that was never put to the test: noticed, and said how.
  return /takes more than|no whole number|never met/.test(out) ? "the exploration does not close" : null;
}

async function findFailingTest(copy: string, tests: readonly string[]): Promise<string | null> {
  const { failed, out } = await run(copy, [...VITEST, ...tests]);
  const failing = /FAIL\s.*?(tests\/\S+)/.exec(out);
  return failed && failing !== null ? `\`${failing[1]}\`` : null;
}

function run(copy: string, args: readonly string[]): Promise<{ failed: boolean; out: string }> {
  return new Promise((done) => {
    const options = {
      cwd: copy,
      timeout: MOST_MS,
      maxBuffer: 64 * 2 ** 20,
      env: { ...process.env, NO_COLOR: "1", SEED },
    };
    execFile(process.execPath, [...args], options, (error, stdout, stderr) => {
      done({ failed: error !== null, out: `${stdout}\n${stderr}` });
    });
  });
}

function secondsSince(start: bigint): string {
  return (Number(process.hrtime.bigint() - start) / 1e9).toFixed(1);
}

/** The page lists every defect with what noticed it. */
function renewPage(): void {
  const figures = JSON.parse(readFileSync(FIGURES_FILE, "utf8")) as Figures;
  const planted = DEFECTS.map((defect) => ({ name: defect.name, caughtBy: noticedBy.get(defect) as string }));
  const renewed = { ...figures, planted };
  writeFileSync(FIGURES_FILE, `${JSON.stringify(renewed, null, 2)}\n`);
  writeFileSync(PROOF_FILE, proofPage(renewed));
}
