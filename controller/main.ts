import { createProgram } from "./cli/program.ts";

/** Every command; what it needs is loaded when it is asked for. */
export const main = async (words: readonly string[]): Promise<void> => {
  const program = await createProgram(words, async (options) => (await import("./run/index.ts")).run(options));
  await program.parseAsync([...words], { from: "user" });
};
