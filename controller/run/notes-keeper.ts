import { type Notebook, openNotesFile } from "../record/index.ts";

/** Sees to it that what happened is on disk, where the history does not take it in time. */
export interface NotesKeeper {
  close(): Promise<void>;
}

const LOOK_EVERY_MS = 10_000;

/** Also gives the notebook what an earlier process left there. */
export async function keepNotes(folder: string, notebook: Notebook): Promise<NotesKeeper> {
  const { file, left } = await openNotesFile(folder);
  notebook.resume(left);
  let seen = 0;
  const timer = setInterval(() => {
    const waiting = notebook.waiting();
    // In good times nothing waits for as long as this, and no file is ever written.
    void file.keep(waiting.filter(({ number }) => number <= seen));
    seen = waiting.at(-1)?.number ?? seen;
  }, LOOK_EVERY_MS);
  return {
    async close() {
      clearInterval(timer);
      await file.keep(notebook.waiting());
    },
  };
}
