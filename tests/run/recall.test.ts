import { appendFileSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { HOLD } from "../../controller/decisions/hold/key.ts";
import { type DurableMemory, openDurableMemory } from "../../controller/record/index.ts";
import { recall } from "../../controller/run/recall.ts";
import { openRehearsedTank } from "../../controller/run/rehearsed-tank.ts";
import { testimonyOf } from "../../controller/run/tank.ts";
import { keptIn, provenMemory, type StoredMemory, toStore } from "../../controller/scan/memory.ts";
import { step } from "../../controller/scan/step.ts";
import type { Image, Request } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";

const SETTINGS = rehearsalSettings();
const OPTIONS = { speed: 1, seed: 1 };
let data = "";
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), "evenbrine-recall-"));
});
const open: DurableMemory[] = [];
afterEach(async () => {
  await Promise.all(open.splice(0).map((memory) => memory.close()));
  rmSync(data, { recursive: true, force: true });
});

const folder = () => join(data, "rehearsal");

/** The first scan of a rehearsal that starts in the folder, and the tank. */
async function startsWith(requests: readonly Request[] = []) {
  const tank = await openRehearsedTank(SETTINGS, { ...OPTIONS, data });
  open.push(tank.memory);
  const image: Image = {
    ...tank.field.look(0),
    elapsedMs: 0,
    start: tank.cycle.news,
    durableSequence: 0,
    disk: "working",
    requests,
  };
  return { tank, news: tank.cycle.news, ...step(tank.cycle.memory, image, SETTINGS) };
}

/** Keeps memories as a running controller does: one after the other, each confirmed. */
async function keep(memory: DurableMemory, durables: readonly StoredMemory[]): Promise<void> {
  for (const durable of durables) {
    memory.write(durable, durable.sequence);
    await expect.poll(() => memory.durableSequence()).toBe(durable.sequence);
  }
  await memory.close();
}

/** A hold with heat, then a later memory of the same hold: two copies on disk. */
async function keepHold(): Promise<void> {
  const { tank, memory } = await startsWith([{ kind: "hold", id: "h", at: "tank", minutes: 60 }]);
  expect(keptIn(memory, HOLD).durable).toMatchObject({ withHeat: true });
  const first = { ...toStore(memory), sequence: 5 };
  await keep(tank.memory, [first, { ...first, sequence: 6 }]);
}

const newestSlot = (): string =>
  ["memory-a", "memory-b"]
    .map((name) => join(folder(), name))
    .sort((one, other) => statSync(one).mtimeMs - statSync(other).mtimeMs)
    .at(-1) as string;

describe("what a rehearsal begins with", () => {
  test("nothing was ever kept: a box that has long been proven", async () => {
    const { record, news } = await startsWith();
    expect(news.memory).toBe("sound");
    expect(record.topOff.latch).toBeNull();
    expect(Object.values(record.proofs).every((age) => age !== null)).toBe(true);
  });

  test("a hold was kept: it goes on at full length", async () => {
    await keepHold();
    const { record } = await startsWith();
    expect(record.hold).toMatchObject({ active: true, withHeat: true, leftMs: 3_600_000 });
  });

  test("a hold was kept and the newest copy is damaged: it goes on, as on real water", async () => {
    await keepHold();
    const slot = newestSlot();
    const bytes = readFileSync(slot);
    bytes[bytes.length - 20] = 0;
    writeFileSync(slot, bytes);
    const { record, news } = await startsWith();
    expect(news.memory).toBe("older");
    expect(record.hold).toMatchObject({ active: true, withHeat: true });
  });

  test.each([
    ["both copies damaged", ["memory-a", "memory-b"], "corrupt"],
    ["both copies emptied", [], "missing"],
  ])("a hold was kept, %s: held, locked and in doubt, not as new", async (_, damaged, expected) => {
    await keepHold();
    for (const name of ["memory-a", "memory-b"]) writeFileSync(join(folder(), name), damaged.includes(name) ? "x" : "");
    const { record, news } = await startsWith();
    expect(news.memory).toBe(expected);
    expect(record.hold).toMatchObject({ active: true, withHeat: true });
    expect(record.topOff.latch?.reason).toBe("memory-lost");
  });

  test("a damaged witness beside sound copies: in doubt, so held all the same", async () => {
    await keepHold();
    appendFileSync(join(folder(), "memory-witness"), "");
    writeFileSync(join(folder(), "memory-witness"), "x");
    const { record, news } = await startsWith();
    expect(news.memory).toBe("older");
    expect(record.hold.active).toBe(true);
  });
});

describe("the same memory on real water and in a rehearsal", () => {
  test.each([
    ["sound", null],
    ["older", "older"],
  ] as const)("%s: the same start", async (_, damage) => {
    await keepHold();
    if (damage !== null) writeFileSync(newestSlot(), "x");
    const memory = await openDurableMemory(folder(), { testimonyOf });
    const found = memory.read();
    await memory.close();
    const startMs = (found.savedAtMs ?? 0) + 360_000;
    const real = recall(found, SETTINGS, startMs);
    const { tank, news } = await startsWith();
    expect(tank.cycle.memory).toEqual(real.memory);
    expect({ ...news, offMs: 0 }).toEqual({ ...real.news, offMs: 0 });
  });

  test("what does not fit into the memory of a scan is corrupt, not believed", async () => {
    const memory = await openDurableMemory(folder(), { testimonyOf: () => null });
    await keep(memory, [{ ...toStore(provenMemory(SETTINGS)), machines: null } as never]);
    const again = await openDurableMemory(folder());
    open.push(again);
    const found = again.read();
    expect(recall(found, SETTINGS, Date.now()).news.memory).toBe("corrupt");
  });
});
