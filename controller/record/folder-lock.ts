import { chmodSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";

/** Thrown when another controller already uses the data folder: two would overwrite each other's memory. */
export class FolderInUse extends Error {
  override readonly name = "FolderInUse";

  constructor(folder: string) {
    super(`Another controller uses the folder ${folder}. Nothing was changed; end that one first.`);
  }
}

export interface FolderLock {
  /** Why nothing could be locked, such as a disk that takes nothing; null = it is locked. */
  readonly trouble: string | null;
  release(): void;
}

/**
 * Makes the folder this process's own, before anything else of it is touched. The kernel lets go of the lock when the
 * process is gone, however it ended, so none is ever left behind; Node has no file lock of its own, and an open
 * transaction of the database in it is one. Throws only `FolderInUse`: a disk that fails must not keep heat from a tank.
 */
export function lockFolder(folder: string): FolderLock {
  let database: DatabaseSync | null = null;
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    // What lies here says when nobody is at home, and who may open it counts as standing at the tank.
    chmodSync(folder, 0o700);
    database = new DatabaseSync(join(folder, "lock"), { timeout: 0 });
    database.exec("pragma journal_mode = memory; begin exclusive");
    chmodSync(join(folder, "lock"), 0o600);
    return { trouble: null, release: () => database?.close() };
  } catch (error) {
    database?.close();
    if ((error as { errcode?: unknown }).errcode === BUSY) throw new FolderInUse(folder);
    return { trouble: (error as Error).message, release: () => undefined };
  }
}

const BUSY = 5;
