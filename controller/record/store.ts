import { chmodSync, closeSync, constants, existsSync, fdatasync, mkdirSync, openSync, renameSync } from "node:fs";
import { dirname } from "node:path";
import { DatabaseSync, type StatementSync } from "node:sqlite";
import { promisify } from "node:util";

/**
 * The one file of history and events. Everything here is short: a flush is one small insert into the page cache.
 * The library never waits for the disk (`synchronous = off`), because its waiting would be that of every page. The
 * waiting is done on the thread pool by `settle`, in the order that keeps the file whole through a power cut: the log
 * is synced, copied into the main file, the main file is synced, and only then may a write start the log anew.
 */
export interface Store {
  /** False = the disk did not take it; the caller keeps it. Never throws. */
  put(batches: readonly StoredBatch[], events: readonly StoredEvent[], spoilt?: readonly SpoiltPiece[]): boolean;
  /** At most `most` batches from the time `fromMs` on, in order of time. */
  batches(fromMs: number, toMs: number, most: number): readonly StoredBatch[];
  /** The newest `most` events with a number below `below`, newest first. */
  events(below: number, most: number): readonly NumberedEvent[];
  /** Makes what was put safe against a power cut, off this thread. */
  settle(): Promise<void>;
  failed(): boolean;
  /** The format of a file that a newer program has written, which this one neither reads nor touches; else null. */
  newer(): number | null;
  close(): Promise<void>;
}

export interface StoredBatch {
  readonly fromMs: number;
  readonly body: Uint8Array;
}
/** A batch that cannot be read: it is kept aside for whoever wants to look into it, and read no more. */
export interface SpoiltPiece {
  readonly fromMs: number;
  readonly why: string;
}
export interface StoredEvent {
  readonly atMs: number;
  /** JSON. */
  readonly body: string;
}
export interface NumberedEvent extends StoredEvent {
  readonly number: number;
}

/** A fortnight of minutes. */
export const MOST_BATCHES = 14 * 24 * 60;
export const MOST_EVENTS = 20_000;
export const MOST_ASIDE = 200;
/** An event handed over for a second time, because nobody said that it had arrived, is one of the newest. */
const TWICE_AMONG = 1_000;
/** The log is copied into the main file about this often, at a size of some hundred kilobytes. */
const PUTS_BETWEEN_COPIES = 60;

/**
 * Small pages, since a flush is some two hundred bytes and the disk writes whole blocks: 8.7 MB a day at a flush a
 * minute, against 13.1 with pages of the usual size.
 */
const SCHEMA = `
  pragma page_size = 1024;
  pragma locking_mode = exclusive;
  pragma journal_mode = wal;
  pragma synchronous = off;
  pragma wal_autocheckpoint = 0;
  pragma cache_size = -512;
  create table if not exists batch (from_ms integer primary key, body blob not null) strict;
  create table if not exists event (number integer primary key, at_ms integer not null, body text not null) strict;
  create table if not exists aside (from_ms integer primary key, body blob not null, why text not null) strict;
`;

/** The format of tables and pieces, kept as the file's `user_version`. */
export const FORMAT_VERSION = 1;

export function openStore(path: string): Store {
  const store = new SqliteStore(path);
  store.open();
  return store;
}

const syncData = promisify(fdatasync);

class SqliteStore implements Store {
  readonly #path: string;
  #open: OpenStore | null = null;
  #newer: number | null = null;
  #settling: Promise<void> | null = null;
  #putsSinceCopy = 0;

  constructor(path: string) {
    this.#path = path;
  }

  failed(): boolean {
    return this.#open === null;
  }

  newer(): number | null {
    return this.#newer;
  }

  /** Any trouble leaves the store failed, to be tried again: a file that another still holds is free in a moment. */
  open(): void {
    try {
      mkdirSync(dirname(this.#path), { recursive: true, mode: 0o700 });
      const version = versionOf(this.#path);
      this.#newer = version > FORMAT_VERSION ? version : null;
      if (this.#newer === null) this.#open = openFile(this.#path);
    } catch (error) {
      // A file that is no database any more is kept aside: history is worth less than a controller that starts.
      if (codeOf(error) === CORRUPT || codeOf(error) === NOT_A_DATABASE) this.#startAnew();
    }
  }

  put(batches: readonly StoredBatch[], events: readonly StoredEvent[], spoilt: readonly SpoiltPiece[] = []): boolean {
    if (this.#settling !== null) return false;
    if (this.#open === null && !this.#tryAgain()) return false;
    const open = this.#open as unknown as OpenStore;
    try {
      open.database.exec("begin");
      for (const batch of batches) open.insertBatch(batch);
      for (const event of events) open.insertEvent(event);
      for (const piece of spoilt) open.setAside(piece);
      open.prune();
      open.database.exec("commit");
      this.#putsSinceCopy += 1;
      return true;
    } catch {
      this.#drop();
      return false;
    }
  }

  batches(fromMs: number, toMs: number, most: number): readonly StoredBatch[] {
    return this.#ask([], (open) =>
      open.selectBatches.all(fromMs, toMs, most).map((row) => ({
        fromMs: Number(row.from_ms),
        body: row.body as Uint8Array,
      })),
    );
  }

  events(below: number, most: number): readonly NumberedEvent[] {
    return this.#ask([], (open) =>
      open.selectEvents.all(below, most).map((row) => ({
        number: Number(row.number),
        atMs: Number(row.at_ms),
        body: String(row.body),
      })),
    );
  }

  settle(): Promise<void> {
    this.#settling ??= this.#settle().finally(() => {
      this.#settling = null;
    });
    return this.#settling;
  }

  async close(): Promise<void> {
    await this.#settling;
    // Copied and synced before the library deletes the log, which it does at closing without waiting for the disk.
    this.#putsSinceCopy = PUTS_BETWEEN_COPIES;
    await this.settle();
    this.#drop();
  }

  async #settle(): Promise<void> {
    const open = this.#open;
    if (open === null) return;
    try {
      await syncData(open.logFile);
      if (this.#putsSinceCopy < PUTS_BETWEEN_COPIES) return;
      this.#putsSinceCopy = 0;
      open.database.exec("pragma wal_checkpoint(passive)");
      await syncData(open.mainFile);
    } catch {
      this.#drop();
    }
  }

  #ask<Answer>(otherwise: Answer, ask: (open: OpenStore) => Answer): Answer {
    if (this.#open === null) return otherwise;
    try {
      return ask(this.#open);
    } catch {
      this.#drop();
      return otherwise;
    }
  }

  #tryAgain(): boolean {
    this.open();
    return this.#open !== null;
  }

  #startAnew(): void {
    try {
      for (const end of ["", "-wal"]) renameIfThere(`${this.#path}${end}`, `${this.#path}${end}.broken`);
      this.#open = openFile(this.#path);
    } catch {
      this.#open = null;
    }
  }

  #drop(): void {
    const open = this.#open;
    this.#open = null;
    if (open === null) return;
    try {
      open.database.close();
    } catch {
      // It is given up either way.
    }
    // Only after the library let go: closing a second handle on a file would take the library's lock off it.
    for (const file of [open.mainFile, open.logFile]) closeSync(file);
  }
}

const CORRUPT = 11;
const NOT_A_DATABASE = 26;
const codeOf = (error: unknown): unknown => (error as { errcode?: unknown }).errcode;

interface OpenStore {
  readonly database: DatabaseSync;
  /** Handles of our own, only to sync by. */
  readonly mainFile: number;
  readonly logFile: number;
  readonly selectBatches: StatementSync;
  readonly selectEvents: StatementSync;
  insertBatch(batch: StoredBatch): void;
  insertEvent(event: StoredEvent): void;
  setAside(piece: SpoiltPiece): void;
  prune(): void;
}

/** Asked before anything that writes: neither the file nor its log changes by it. 0 = there is no file, or a new one. */
function versionOf(path: string): number {
  if (!existsSync(path)) return 0;
  const database = new DatabaseSync(path, { readOnly: true, timeout: 0 });
  try {
    return Number(database.prepare("pragma user_version").get()?.user_version ?? 0);
  } finally {
    database.close();
  }
}

function openFile(path: string): OpenStore {
  // For nobody else's eyes; the library gives its log the rights of the main file.
  closeSync(openSync(path, constants.O_RDWR | constants.O_CREAT, 0o600));
  chmodSync(path, 0o600);
  const database = new DatabaseSync(path, { timeout: 0 });
  try {
    database.exec(SCHEMA);
    // An empty transaction that takes the lock and makes the log file.
    database.exec(`begin immediate; pragma user_version = ${FORMAT_VERSION}; commit`);
    const [mainFile, logFile] = [openSync(path, "r+"), openSync(`${path}-wal`, "r+")];
    return { database, mainFile, logFile, ...statementsOf(database) };
  } catch (error) {
    database.close();
    throw error;
  }
}

function statementsOf(database: DatabaseSync) {
  const insertBatch = database.prepare("insert or ignore into batch values (cast(? as integer), ?)");
  const insertEvent = database.prepare(
    `insert into event (at_ms, body) select cast(?1 as integer), ?2 where not exists (
       select 1 from event where number > (select max(number) from event) - ${TWICE_AMONG} and at_ms = ?1 and body = ?2)`,
  );
  const keepAside = database.prepare(
    "insert or ignore into aside select from_ms, body, ?2 from batch where from_ms = ?1",
  );
  const removeBatch = database.prepare("delete from batch where from_ms = ?1");
  const pruneAside = database.prepare(
    "delete from aside where from_ms in (select from_ms from aside order by from_ms desc limit -1 offset ?)",
  );
  const pruneBatches = database.prepare(
    "delete from batch where from_ms in (select from_ms from batch order by from_ms limit cast(? as integer))",
  );
  const pruneEvents = database.prepare("delete from event where number <= (select max(number) from event) - ?");
  let batchCount = Number(database.prepare("select count(*) as count from batch").get()?.count ?? 0);
  let eventsSincePrune = 0;
  return {
    selectBatches: database.prepare(
      "select from_ms, body from batch where from_ms >= ? and from_ms <= ? order by from_ms limit cast(? as integer)",
    ),
    selectEvents: database.prepare(
      "select number, at_ms, body from event where number < ? order by number desc limit cast(? as integer)",
    ),
    insertBatch({ fromMs, body }: StoredBatch) {
      // After a clock was put back two batches may begin in the same millisecond.
      let startMs = fromMs;
      while (insertBatch.run(startMs, body).changes === 0) startMs += 1;
      batchCount += 1;
    },
    insertEvent({ atMs, body }: StoredEvent) {
      insertEvent.run(atMs, body);
      eventsSincePrune += 1;
    },
    setAside({ fromMs, why }: SpoiltPiece) {
      keepAside.run(fromMs, why);
      removeBatch.run(fromMs);
      pruneAside.run(MOST_ASIDE);
      batchCount -= 1;
    },
    /** By number, not by age: a clock that once ran wild must not empty the history. */
    prune() {
      const tooMany = batchCount - MOST_BATCHES;
      if (tooMany > 60) {
        pruneBatches.run(tooMany);
        batchCount = MOST_BATCHES;
      }
      if (eventsSincePrune < 100) return;
      pruneEvents.run(MOST_EVENTS);
      eventsSincePrune = 0;
    },
  };
}

function renameIfThere(from: string, to: string): void {
  try {
    renameSync(from, to);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOENT") throw error;
  }
}
