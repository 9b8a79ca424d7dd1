export * from "./durable-memory.ts";
