import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, unlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { decodeBatch, encodeBatch } from "../../controller/record/batch.ts";
import { emptyBuckets } from "../../controller/record/buckets.ts";
import { FolderInUse, type OpenRecord, openRecord } from "../../controller/record/index.ts";
import { MOST_BATCHES, openStore } from "../../controller/record/store.ts";
import { HISTORY_CHANNELS } from "../../shared/contract/index.ts";
import { good, silent, wellRecord } from "./scan-record.ts";

const START_MS = 1_750_000_000_000;
const HOUR_MS = 3_600_000;
let folder: string;
let open: OpenRecord[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "evenbrine-history-"));
});
afterEach(async () => {
  await Promise.all(open.map((record) => record.close()));
  open = [];
  rmSync(folder, { recursive: true, force: true });
});

async function openHere(place = folder, flushMs = 3_600_000): Promise<OpenRecord> {
  const record = await openRecord(place, { flushMs, eventFlushMs: 3_600_000 });
  open.push(record);
  return record;
}

const atTemperature = (celsius: number | null) =>
  wellRecord({
    quantities: { ...wellRecord().quantities, temperature: celsius === null ? silent(25) : good(celsius) },
  });

describe("samples encoded as a batch", () => {
  const channel = fc.constantFrom(...HISTORY_CHANNELS);
  const sample = fc.record({
    channel,
    stepMs: fc.integer({ min: 0, max: 600_000 }),
    value: fc.double({ min: -1_000, max: 100_000, noNaN: true }),
  });

  it("any 60 samples decoded: same channels and times, values within 0.00005", () => {
    fc.assert(
      fc.property(fc.array(sample, { maxLength: 60 }), (steps) => {
        let atMs = START_MS;
        const samples = steps.map(({ stepMs, ...rest }) => {
          atMs += stepMs;
          return { ...rest, atMs };
        });
        const back: typeof samples = [];
        decodeBatch(START_MS, encodeBatch(START_MS, samples), HISTORY_CHANNELS, (name, at, value) =>
          back.push({ channel: name, atMs: at, value }),
        );
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
    const seen: unknown[] = [];
    decodeBatch(START_MS, encodeBatch(START_MS, samples), ["salinity"], (...all) => seen.push(all));
    expect(seen).toEqual([["salinity", START_MS, 1]]);
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
  it("48 h written, opened again: 600 buckets with last within 0.1, minimum below and maximum above", async () => {
    const before = await openHere();
    for (let atMs = START_MS; atMs < START_MS + 48 * HOUR_MS; atMs += 10_000) {
      before.note(atTemperature(25 + Math.sin(atMs / HOUR_MS)), atMs);
      // As the timer would: what the flush of one minute holds.
      if ((atMs - START_MS) % HOUR_MS === 0) await drained(before);
    }
    await before.close();

    const after = await openHere();
    const answer = await after.history.read(["temperature", "salinity"], START_MS, START_MS + 48 * HOUR_MS, 600);
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

  it("samples at 0, 0.25, 9.999, 10, 15 s and back at 3 s: those at 0, 10 and 3 s kept", async () => {
    const { history } = await openHere();
    for (const atMs of [0, 250, 9_999, 10_000, 15_000, 3_000]) history.append(START_MS + atMs, "room", atMs / 100);
    expect(history.waiting()).toBe(3);
  });

  it("temperature null, NaN or infinite: no sample", async () => {
    const { history, note } = await openHere();
    note(atTemperature(null), START_MS);
    history.append(START_MS, "temperature", Number.NaN);
    history.append(START_MS, "temperature", Number.POSITIVE_INFINITY);
    const answer = await history.read(["temperature"], START_MS - 1_000, START_MS + 1_000, 1);
    expect(answer.channels.temperature?.last).toEqual([null]);
  });

  it("process killed after a flush: its sample and its event are read", async () => {
    const script = join(import.meta.dirname, "history-child.ts");
    const killed = () => execFileSync(process.execPath, [script, folder], { stdio: "pipe" });
    expect(killed).toThrow(/SIGKILL|Command failed/);
    const { history, events } = await openHere();
    const answer = await history.read(["temperature"], START_MS - 1, START_MS + 1, 1);
    expect(answer.channels.temperature?.last).toEqual([25.0512]);
    expect(events.newest(10)).toMatchObject([{ kind: "started", atMs: START_MS }]);
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
    const record = await openHere(join(folder, "file", "data"), 20);
    record.note(wellRecord(), START_MS);
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(record.historyFailed()).toBe(true);
    expect(record.history.waiting()).toBeGreaterThan(0);
    unlinkSync(join(folder, "file"));
    await drained(record);
    expect(record.historyFailed()).toBe(false);
  });

  it("file that is no database: a new one, the old kept as history.db.broken", async () => {
    writeFileSync(join(folder, "history.db"), "this is not a database, and longer than a heading of one".repeat(20));
    const record = await openHere();
    expect(record.historyFailed()).toBe(false);
    expect(readdirSync(folder)).toContain("history.db.broken");
  });

  it("second process on the same folder: refused, another controller uses it", async () => {
    await openHere();
    const script = join(import.meta.dirname, "history-child.ts");
    try {
      execFileSync(process.execPath, [script, folder], { stdio: "pipe" });
      expect.unreachable();
    } catch (error) {
      expect(String((error as { stderr: Buffer }).stderr)).toContain("Another controller uses the folder");
    }
    expect(new FolderInUse("x").name).toBe("FolderInUse");
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

/** Closes and opens nothing: waits until everything noted has gone to disk. */
async function drained(record: OpenRecord): Promise<void> {
  const end = performance.now() + 10_000;
  while (record.history.waiting() > 0) {
    record.flush();
    if (performance.now() > end) throw new Error("history was not taken by the disk");
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
}
