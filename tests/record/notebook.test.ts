import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { createNotebook, openNotesFile } from "../../controller/record/index.ts";
import { EVENT_ALLOWANCE, MOST_NOTES, REQUEST_ALLOWANCE } from "../../controller/record/notebook.ts";
import type { ScanRecord } from "../../shared/contract/index.ts";
import { noteOf } from "./notes.ts";
import { good, silent, wellRecord } from "./scan-record.ts";

const START_MS = 1_750_000_000_000;
const DAY_MS = 86_400_000;
const atTemperature = (celsius: number | null) =>
  wellRecord({
    quantities: { ...wellRecord().quantities, temperature: celsius === null ? silent(25) : good(celsius) },
  });
const granted = (id: string): Partial<ScanRecord> => ({ outcomes: [{ id, accepted: true, why: "Noted." }] });
const pouring = (now: boolean): Partial<ScanRecord> => ({
  topOff: { ...wellRecord().topOff, state: now ? "pouring" : "settling" },
});

describe("a notebook", () => {
  it("keeps a channel's sample only when ten seconds have gone, and every one after the clock was put back", () => {
    const notebook = createNotebook();
    for (const atMs of [0, 250, 9_999, 10_000, 15_000, 3_000]) notebook.note(wellRecord(), START_MS + atMs);
    const times = notebook.waiting().map(({ atMs }) => atMs - START_MS);
    expect(times).toEqual([0, 10_000, 3_000]);
    expect(notebook.waiting()[1]?.samples).toContainEqual(["temperature", 25.0512]);
  });

  it("has no sample of a bad value", () => {
    const notebook = createNotebook();
    notebook.note(atTemperature(null), START_MS);
    notebook.note(atTemperature(Number.NaN), START_MS + 10_000);
    const channels = notebook.waiting().flatMap(({ samples }) => samples.map(([channel]) => channel));
    expect(channels).not.toContain("temperature");
    expect(channels).toContain("salinity");
  });

  it("hands out what waits in order, and lets go of what is kept", () => {
    const notebook = createNotebook();
    for (let turn = 0; turn < 5; turn += 1) notebook.note(wellRecord(), START_MS + turn * 10_000);
    expect(notebook.after(0, 2).map(({ number }) => number)).toEqual([1, 2]);
    expect(notebook.after(3, 9).map(({ number }) => number)).toEqual([4, 5]);
    notebook.kept(4);
    expect(notebook.after(0, 9).map(({ number }) => number)).toEqual([5]);
    expect(notebook.after(5, 9)).toEqual([]);
  });

  it("where nobody keeps anything for a week holds the newest, and no more than its bound", () => {
    const notebook = createNotebook();
    const turns = (7 * DAY_MS) / 10_000;
    for (let turn = 0; turn < turns; turn += 1) notebook.note(wellRecord(), START_MS + turn * 10_000);
    expect(notebook.waiting()).toHaveLength(MOST_NOTES);
    expect(notebook.waiting().at(-1)?.number).toBe(turns);
  });
});

describe("the log of what happened", () => {
  const eventsOf = (notebook: ReturnType<typeof createNotebook>) => notebook.waiting().flatMap(({ events }) => events);

  it("at four granted requests a second for an hour grows by its allowance, and says how many it left out", () => {
    const notebook = createNotebook();
    const scans = 4 * 3_600;
    for (let scan = 0; scan < scans; scan += 1) notebook.note(wellRecord(granted(`r${scan}`)), START_MS + scan * 250);
    notebook.note(wellRecord(), START_MS + scans * 250);
    const events = eventsOf(notebook);
    const asked = events.filter(({ kind }) => kind === "request-answered");
    const most = REQUEST_ALLOWANCE.burst + 3_600 * REQUEST_ALLOWANCE.perSecond;
    expect(asked.length).toBeGreaterThan(most - 2);
    expect(asked.length).toBeLessThanOrEqual(most);
    expect(events.at(-1)).toMatchObject({
      kind: "left-out",
      words: `${scans - asked.length} more were not kept: too many at once.`,
    });
  });

  it("full of requests still takes what happens by itself", () => {
    const notebook = createNotebook();
    for (let scan = 0; scan < 1_000; scan += 1) notebook.note(wellRecord(granted(`r${scan}`)), START_MS + scan * 250);
    notebook.note(wellRecord(pouring(true)), START_MS + 250_000);
    expect(eventsOf(notebook).map(({ kind }) => kind)).toContain("pour-began");
  });

  it("keeps every pour of a busy day: forty, and no more than its allowance of a machine gone wild", () => {
    const calm = createNotebook();
    for (let turn = 0; turn < 80; turn += 1) {
      calm.note(wellRecord(pouring(turn % 2 === 0)), START_MS + (turn * DAY_MS) / 80);
    }
    expect(eventsOf(calm).filter(({ kind }) => kind.startsWith("pour"))).toHaveLength(80);
    const wild = createNotebook();
    for (let scan = 0; scan < 4 * 3_600; scan += 1) {
      wild.note(wellRecord(pouring(scan % 2 === 0)), START_MS + scan * 250);
    }
    expect(eventsOf(wild).length).toBeLessThanOrEqual(EVENT_ALLOWANCE.burst + 60);
  });
});

describe("events that wait on disk", () => {
  let folder = "";
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-notes-"));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
  const event = { kind: "hold-began", subject: null, words: "Hold: pouring is off." } as const;

  it("are found by the next process, without samples, readable by nobody else, and gone once they are kept", async () => {
    const { file, left } = await openNotesFile(folder);
    expect(left).toEqual([]);
    await file.keep([noteOf(1, START_MS, [["room", 22]], [event]), noteOf(2, START_MS + 1, [["room", 22]])]);
    expect(readdirSync(folder)).toEqual(["events-waiting"]);
    expect(statSync(join(folder, "events-waiting")).mode & 0o777).toBe(0o600);
    const next = await openNotesFile(folder);
    expect(next.left).toEqual([{ atMs: START_MS, samples: [], events: [event] }]);
    const notebook = createNotebook();
    notebook.resume(next.left);
    expect(notebook.waiting()).toEqual([noteOf(1, START_MS, [], [event])]);
    await next.file.keep(notebook.waiting());
    await next.file.keep([]);
    expect(readdirSync(folder)).toEqual([]);
  });

  it.each([
    ["garbage", "\u0000\u0001{"],
    ["no events", "[1750000000000,null]\n"],
    ["an event without words", '[1750000000000,[{"kind":"disk","subject":null}]]\n'],
    ["a time that is none", '["now",[]]\n'],
    ["a line cut short", '[1750000000000,[{"kind":"di'],
    ["ten megabytes", "[1750000000000,[]]\n".repeat(550_000)],
  ])("that cannot be read are none: %s", async (_, text) => {
    writeFileSync(join(folder, "events-waiting"), text);
    expect((await openNotesFile(folder)).left).toEqual([]);
  });

  it("on a disk that refuses wait in memory, and nobody is stopped", async () => {
    writeFileSync(join(folder, "file"), "in the way");
    const { file } = await openNotesFile(join(folder, "file", "data"));
    await file.keep([noteOf(1, START_MS, [], [event])]);
  });
});
