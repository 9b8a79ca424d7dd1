import { defineConfig } from "vitest/config";

/** The tests that mutants of the water's equations must not survive: fast, and without the machine's other tools. */
export default defineConfig({
  root: new URL("..", import.meta.url).pathname,
  test: {
    include: ["tests/{seawater,chemistry,units}/**/*.test.ts"],
    exclude: ["tests/seawater/live-comparison.test.ts"],
    environment: "node",
    setupFiles: ["tests/seed.ts"],
    testTimeout: 20_000,
  },
});
