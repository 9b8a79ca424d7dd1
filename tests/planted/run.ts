import { execFile } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createRandom } from "../../controller/rehearsal/plant/random.ts";
import { seedOfCommit } from "../explore/commit-seed.ts";
import { FIGURES_FILE, type Figures, PROOF_FILE, proofPage } from "../explore/proof-page.ts";
import { DEFECTS, type Defect } from "./defects.ts";

/**
 * `npm run explore:planted`: each defect in a copy of the tree, one at a time, until something notices it. One that
 * nothing notices fails the run. `--only words` plants those whose name has these words, `--sample 12` as many by chance,
 * others with every commit (`.ci/run`).
 */
const TOP = resolve(import.meta.dirname, "../..");
const COPIED = ["controller", "shared", "tests", "package.json", "tsconfig.json"];
const MOST_MS = 240_000;
const VITEST = ["node_modules/vitest/vitest.mjs", "run", "--config", "tests/vitest.config.ts", "--bail", "1"];
/** Random walks take the same way in every run, so that what notices a defect is the defect. */
const SEED = "7";

const [flag, word = ""] = process.argv.slice(2);
const chosen = chosenBy(flag, word);
const waiting = [...chosen];
const caught = new Map<Defect, string | null>();

await Promise.all(Array.from({ length: Math.min(2, availableParallelism()) }, plantAll));
const survivors = chosen.filter((defect) => caught.get(defect) === null);
process.stdout.write(`\n${chosen.length - survivors.length} of ${chosen.length} planted defects noticed\n`);
for (const { name, file } of survivors) process.stdout.write(`NOT NOTICED: ${name} (${file})\n`);
if (survivors.length > 0) process.exitCode = 1;
else if (flag === undefined) keepList();

function chosenBy(how: string | undefined, what: string): readonly Defect[] {
  if (how === undefined) return DEFECTS;
  if (how === "--only") return DEFECTS.filter(({ name }) => name.includes(what));
  if (how !== "--sample" || !/^\d+$/.test(what)) throw new Error("planted [--only words | --sample number]");
  const random = createRandom(seedOfCommit());
  const left = [...DEFECTS];
  const drawn = () => left.splice(Math.floor(random.uniform() * left.length), 1);
  return Array.from({ length: Math.min(Number(what), left.length) }, drawn).flat();
}

/** One copy of the tree for one worker; a defect is written into it and taken out again. */
async function plantAll(): Promise<void> {
  const copy = mkdtempSync(join(tmpdir(), "planted-"));
  try {
    for (const name of COPIED) cpSync(join(TOP, name), join(copy, name), { recursive: true });
    symlinkSync(join(TOP, "node_modules"), join(copy, "node_modules"));
    await expectSound(copy);
    for (let defect = waiting.shift(); defect !== undefined; defect = waiting.shift()) {
      const by = await plantOne(copy, defect);
      caught.set(defect, by);
      process.stdout.write(`${(by ?? "NOTHING").padEnd(58)} noticed: ${defect.name}\n`);
    }
  } finally {
    rmSync(copy, { recursive: true, force: true });
  }
}

/** A test that fails without any defect notices nothing. */
async function expectSound(copy: string): Promise<void> {
  const { failed, out } = await run(copy, [...VITEST, ...new Set(chosen.flatMap(({ tests }) => tests))]);
  if (failed) throw new Error(`the tests fail before anything is planted:\n${out.slice(-4000)}`);
}

async function plantOne(copy: string, { name, file, from, to, machines, tests }: Defect): Promise<string | null> {
  const path = join(copy, file);
  const sound = readFileSync(path, "utf8");
  const parts = sound.split(from);
  if (parts.length !== 2) throw new Error(`"${name}": found ${parts.length - 1} times in ${file}, not once`);
  writeFileSync(path, parts.join(to));
  try {
    for (const machine of machines) {
      const { failed, out } = await run(copy, ["tests/explore/run.ts", "--only", machine]);
      const found = /!! (\w+): /.exec(out);
      if (failed && found !== null) return `${found[1]} in the exploration, ${machine}`;
      // Stopped by a value without an end, or by a rule that was never put to the test: noticed, and said how.
      if (failed && /takes more than|no whole number|never met/.test(out))
        return `the exploration does not close, ${machine}`;
    }
    if (tests.length === 0) return null;
    const { failed, out } = await run(copy, [...VITEST, ...tests]);
    const failing = /FAIL\s+(.+)/.exec(out);
    return failed && failing !== null ? `test ${(failing[1] as string).split(" > ").at(-1)?.trim()}` : null;
  } finally {
    writeFileSync(path, sound);
  }
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

/** The page lists every defect with what noticed it. */
function keepList(): void {
  const figures = JSON.parse(readFileSync(FIGURES_FILE, "utf8")) as Figures;
  const planted = DEFECTS.map((defect) => ({ name: defect.name, caughtBy: caught.get(defect) as string }));
  if (JSON.stringify(planted) === JSON.stringify(figures.planted)) return;
  if (process.env.UPDATE_PAGES === undefined) {
    // Which property of a random walk notices first is chance; that something does is not.
    const names = (list: Figures["planted"]) => list.map(({ name }) => name).join("\n");
    if (names(planted) === names(figures.planted)) return;
    process.stdout.write("\ntests/PROOF.md lists other defects: UPDATE_PAGES=1 npm run explore:planted\n");
    process.exitCode = 1;
    return;
  }
  const renewed = { ...figures, planted };
  writeFileSync(FIGURES_FILE, `${JSON.stringify(renewed, null, 2)}\n`);
  writeFileSync(PROOF_FILE, proofPage(renewed));
}
