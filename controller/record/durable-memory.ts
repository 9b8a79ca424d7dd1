import { constants } from "node:fs";
import { type FileHandle, mkdir, open, readFile, stat } from "node:fs/promises";
import { join } from "node:path";
import { DISK_HANGS_MS } from "../../shared/settings/limits.ts";
import { decodeSlot, decodeWitness, encodeSlot, encodeWitness, type Slot } from "./slot.ts";

/**
 * The memory that must survive: latches, budgets, acknowledgements.
 *
 * Two slot files are written in turn, each in place, each with checksum and sequence number. The slot being written is
 * never the one that the last confirmed sequence lies in, so a power cut at any byte tears at most a copy that nobody
 * was told of. Compared with a temporary file and a rename this allocates nothing and touches no directory: the disk
 * writes one block and needs no journal, which a flash card thanks us for. A third file, the witness, holds the highest
 * sequence ever confirmed, so that a copy restored from yesterday is told from today's by it; and a testimony, the
 * little of that memory which is still needed when both copies are lost.
 */
export interface DurableMemory {
  /** What was found when the folder was opened. */
  read(): FoundMemory;
  /**
   * Queues the newest memory and returns at once; what was queued before and not yet begun is replaced. Written at
   * latest `withinMs` from now (default: at once). The object must not change afterwards.
   */
  write(memory: unknown, sequence: number, withinMs?: number): void;
  /** The highest sequence number known to be on disk; −1 = none. */
  durableSequence(): number;
  /** True from the first failed attempt, or from one that hangs, until one succeeds; attempts go on by themselves. */
  failed(): boolean;
  /** Writes what is queued, once, and lets go of the files. */
  close(): Promise<void>;
}

export interface FoundMemory {
  /** `older`: a copy was found, but a newer one is known to have been on disk. */
  readonly state: "sound" | "missing" | "corrupt" | "older";
  readonly memory: unknown | null;
  /** The highest sequence number known of, 0 where none is: the next write must be above it. */
  readonly sequence: number;
  /** Wall time of the save, Unix milliseconds. */
  readonly savedAtMs: number | null;
  /** What the witness was given of the newest memory ever confirmed; null = nothing, or the witness is lost as well. */
  readonly testimony: unknown | null;
}

export interface DurableMemoryOptions {
  /** Wall clock, only to date a save. */
  readonly wallMs?: () => number;
  /** How long to wait after a failed attempt. */
  readonly retryMs?: number;
  /** How long an attempt may take before the disk counts as failed. */
  readonly hangsMs?: number;
  /** What the witness is to keep of a memory; small, for it is written with each. */
  readonly testimonyOf?: (memory: unknown) => unknown;
}

interface Queued {
  readonly memory: unknown;
  readonly sequence: number;
  readonly dueMs: number;
}

type SlotName = "memory-a" | "memory-b";

export async function openDurableMemory(folder: string, options: DurableMemoryOptions = {}): Promise<DurableMemory> {
  const memory = new SlotWriter(folder, await findMemory(folder), options);
  const hangs = AbortSignal.timeout(options.hangsMs ?? DISK_HANGS_MS);
  // A disk that hangs keeps nobody from starting: it counts as failed, and is waited for beside the scan.
  await Promise.race([memory.prepare(), once(hangs)]);
  return memory;
}

class SlotWriter implements DurableMemory {
  readonly #folder: string;
  readonly #found: FoundMemory;
  readonly #hadWitness: boolean;
  readonly #wallMs: () => number;
  readonly #retryMs: number;
  readonly #hangsMs: number;
  readonly #testimonyOf: (memory: unknown) => unknown;
  readonly #files = new Map<string, FileHandle>();
  #next: SlotName;
  #durable: number;
  #witness: number;
  #failed = false;
  #begunMs: number | null = null;
  #queued: Queued | null = null;
  #timer: NodeJS.Timeout | null = null;
  #running: Promise<void> | null = null;
  #closed = false;

  constructor(folder: string, found: Found, options: DurableMemoryOptions) {
    this.#folder = folder;
    this.#found = found.memory;
    this.#hadWitness = found.hadWitness;
    this.#wallMs = options.wallMs ?? Date.now;
    this.#retryMs = options.retryMs ?? 2_000;
    this.#hangsMs = options.hangsMs ?? DISK_HANGS_MS;
    this.#testimonyOf = options.testimonyOf ?? (() => null);
    this.#next = found.newest === "memory-a" ? "memory-b" : "memory-a";
    this.#durable = found.memory.state === "sound" ? found.memory.sequence : -1;
    this.#witness = found.memory.sequence;
  }

  read(): FoundMemory {
    return this.#found;
  }

  durableSequence(): number {
    return this.#durable;
  }

  failed(): boolean {
    return this.#failed || (this.#begunMs !== null && performance.now() - this.#begunMs > this.#hangsMs);
  }

  write(memory: unknown, sequence: number, withinMs = 0): void {
    if (this.#closed) return;
    const dueMs = Math.min(performance.now() + withinMs, this.#queued?.dueMs ?? Number.POSITIVE_INFINITY);
    const sooner = dueMs < (this.#queued?.dueMs ?? Number.POSITIVE_INFINITY);
    this.#queued = { memory, sequence, dueMs };
    // A disk that failed is asked again at its own pace, not at the pace of the scans.
    if (sooner && !this.#failed) this.#wake(dueMs - performance.now());
  }

  async close(): Promise<void> {
    this.#closed = true;
    if (this.#timer !== null) clearTimeout(this.#timer);
    await this.#running;
    if (this.#queued !== null) await this.#attempt();
    await this.#letGo();
  }

  /** Makes the files while there is time, so that the first charge of a pour need not wait for a directory. */
  prepare(): Promise<void> {
    this.#running = this.#attempt().finally(() => this.#afterAttempt());
    return this.#running;
  }

  #wake(inMs: number): void {
    if (this.#running !== null || this.#closed) return;
    if (this.#timer !== null) clearTimeout(this.#timer);
    const attempt = () => {
      this.#timer = null;
      this.#running = this.#attempt().finally(() => this.#afterAttempt());
    };
    this.#timer = setTimeout(attempt, Math.max(0, inMs));
  }

  #afterAttempt(): void {
    this.#running = null;
    if (this.#failed) this.#wake(this.#retryMs);
    else if (this.#queued !== null) this.#wake(this.#queued.dueMs - performance.now());
  }

  async #attempt(): Promise<void> {
    const queued = this.#queued;
    this.#queued = null;
    this.#begunMs = performance.now();
    try {
      await this.#open();
      if (queued !== null) await this.#save(queued);
      this.#failed = false;
    } catch {
      // Whatever the disk's reason was, it means the same here: nothing confirmed, so no pour, and another attempt.
      this.#failed = true;
      this.#queued ??= queued;
      // After a failed sync the kernel may call the lost pages clean, so the files are opened and written afresh.
      await this.#letGo();
    } finally {
      this.#begunMs = null;
    }
  }

  async #save({ memory, sequence }: Queued): Promise<void> {
    const file = this.#files.get(this.#next) as FileHandle;
    const bytes = encodeSlot({ sequence, savedAtMs: Math.round(this.#wallMs()), memory });
    await overwrite(file, bytes);
    this.#durable = sequence;
    this.#next = this.#next === "memory-a" ? "memory-b" : "memory-a";
    await this.#raiseWitness(sequence, this.#testimonyOf(memory));
  }

  async #raiseWitness(sequence: number, testimony: unknown = null): Promise<void> {
    this.#witness = Math.max(this.#witness, sequence);
    await overwrite(this.#files.get("memory-witness") as FileHandle, encodeWitness(this.#witness, testimony));
  }

  async #open(): Promise<void> {
    if (this.#files.size === FILES.length) return;
    await mkdir(this.#folder, { recursive: true });
    for (const name of FILES) {
      // Created when missing, never emptied: what is in it may be the only copy.
      this.#files.set(name, await open(join(this.#folder, name), constants.O_RDWR | constants.O_CREAT, 0o600));
    }
    // Where memory was found without its witness, none is made up: it stays in doubt until the next confirmed write.
    if (this.#found.state === "missing" && !this.#hadWitness) await this.#raiseWitness(this.#witness);
    const directory = await open(this.#folder, "r");
    await directory.sync().finally(() => directory.close());
  }

  async #letGo(): Promise<void> {
    const files = [...this.#files.values()];
    this.#files.clear();
    await Promise.allSettled(files.map((file) => file.close()));
  }
}

const once = (signal: AbortSignal): Promise<void> =>
  new Promise((resolve) => signal.addEventListener("abort", () => resolve(), { once: true }));

const FILES = ["memory-a", "memory-b", "memory-witness"] as const;

async function overwrite(file: FileHandle, bytes: Buffer): Promise<void> {
  const { bytesWritten } = await file.write(bytes, 0, bytes.length, 0);
  if (bytesWritten !== bytes.length) throw new Error("the disk took only a part");
  await file.truncate(bytes.length);
  await file.datasync();
}

interface Found {
  readonly memory: FoundMemory;
  readonly newest: SlotName | null;
  readonly hadWitness: boolean;
}

async function findMemory(folder: string): Promise<Found> {
  const [bytesA, bytesB, bytesWitness] = await Promise.all(FILES.map((name) => bytesOf(join(folder, name))));
  const slots = { "memory-a": decodeSlot(bytesA as Buffer), "memory-b": decodeSlot(bytesB as Buffer) };
  const witness = decodeWitness(bytesWitness as Buffer);
  const hadWitness = (bytesWitness as Buffer).length > 0;
  const newest = newestOf(slots);
  const known = witness?.sequence ?? 0;
  const testimony = witness?.testimony ?? null;
  if (newest === null) {
    const state = Object.values(slots).includes("corrupt") ? "corrupt" : "missing";
    return { memory: { state, memory: null, sequence: known, savedAtMs: null, testimony }, newest, hadWitness };
  }
  const { memory, sequence, savedAtMs } = slots[newest] as Slot;
  // Without its witness nobody can say that this copy is the last one.
  const state = witness === null || sequence < known ? "older" : "sound";
  return { memory: { state, memory, sequence: Math.max(sequence, known), savedAtMs, testimony }, newest, hadWitness };
}

function newestOf(slots: Readonly<Record<SlotName, Slot | "corrupt" | null>>): SlotName | null {
  const sequenceOf = (name: SlotName) => {
    const slot = slots[name];
    return slot === null || slot === "corrupt" ? -1 : slot.sequence;
  };
  const [a, b] = [sequenceOf("memory-a"), sequenceOf("memory-b")];
  if (a < 0 && b < 0) return null;
  return a >= b ? "memory-a" : "memory-b";
}

/** A file that is not there, cannot be read or is absurdly large counts as one that was never written. */
async function bytesOf(path: string): Promise<Buffer> {
  const nothing = Buffer.alloc(0);
  const facts = await stat(path).catch(() => null);
  if (facts === null || !facts.isFile() || facts.size > MOST_BYTES) return nothing;
  return readFile(path).catch(() => nothing);
}

const MOST_BYTES = 16 * 2 ** 20;
