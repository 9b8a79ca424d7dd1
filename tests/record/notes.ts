import type { Note } from "../../controller/record/index.ts";

export const noteOf = (
  number: number,
  atMs: number,
  samples: Note["samples"] = [],
  events: Note["events"] = [],
): Note => ({ number, atMs, samples, events });
