export * from "./budget.ts";
export * from "./check.ts";
export * from "./limits.ts";
export * from "./once.ts";
export * from "./schema.ts";
export * from "./waits.ts";
export * from "./wiring.ts";
