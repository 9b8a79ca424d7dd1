import { defineConfig } from "vitest/config";

/**
 * Folders whose tests start real processes, boards or browsers and read a clock. All others only reckon, and give way to
 * them: so both cores are busy, and nothing that is timed waits for what is not.
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
const patience = { environment: "node", testTimeout: 60_000, hookTimeout: 90_000 } as const;
const root = new URL("..", import.meta.url).pathname;

export default defineConfig({
  root,
  test: {
    maxWorkers: 2,
    projects: [
      { root, test: { name: "live", include: live, ...patience } },
      {
        root,
        test: {
          name: "reckoned",
          include: ["tests/**/*.test.{ts,tsx}"],
          exclude: live,
          setupFiles: ["tests/stand-back.ts"],
          ...patience,
        },
      },
    ],
  },
});
