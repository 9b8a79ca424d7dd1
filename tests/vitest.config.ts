import { existsSync } from "node:fs";
import { defineConfig } from "vitest/config";

/**
 * The tests run on the Node that npm installed, as the controller does, although an editor may have started them on an
 * older one of the machine's own: whatever the runner starts from here on is started by this path.
 */
const installed = new URL(`../node_modules/node-${process.platform}-${process.arch}/bin/node`, import.meta.url)
  .pathname;
if (existsSync(installed)) process.execPath = installed;

/** The runner prints a failing test with this, which an older Node does not have: it would fall over its own words. */
Map.groupBy ??= (items, keyOf) => {
  const groups = new Map();
  let index = 0;
  for (const item of items) {
    const key = keyOf(item, index++);
    groups.set(key, [...(groups.get(key) ?? []), item]);
  }
  return groups;
};

/**
 * Folders whose tests start real processes, boards or browsers and read a clock: one at a time, so that none of them waits
 * for another. All others only reckon, and share what cores there are.
 */
const inFolders = (...names: readonly string[]) => names.map((name) => `tests/${name}/**/*.test.{ts,tsx}`);
const live = inFolders("boards", "guard", "init", "inputs", "outputs", "system");
/** The same, of what serves people: it needs no board. */
const served = inFolders("cli", "dashboard", "front", "publish", "record", "serve");
/** Of them, what every change is looked at by: what must outlive a power cut, one start of the program, one browser. */
const atAGlance = ["tests/record/**/*.test.ts", "tests/system/rehearsal.test.ts", "tests/dashboard/glance.test.ts"];
/** What reckons for more than some ten seconds says so in its name. */
const long = ["tests/**/*.long.test.ts"];

const root = new URL("..", import.meta.url).pathname;
const settings = {
  environment: "node",
  testTimeout: 60_000,
  hookTimeout: 90_000,
  setupFiles: ["tests/seed.ts"],
};
const alone = { maxWorkers: 1, sequence: { groupOrder: 1 } };
const together = { maxWorkers: "100%", sequence: { groupOrder: 0 } };
/** What only reckons leaves nothing behind, so that its files may share what was loaded before them. */
const pure = { ...together, isolate: false };
const everything = ["tests/**/*.test.{ts,tsx}"];

export default defineConfig({
  root,
  test: {
    projects: [
      {
        root,
        test: { name: "quick", include: everything, exclude: [...live, ...served, ...long], ...pure, ...settings },
      },
      { root, test: { name: "glance", include: atAGlance, ...alone, ...settings } },
      { root, test: { name: "long", include: long, ...together, ...settings } },
      { root, test: { name: "live", include: live, exclude: atAGlance, ...alone, ...settings } },
      { root, test: { name: "served", include: served, exclude: atAGlance, ...alone, ...settings } },
    ],
  },
});
