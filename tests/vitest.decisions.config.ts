import { defineConfig } from "vitest/config";

/** The tests that mutants of decisions and signals must not survive: tables, stories, random walks of a fixed seed. */
export default defineConfig({
  root: new URL("..", import.meta.url).pathname,
  test: {
    include: ["tests/{scan,signals,decisions}/**/*.test.ts", "tests/explore/small.long.test.ts"],
    environment: "node",
    setupFiles: ["tests/seed.ts"],
    testTimeout: 60_000,
    env: { SEED: "7", RUNS: "40" },
  },
});
