import { execFileSync } from "node:child_process";
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  unlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { BATCH_SPAN_MS, decodeBatch, encodeBatch, type Sample, SpoiltBatch } from "../../controller/record/batch.ts";
import { emptyBuckets } from "../../controller/record/buckets.ts";
import { type History, type HistoryOptions, openHistory } from "../../controller/record/index.ts";
import { MOST_BATCHES, openStore } from "../../controller/record/store.ts";
import { HISTORY_CHANNELS } from "../../shared/contract/index.ts";
import { noteOf } from "./notes.ts";

const START_MS = 1_750_000_000_000;
const HOUR_MS = 3_600_000;
let folder: string;
let open: History[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "evenbrine-history-"));
});
afterEach(async () => {
  await Promise.all(open.map((history) => history.close()));
  open = [];
  rmSync(folder, { recursive: true, force: true });
});

function openHere(place = folder, options: HistoryOptions = {}): History {
  const history = openHistory(place, { flushMs: 3_600_000, eventFlushMs: 3_600_000, ...options });
  open.push(history);
  return history;
}

describe("a batch of samples", () => {
  const channel = fc.constantFrom(...HISTORY_CHANNELS);
  const sample = fc.record({
    channel,
    stepMs: fc.integer({ min: 0, max: 10_000 }),
    value: fc.double({ min: -1_000, max: 100_000, noNaN: true }),
  });
  const samplesOf = (steps: readonly { stepMs: number; channel: Sample["channel"]; value: number }[]): Sample[] => {
    let atMs = START_MS;
    return steps.map(({ stepMs, ...rest }) => {
      atMs += stepMs;
      return { ...rest, atMs };
    });
  };

  it("any 60 samples decoded: same channels and times, values within 0.00005", () => {
    fc.assert(
      fc.property(fc.array(sample, { maxLength: 60 }), (steps) => {
        const samples = samplesOf(steps);
        const back = decodeBatch(START_MS, encodeBatch(START_MS, samples), HISTORY_CHANNELS);
        const inOrder = HISTORY_CHANNELS.flatMap((name) => samples.filter((one) => one.channel === name));
        expect(back.map(({ channel: name, atMs: at }) => [name, at])).toEqual(
          inOrder.map(({ channel: name, atMs: at }) => [name, at]),
        );
        back.forEach((one, index) => {
          expect(Math.abs(one.value - (inOrder[index]?.value ?? Number.NaN))).toBeLessThanOrEqual(0.000_051);
        });
      }),
    );
  });

  it("all channels encoded, salinity asked for: salinity only", () => {
    const samples = HISTORY_CHANNELS.map((name, index) => ({ atMs: START_MS, channel: name, value: index }));
    const seen = decodeBatch(START_MS, encodeBatch(START_MS, samples), ["salinity"]);
    expect(seen).toEqual([{ atMs: START_MS, channel: "salinity", value: 1 }]);
  });

  // Channel 1, then counts, lengths and numbers of seven bits a byte, lowest first.
  it.each([
    ["32 bytes of 0xFF", Array(32).fill(0xff)],
    ["a count of 2^49 samples in two bytes", [1, ...Array(7).fill(0x80), 1, 2, 0, 0]],
    ["a channel of 2^40 bytes", [1, 1, 0x80, 0x80, 0x80, 0x80, 0x80, 0x20, 0, 0]],
    ["a channel longer than the batch", [1, 1, 3, 0, 0]],
    ["a number cut short", [1, 1, 2, 0, 0x80]],
    ["a channel 0", [0, 1, 2, 0, 0]],
    ["a channel 128", [0x80, 1, 1, 2, 0, 0]],
    ["bytes behind the last sample", [1, 1, 3, 0, 0, 0]],
    ["fewer samples than counted", [1, 2, 4, 0, 0x80, 1, 0]],
    ["a sample after the end of the batch", [1, 1, 4, 0xc1, 0xcf, 0x24, 0]],
    ["a number beyond 2^53", [1, 1, 10, 0, ...Array(8).fill(0xff), 0x7f]],
    ["nothing but a channel", [1]],
  ])("is refused, not believed: %s", (_, bytes) => {
    expect(() => decodeBatch(START_MS, Uint8Array.from(bytes), HISTORY_CHANNELS)).toThrow(SpoiltBatch);
  });

  it("of any bytes at all is read or refused at once: no more samples than half its bytes, none outside its span", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        try {
          const samples = decodeBatch(START_MS, bytes, HISTORY_CHANNELS);
          expect(samples.length).toBeLessThanOrEqual(bytes.length / 2);
          for (const { atMs, value } of samples) {
            expect(atMs - START_MS).toBeLessThanOrEqual(BATCH_SPAN_MS);
            expect(Number.isFinite(value)).toBe(true);
          }
        } catch (error) {
          expect(error).toBeInstanceOf(SpoiltBatch);
        }
      }),
      { numRuns: 2_000 },
    );
  });

  it("with one bit flipped by the disk is read or refused, never waited for", () => {
    const whole = encodeBatch(
      START_MS,
      samplesOf(
        Array.from({ length: 60 }, (_, index) => ({
          channel: HISTORY_CHANNELS[index % HISTORY_CHANNELS.length] as Sample["channel"],
          stepMs: 1_250,
          value: 25 + index / 7,
        })),
      ),
    );
    for (let bit = 0; bit < whole.length * 8; bit += 1) {
      const bytes = Uint8Array.from(whole);
      bytes[bit >> 3] = (bytes[bit >> 3] as number) ^ (1 << (bit & 7));
      try {
        decodeBatch(START_MS, bytes, HISTORY_CHANNELS);
      } catch (error) {
        expect(error).toBeInstanceOf(SpoiltBatch);
      }
    }
  });
});

describe("buckets of a history answer", () => {
  it("five samples in 60 s, three buckets: minimum, maximum and last of each, null for the empty one, none after the end", () => {
    const buckets = emptyBuckets(["room"], 0, 60_000, 3);
    for (const [atMs, value] of [
      [0, 5],
      [19_999, 3],
      [10_000, 9],
      [60_000, 1],
      [60_001, 99],
    ] as const) {
      buckets.add("room", atMs, value);
    }
    expect(buckets.answer()).toEqual({
      version: 1,
      atMs: [10_000, 30_000, 50_000],
      channels: { room: { min: [3, null, 1], max: [9, null, 1], last: [3, null, 1] } },
    });
  });

  it.each([
    [48 * HOUR_MS, 600, 600],
    [48 * HOUR_MS, 9_999, 1_500],
    [60_000, 600, 3],
    [1, 600, 1],
  ])("span of %d ms, %d wanted: %d buckets", (spanMs, wanted, count) => {
    expect(emptyBuckets(["room"], 0, spanMs, wanted).answer().atMs).toHaveLength(count);
  });
});

describe("history", () => {
  it("of 48 hours survives a restart and fills the trend", async () => {
    const before = openHere();
    let number = 0;
    for (let atMs = START_MS; atMs < START_MS + 48 * HOUR_MS; atMs += 10_000) {
      number += 1;
      const celsius = 25 + Math.sin(atMs / HOUR_MS);
      before.take([
        noteOf(number, atMs, [
          ["temperature", celsius],
          ["salinity", 35.0123],
        ]),
      ]);
      // As the timer would: what the flush of one minute holds.
      if ((atMs - START_MS) % HOUR_MS === 0) await drained(before);
    }
    await before.close();

    const after = openHere();
    const answer = await after.read(["temperature", "salinity"], START_MS, START_MS + 48 * HOUR_MS, 600);
    expect(answer.atMs).toHaveLength(600);
    const { min, max, last } = answer.channels.temperature as { min: number[]; max: number[]; last: number[] };
    answer.atMs.forEach((atMs, index) => {
      const middle = 25 + Math.sin(atMs / HOUR_MS);
      expect(Math.abs((last[index] as number) - middle)).toBeLessThan(0.1);
      expect(min[index]).toBeLessThanOrEqual(last[index] as number);
      expect(max[index]).toBeGreaterThanOrEqual(last[index] as number);
    });
    expect(answer.channels.salinity?.last.every((value) => value === 35.0123)).toBe(true);
  });

  it("is readable before the flush, and on disk after it though the process is killed", async () => {
    const script = join(import.meta.dirname, "history-child.ts");
    const killed = () => execFileSync(process.execPath, [script, folder], { stdio: "pipe" });
    expect(killed).toThrow(/SIGKILL|Command failed/);
    const history = openHere();
    const answer = await history.read(["temperature"], START_MS - 1, START_MS + 1, 1);
    expect(answer.channels.temperature?.last).toEqual([25.0512]);
    expect(history.newest(10)).toMatchObject([{ kind: "started", atMs: START_MS }]);
  });

  it("says which notes would survive a power cut, and keeps an event that comes twice once", async () => {
    const kept: number[] = [];
    const history = openHere(folder, { onKept: (upTo) => kept.push(upTo) });
    const event = { kind: "hold-ended", subject: null, words: "The hold ended." } as const;
    history.take([noteOf(7, START_MS, [["room", 22]], [event]), noteOf(8, START_MS + 10_000, [["room", 23]])]);
    expect(kept).toEqual([]);
    history.flush();
    await expect.poll(() => kept).toEqual([8]);
    // Nobody said so in time, and it is handed over again.
    history.take([noteOf(7, START_MS, [["room", 22]], [event])]);
    history.flush();
    await expect.poll(() => kept).toEqual([8, 7]);
    expect(history.newest(10)).toHaveLength(1);
  });

  it("shows a spoilt piece as a gap, names it, sets it aside, and reads the others", async () => {
    const before = openHere();
    const minutes = [0, 20, 40];
    for (const [index, minute] of minutes.entries()) {
      before.take([noteOf(index + 1, START_MS + minute * 60_000, [["room", 20 + index]])]);
      await drained(before);
    }
    await before.close();
    const database = new DatabaseSync(join(folder, "history.db"));
    database
      .prepare("update batch set body = ? where from_ms = ?")
      .run(new Uint8Array(32).fill(0xff), START_MS + 1_200_000);
    database.close();

    const after = openHere();
    const read = async () => (await after.read(["room"], START_MS, START_MS + HOUR_MS, 3)).channels.room?.last;
    expect(await read()).toEqual([20, null, 22]);
    after.flush();
    await expect.poll(() => after.newest(1)[0]?.kind).toBe("history");
    expect(after.newest(1)[0]?.words).toMatch(/2025-06-15 15:26 UTC cannot be read .*set aside/);
    expect(await read()).toEqual([20, null, 22]);
    await after.close();
    open = [];
    const closed = new DatabaseSync(join(folder, "history.db"));
    expect(closed.prepare("select count(*) as count from batch").get()?.count).toBe(2);
    const aside = closed.prepare("select from_ms, length(body) as length, why from aside").all();
    closed.close();
    expect(aside).toEqual([{ from_ms: START_MS + 1_200_000, length: 32, why: expect.stringMatching(/number/) }]);
  });

  it("is read no further when whoever asked has left", async () => {
    const history = openHere();
    for (let number = 1; number <= 300; number += 1) {
      history.take([noteOf(number, START_MS + number * 700_000, [["room", 22]])]);
    }
    await drained(history);
    const leaving = new AbortController();
    const reading = history.read(["room"], START_MS, START_MS + 400 * 700_000, 10, leaving.signal);
    leaving.abort();
    await expect(reading).rejects.toThrow(/abort/);
  });

  it("200 batches more than allowed: oldest dropped, newest kept", async () => {
    const store = openStore(join(folder, "history.db"));
    const body = Uint8Array.of(1);
    for (let fromMs = 0; fromMs < MOST_BATCHES + 200; fromMs += 100) {
      store.put(
        Array.from({ length: 100 }, (_, index) => ({ fromMs: fromMs + index, body })),
        [],
      );
    }
    const kept = store.batches(0, 1e15, 1e6);
    expect(kept.length).toBeLessThanOrEqual(MOST_BATCHES + 60);
    expect(kept.at(-1)?.fromMs).toBe(Math.ceil((MOST_BATCHES + 200) / 100) * 100 - 1);
    await store.close();
  });
});

describe("the disk of the history", () => {
  it("folder cannot be made: failed, samples wait; made later: written", async () => {
    writeFileSync(join(folder, "file"), "in the way");
    const kept: number[] = [];
    const history = openHere(join(folder, "file", "data"), { flushMs: 20, onKept: (upTo) => kept.push(upTo) });
    history.take([noteOf(1, START_MS, [["room", 22]])]);
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect([history.failed(), kept]).toEqual([true, []]);
    expect(history.waiting()).toBe(1);
    unlinkSync(join(folder, "file"));
    await drained(history);
    expect(history.failed()).toBe(false);
    await expect.poll(() => kept).toEqual([1]);
  });

  it("file that is no database: a new one, the old kept as history.db.broken", async () => {
    writeFileSync(join(folder, "history.db"), "this is not a database, and longer than a heading of one".repeat(20));
    const history = openHere();
    expect(history.failed()).toBe(false);
    expect(readdirSync(folder)).toContain("history.db.broken");
  });

  it("newer format: file and log stay byte for byte, kept open or killed, and it is named; older: read", async () => {
    const path = join(folder, "history.db");
    const newer = new DatabaseSync(path);
    newer.exec("pragma journal_mode = wal; pragma user_version = 2; create table batch (from_minute text)");
    for (const end of ["", "-wal"]) copyFileSync(`${path}${end}`, join(folder, `killed.db${end}`));
    newer.close();
    for (const end of ["", "-wal"]) {
      const other = join(folder, "killed");
      mkdirSync(other, { recursive: true });
      copyFileSync(join(folder, `killed.db${end}`), join(other, `history.db${end}`));
    }
    for (const place of [folder, join(folder, "killed")]) {
      const before = bytesIn(place);
      const history = openHere(place, { flushMs: 20 });
      expect(history.failed()).toBe(true);
      expect(history.newer()).toMatch(/newer Evenbrine \(format 2\).*neither read nor touched/);
      history.take([noteOf(1, START_MS, [["room", 22]])]);
      history.flush();
      expect([history.waiting(), history.newest(5)]).toEqual([1, []]);
      await history.close();
      expect(bytesIn(place)).toEqual(before);
    }
    open = [];
    const older = openHere(join(folder, "new"));
    expect([older.failed(), older.newer()]).toEqual([false, null]);
  });

  it("made by 0.1.0: taken up whole", async () => {
    copyFileSync(join(import.meta.dirname, "made-by-0.1.0/history.db"), join(folder, "history.db"));
    const database = new DatabaseSync(join(folder, "history.db"), { readOnly: true });
    const count = Number(database.prepare("select count(*) as count from event").get()?.count);
    const first = Number(database.prepare("select min(from_ms) as first from batch").get()?.first);
    database.close();
    const history = openHere();
    expect([history.failed(), history.newest(1_000).length]).toEqual([false, Math.min(count, 1_000)]);
    const { channels } = await history.read(["temperature"], first, first + 600_000, 1);
    expect(channels.temperature?.last[0]).toBeGreaterThan(20);
  });

  it("held by another process is a failed one until it is free, and nothing of it is touched", async () => {
    const first = openHere();
    first.take([noteOf(1, START_MS, [["room", 22]])]);
    const second = openHere(folder, { flushMs: 20 });
    expect(second.failed()).toBe(true);
    second.take([noteOf(2, START_MS + 10_000, [["room", 23]])]);
    await first.close();
    await drained(second);
    const answer = await second.read(["room"], START_MS, START_MS + 60_000, 3);
    expect(answer.channels.room?.max[0]).toBe(23);
    expect(answer.channels.room?.min[0]).toBe(22);
    open = [second];
  });

  it("can be read by nobody else, a file from an earlier program included", async () => {
    writeFileSync(join(folder, "history.db"), "", { mode: 0o644 });
    const history = openHere();
    history.take([noteOf(1, START_MS, [["room", 22]])]);
    history.flush();
    for (const name of readdirSync(folder))
      expect([name, statSync(join(folder, name)).mode & 0o777]).toEqual([name, 0o600]);
  });

  it("four hours of flushes: less than 10 MB a day written", async () => {
    const store = openStore(join(folder, "history.db"));
    const written = () => Number(/\nwrite_bytes: (\d+)/.exec(readFileSync("/proc/self/io", "utf8"))?.[1]);
    const before = written();
    // Four hours of flushes, a minute apart, eight channels at ten seconds.
    for (let minute = 0; minute < 240; minute += 1) {
      const fromMs = START_MS + minute * 60_000;
      const samples = HISTORY_CHANNELS.flatMap((channel, number) =>
        Array.from({ length: 6 }, (_, index) => ({
          atMs: fromMs + index * 10_000,
          channel,
          value: 25 + number + Math.sin(minute * 6 + index) / 10,
        })),
      );
      expect(store.put([{ fromMs, body: encodeBatch(fromMs, samples) }], [])).toBe(true);
      await store.settle();
    }
    expect((written() - before) * 6).toBeLessThan(10e6);
    await store.close();
  });
});

/** Waits until everything taken has gone to disk. */
async function drained(history: History): Promise<void> {
  const end = performance.now() + 10_000;
  while (history.waiting() > 0) {
    history.flush();
    if (performance.now() > end) throw new Error("history was not taken by the disk");
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
}

/** Of the history as it lies on the disk; what the library keeps beside it while it looks belongs to nobody. */
const bytesIn = (place: string): Record<string, string> =>
  Object.fromEntries(
    ["history.db", "history.db-wal"]
      .filter((name) => existsSync(join(place, name)))
      .map((name) => [name, readFileSync(join(place, name)).toString("hex")] as const)
      .filter(([, bytes]) => bytes !== ""),
  );
