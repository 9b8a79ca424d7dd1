import type { Field } from "../../shared/contract/field.ts";
import { EVERYTHING_OFF, type Image, type StartNews } from "../../shared/contract/image.ts";
import type { ScanRecord } from "../../shared/contract/record.ts";
import type { Request } from "../../shared/contract/requests.ts";
import { LATE_SCAN_MS, OVERLONG_SCAN_MS } from "../../shared/settings/limits.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { type Memory, type StoredMemory, toStore } from "./memory.ts";
import { step } from "./step.ts";

/** How punctual the scan is. */
export interface ScanCounts {
  readonly count: number;
  readonly late: number;
  readonly missed: number;
  readonly overlong: number;
  /** The longest scan of the last minute, milliseconds. */
  readonly worstMs: number;
  /** Why the scan stopped by itself; null = it runs. */
  readonly stopped: string | null;
}

export interface CycleParts {
  readonly settings: Settings;
  readonly field: Field;
  readonly memory: Memory;
  readonly news: StartNews;
  /** Monotonic, milliseconds. */
  readonly nowMs: () => number;
  readonly durable: {
    write(memory: StoredMemory, sequence: number): void;
    durableSequence(): number;
    failed(): boolean;
  };
  readonly takeRequests: () => readonly Request[];
  /**
   * Called after every scan with what it saw; must be quick and must not throw. `isLast`: no further scan follows in
   * this tick, so that a fast rehearsal need not tell everybody of each.
   */
  readonly onRecord: (record: ScanRecord, isLast: boolean) => void;
  /** Called once when an invariant of our own broke: outputs were told to fall off, nothing is decided any more. */
  readonly onStopped: (why: string) => void;
  /**
   * A rehearsal makes this many simulated scans for every tick of the clock, and moves its tank by each;
   * null = real parts, one scan a tick, timed by the clock.
   */
  readonly rehearsal: { readonly scansPerTick: number; advance(elapsedMs: number): void; simulatedMs(): number } | null;
}

export interface Cycle {
  counts(): ScanCounts;
  /** The memory after the last scan. */
  memory(): Memory;
  /** No further scan, outputs off. */
  stop(): void;
}

const MINUTE_MS = 60_000;

/** The timer around `step`: everything that is not decided happens here. */
export function startCycle(parts: CycleParts): Cycle {
  return new Ticker(parts);
}

class Ticker implements Cycle {
  readonly #parts: CycleParts;
  #memory: Memory;
  #news: StartNews | null;
  #timer: NodeJS.Timeout | null = null;
  #dueMs: number;
  #lastMs: number;
  #savedSequence: number;
  #count = 0;
  #late = 0;
  #missed = 0;
  #overlong = 0;
  #worstMs = 0;
  #worstBeforeMs = 0;
  #minuteEndsMs: number;
  #stopped: string | null = null;
  #ended = false;

  constructor(parts: CycleParts) {
    this.#parts = parts;
    this.#memory = parts.memory;
    this.#news = parts.news;
    this.#savedSequence = parts.durable.durableSequence();
    const nowMs = parts.nowMs();
    this.#lastMs = nowMs;
    this.#dueMs = nowMs;
    this.#minuteEndsMs = nowMs + MINUTE_MS;
    this.#plan(nowMs);
  }

  counts(): ScanCounts {
    return {
      count: this.#count,
      late: this.#late,
      missed: this.#missed,
      overlong: this.#overlong,
      worstMs: Math.max(this.#worstMs, this.#worstBeforeMs),
      stopped: this.#stopped,
    };
  }

  memory(): Memory {
    return this.#memory;
  }

  stop(): void {
    this.#ended = true;
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    this.#parts.field.command(EVERYTHING_OFF, this.#parts.nowMs());
  }

  #plan(nowMs: number): void {
    // Stopped from within its own tick: no other follows.
    if (this.#ended) return;
    this.#timer = setTimeout(() => this.#tick(), Math.max(0, this.#dueMs - nowMs));
  }

  #tick(): void {
    const startedMs = this.#parts.nowMs();
    this.#countLateness(startedMs);
    try {
      const { rehearsal } = this.#parts;
      if (rehearsal === null) this.#scanReal(startedMs);
      else this.#rehearse(rehearsal);
    } catch (error) {
      this.#halt(error);
      return;
    }
    this.#countLength(startedMs);
    this.#plan(this.#parts.nowMs());
  }

  #scanReal(nowMs: number): void {
    const elapsedMs = Math.max(0, Math.round(nowMs - this.#lastMs));
    this.#lastMs += elapsedMs;
    this.#scan(elapsedMs, nowMs, true);
  }

  #rehearse({ scansPerTick, advance, simulatedMs }: NonNullable<CycleParts["rehearsal"]>): void {
    const elapsedMs = this.#parts.settings.scanMs;
    for (let scan = 1; scan <= scansPerTick; scan++) {
      advance(elapsedMs);
      this.#scan(elapsedMs, simulatedMs(), scan === scansPerTick);
    }
  }

  #scan(elapsedMs: number, nowMs: number, isLast: boolean): void {
    const { field, durable, settings, takeRequests, onRecord } = this.#parts;
    const image: Image = {
      ...field.look(nowMs),
      elapsedMs,
      start: this.#news,
      durableSequence: durable.durableSequence(),
      disk: durable.failed() ? "failed" : "working",
      requests: takeRequests(),
    };
    const { memory, commands, record } = step(this.#memory, image, settings);
    field.command(commands, nowMs);
    this.#memory = memory;
    this.#news = null;
    this.#count++;
    if (record.memorySequence !== this.#savedSequence) {
      this.#savedSequence = record.memorySequence;
      durable.write(toStore(memory), record.memorySequence);
    }
    onRecord(record, isLast);
  }

  /** Counts how late a scan began, and how many never did; then plans on from the grid, without catching up. */
  #countLateness(startedMs: number): void {
    const behindMs = startedMs - this.#dueMs;
    const periodMs = this.#parts.settings.scanMs;
    if (behindMs > LATE_SCAN_MS) this.#late++;
    const skipped = Math.floor(behindMs / periodMs);
    if (skipped > 0) this.#missed += skipped;
    this.#dueMs += (1 + Math.max(0, skipped)) * periodMs;
  }

  #countLength(startedMs: number): void {
    const nowMs = this.#parts.nowMs();
    const tookMs = (nowMs - startedMs) / (this.#parts.rehearsal?.scansPerTick ?? 1);
    if (tookMs > OVERLONG_SCAN_MS) this.#overlong++;
    if (nowMs > this.#minuteEndsMs) {
      this.#worstBeforeMs = this.#worstMs;
      this.#worstMs = 0;
      this.#minuteEndsMs = nowMs + MINUTE_MS;
    }
    this.#worstMs = Math.max(this.#worstMs, tookMs);
  }

  /** Outputs off first; then the reason goes on disk, for whoever starts the controller anew; then it is told. */
  #halt(error: unknown): void {
    const { field, durable, nowMs, onStopped } = this.#parts;
    const why = error instanceof Error ? error.message : String(error);
    this.#timer = null;
    this.#stopped = why;
    try {
      field.command(EVERYTHING_OFF, nowMs());
    } finally {
      const kept = this.#memory.durable;
      const sequence = Math.max(kept.sequence, this.#savedSequence) + 1;
      this.#memory = { ...this.#memory, durable: { ...kept, sequence, stoppedBy: why } };
      durable.write(toStore(this.#memory), sequence);
      onStopped(why);
    }
  }
}
