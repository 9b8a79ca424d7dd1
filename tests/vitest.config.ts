import { existsSync } from "node:fs";
import { defineConfig } from "vitest/config";

/**
 * The tests run on the Node that npm installed, as the controller does, although an editor may have started them on an
 * older one of the machine's own: whatever the runner starts from here on is started by this path.
 */
const installed = new URL(`../node_modules/node-${process.platform}-${process.arch}/bin/node`, import.meta.url)
  .pathname;
if (existsSync(installed)) process.execPath = installed;

/**
 * Folders whose tests start real processes, boards or browsers and read a clock: one at a time, so that none of them waits
 * for another. All others only reckon, and share what cores there are.
 */
const LIVE = [
  "boards",
  "cli",
  "dashboard",
  "guard",
  "init",
  "inputs",
  "outputs",
  "publish",
  "record",
  "serve",
  "system",
];
const live = LIVE.map((folder) => `tests/${folder}/**/*.test.{ts,tsx}`);
const patience = {
  environment: "node",
  testTimeout: 60_000,
  hookTimeout: 90_000,
  setupFiles: ["tests/seed.ts"],
} as const;
const root = new URL("..", import.meta.url).pathname;

export default defineConfig({
  root,
  test: {
    projects: [
      { root, test: { name: "live", include: live, maxWorkers: 1, sequence: { groupOrder: 1 }, ...patience } },
      {
        root,
        test: {
          name: "reckoned",
          include: ["tests/**/*.test.{ts,tsx}"],
          exclude: live,
          maxWorkers: "100%",
          sequence: { groupOrder: 0 },
          ...patience,
        },
      },
    ],
  },
});
