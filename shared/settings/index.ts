export * from "./budget.ts";
export * from "./check.ts";
export * from "./limits.ts";
export * from "./schema.ts";
export * from "./wiring.ts";
