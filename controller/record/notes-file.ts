import { open, readFile, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import type { RecordEvent } from "./events-between.ts";
import type { Note } from "./notebook.ts";

/**
 * Where what happened waits on disk while nobody keeps the history. Written off the scan's thread, at most every few
 * seconds, always whole beside the old one and then in its place; gone when nothing waits.
 */
export interface NotesFile {
  /** Writes these if they are others than those that lie there. */
  keep(notes: readonly Note[]): Promise<void>;
}

type Left = Omit<Note, "number">;

/** Also gives what an earlier process left behind; a file that cannot be read left nothing. */
export async function openNotesFile(
  folder: string,
): Promise<{ readonly file: NotesFile; readonly left: readonly Left[] }> {
  const path = join(folder, "events-waiting");
  const left = readNotes(await readFile(path, "utf8").catch(() => ""));
  let lies = left.length > 0;
  let lastNumber = 0;
  let running: Promise<void> | null = null;
  const write = async (events: readonly Note[]) => {
    if (events.length === 0) {
      await rm(path, { force: true });
      [lies, lastNumber] = [false, 0];
      return;
    }
    const file = await open(`${path}.new`, "w", 0o600);
    try {
      await file.writeFile(events.map((note) => `${JSON.stringify([note.atMs, note.events])}\n`).join(""));
      await file.datasync();
    } finally {
      await file.close();
    }
    await rename(`${path}.new`, path);
    [lies, lastNumber] = [true, events.at(-1)?.number ?? 0];
  };
  return {
    left,
    file: {
      async keep(notes) {
        await running;
        const events = notes.filter((note) => note.events.length > 0);
        if (events.length === 0 ? !lies : events.at(-1)?.number === lastNumber) return;
        // Only history waits here: where the disk fails, it waits in memory alone, and the disk has its own alarm.
        running = write(events).catch(() => undefined);
        await running;
      },
    },
  };
}

const MOST_BYTES = 1_000_000;

function readNotes(text: string): readonly Left[] {
  if (text.length > MOST_BYTES) return [];
  try {
    const lines = text.split("\n").filter(Boolean);
    const left = lines.map((line) => {
      const [atMs, events] = JSON.parse(line) as [number, RecordEvent[]];
      return { atMs, samples: [], events };
    });
    return left.every(isNote) ? left : [];
  } catch {
    return [];
  }
}

const isNote = ({ atMs, events }: Left): boolean =>
  Number.isSafeInteger(atMs) &&
  Array.isArray(events) &&
  events.every(({ kind, subject, words }) => [kind, subject ?? "", words].every((part) => typeof part === "string"));
