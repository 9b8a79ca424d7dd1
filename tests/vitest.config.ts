import { defineConfig } from "vitest/config";

/**
 * Folders whose tests start real processes, boards or browsers and read a clock: one at a time, so that none of them waits
 * for another. All others only reckon, and share what cores there are.
 */
const LIVE = [
  "boards",
  "cli",
  "dashboard",
  "front",
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
const patience = { environment: "node", testTimeout: 60_000, hookTimeout: 90_000 } as const;
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
