import { readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { z } from "zod";
import type { Answers } from "./conduct.ts";

/** Answers of a sitting that was broken off, beside the file that they are for. */
export interface KeptAnswers {
  readonly path: string;
  /** Empty where there are none, or none that can be read. */
  read(): Answers;
  write(answers: Answers): void;
  forget(): void;
}

const schema = z.strictObject({ version: z.literal(1), answers: z.array(z.tuple([z.string(), z.string()])).max(500) });

export function keptAnswersFor(settingsFile: string): KeptAnswers {
  const path = `${settingsFile}.answers`;
  return {
    path,
    read() {
      try {
        return new Map(schema.parse(JSON.parse(readFileSync(path, "utf8"))).answers);
      } catch {
        // None were kept, or the file was cut short: the questions begin anew.
        return new Map();
      }
    },
    write(answers) {
      writeFileSync(`${path}.new`, JSON.stringify({ version: 1, answers: [...answers] }));
      renameSync(`${path}.new`, path);
    },
    forget: () => rmSync(path, { force: true }),
  };
}
