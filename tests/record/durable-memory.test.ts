import { type ChildProcess, spawn } from "node:child_process";
import {
  chmodSync,
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  unlinkSync,
  writeFileSync,
} from "node:fs";
import { open as openFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { type DurableMemory, openDurableMemory } from "../../controller/record/index.ts";

let folder: string;
let open: DurableMemory[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "evenbrine-memory-"));
});
afterEach(async () => {
  await Promise.all(open.map((memory) => memory.close()));
  open = [];
  rmSync(folder, { recursive: true, force: true });
});

async function openHere(place = folder): Promise<DurableMemory> {
  const memory = await openDurableMemory(place, { wallMs: () => 1_700_000_000_000, retryMs: 10 });
  open.push(memory);
  return memory;
}

async function until(holds: () => boolean, withinMs = 5_000): Promise<void> {
  const end = performance.now() + withinMs;
  while (!holds()) {
    if (performance.now() > end) throw new Error(`did not come to hold within ${withinMs} ms: ${holds}`);
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
}

/** Sequences 1 to `last`, each confirmed before the next: odd ones in slot a, even ones in slot b. */
async function filled(last: number): Promise<void> {
  const memory = await openDurableMemory(folder, { wallMs: () => 1_700_000_000_000 });
  for (let sequence = 1; sequence <= last; sequence += 1) {
    memory.write({ latch: `number ${sequence}` }, sequence);
    await until(() => memory.durableSequence() === sequence);
  }
  await memory.close();
}

const found = async () => (await openHere()).read();

describe("durable memory", () => {
  it("new folder: missing, nothing durable; number 7 written, opened again: sound with number 7", async () => {
    const memory = await openHere(join(folder, "not", "yet"));
    expect(memory.read()).toEqual({
      state: "missing",
      memory: null,
      sequence: 0,
      savedAtMs: null,
      testimony: null,
    });
    expect(memory.durableSequence()).toBe(-1);
    memory.write({ latch: "high-float-wet" }, 7);
    await until(() => memory.durableSequence() === 7);
    await memory.close();
    expect((await openHere(join(folder, "not", "yet"))).read()).toEqual({
      state: "sound",
      memory: { latch: "high-float-wet" },
      sequence: 7,
      savedAtMs: 1_700_000_000_000,
      testimony: null,
    });
  });

  it("1,000 writes at once, then closed: sound with the newest", async () => {
    const memory = await openHere();
    for (let sequence = 1; sequence <= 1_000; sequence += 1) memory.write({ sequence }, sequence);
    await memory.close();
    expect(await found()).toMatchObject({ state: "sound", memory: { sequence: 1_000 }, sequence: 1_000 });
  });

  it("write that may wait 60 s: not on disk after 30 ms, taken along with the next urgent one", async () => {
    const memory = await openHere();
    memory.write({ sequence: 1 }, 1, 60_000);
    await new Promise((resolve) => setTimeout(resolve, 30));
    expect(memory.durableSequence()).toBe(-1);
    memory.write({ sequence: 2 }, 2);
    memory.write({ sequence: 3 }, 3, 60_000);
    await until(() => memory.durableSequence() === 3);
  });
});

describe("a slow disk", () => {
  it("sync does not return: write takes less than 50 ms, nothing durable; it returns: the newest is", async () => {
    const memory = await openHere();
    const probe = await openFile(join(folder, "probe"), "w");
    const handles = Object.getPrototypeOf(probe) as { datasync(): Promise<void> };
    await probe.close();
    let letGo: () => void = () => undefined;
    const slow = vi.spyOn(handles, "datasync").mockImplementation(
      () =>
        new Promise((resolve) => {
          letGo = resolve;
        }),
    );
    const startMs = performance.now();
    memory.write({ sequence: 1 }, 1);
    memory.write({ sequence: 2 }, 2);
    expect(performance.now() - startMs).toBeLessThan(50);
    await until(() => slow.mock.calls.length === 1);
    memory.write({ sequence: 3 }, 3);
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(memory.durableSequence()).toBe(-1);
    slow.mockRestore();
    letGo();
    await until(() => memory.durableSequence() === 3);
  });
});

describe("durable memory that was harmed", () => {
  it("newest copy cut at any byte: sound, with number 4 if it is whole, with number 3 otherwise", async () => {
    await filled(3);
    // Slot b holds 2 and is about to become 4: every mixture of new and old bytes that a cut can leave behind.
    const before = readFileSync(join(folder, "memory-b"));
    const witness = readFileSync(join(folder, "memory-witness"));
    await filled4();
    const after = readFileSync(join(folder, "memory-b"));
    writeFileSync(join(folder, "memory-witness"), witness);
    for (let cut = 0; cut < after.length; cut += 1) {
      const torn = [Buffer.concat([after.subarray(0, cut), before.subarray(cut)]), after.subarray(0, cut)];
      for (const bytes of torn) {
        writeFileSync(join(folder, "memory-b"), bytes);
        const memory = await openDurableMemory(folder);
        const { state, sequence } = memory.read();
        await memory.close();
        expect([state, sequence], `cut at ${cut}`).toEqual(["sound", bytes.equals(after) ? 4 : 3]);
      }
    }
  });

  async function filled4(): Promise<void> {
    const memory = await openDurableMemory(folder, { wallMs: () => 1_700_000_000_000 });
    memory.write({ latch: "number 4" }, 4);
    await memory.close();
  }

  it.each(["memory-a", "memory-b"])("any byte of the newest copy flipped: older (%s)", async (newest) => {
    await filled(newest === "memory-a" ? 3 : 4);
    const path = join(folder, newest);
    const bytes = readFileSync(path);
    for (let index = 0; index < bytes.length; index += 1) {
      const harmed = Buffer.from(bytes);
      harmed[index] = (harmed[index] as number) ^ 0x01;
      writeFileSync(path, harmed);
      const memory = await openDurableMemory(folder);
      const { state } = memory.read();
      await memory.close();
      expect(state, `byte ${index}`).toBe("older");
    }
  });

  it("both copies cut at 40 bytes: corrupt, number 2 still known", async () => {
    await filled(2);
    for (const name of ["memory-a", "memory-b"]) {
      writeFileSync(join(folder, name), readFileSync(join(folder, name)).subarray(0, 40));
    }
    expect(await found()).toMatchObject({ state: "corrupt", memory: null, sequence: 2 });
  });

  it("both copies gone: missing, number 5 still known", async () => {
    await filled(5);
    unlinkSync(join(folder, "memory-a"));
    unlinkSync(join(folder, "memory-b"));
    expect(await found()).toMatchObject({ state: "missing", memory: null, sequence: 5 });
  });

  it("yesterday's copies put back: older, nothing durable; sound again once a new one is written", async () => {
    await filled(2);
    mkdirSync(join(folder, "backup"));
    for (const name of ["memory-a", "memory-b"]) copyFileSync(join(folder, name), join(folder, "backup", name));
    await filled(6);
    for (const name of ["memory-a", "memory-b"]) copyFileSync(join(folder, "backup", name), join(folder, name));
    const memory = await openHere();
    expect(memory.read()).toMatchObject({ state: "older", memory: { latch: "number 2" }, sequence: 6 });
    expect(memory.durableSequence()).toBe(-1);
    memory.write({ latch: "memory-lost" }, 7);
    await memory.close();
    expect(await found()).toMatchObject({ state: "sound", memory: { latch: "memory-lost" }, sequence: 7 });
  });

  it("witness gone: older, also at the next start", async () => {
    await filled(3);
    unlinkSync(join(folder, "memory-witness"));
    expect(await found()).toMatchObject({ state: "older", sequence: 3 });
    await open.pop()?.close();
    expect(await found()).toMatchObject({ state: "older", sequence: 3 });
  });
});

describe("testimony in the memory's witness", () => {
  const testimonyOf = (memory: unknown) => ({ last: (memory as { latch: string }).latch });
  const openWith = async () => {
    const memory = await openDurableMemory(folder, { testimonyOf });
    open.push(memory);
    return memory;
  };
  async function testified(last: number): Promise<void> {
    const memory = await openDurableMemory(folder, { testimonyOf });
    for (let sequence = 1; sequence <= last; sequence += 1) {
      memory.write({ latch: `number ${sequence}` }, sequence);
      await until(() => memory.durableSequence() === sequence);
    }
    await memory.close();
  }

  it("both copies gone after number 3: missing, testimony of number 3", async () => {
    await testified(3);
    for (const name of ["memory-a", "memory-b"]) unlinkSync(join(folder, name));
    expect((await openWith()).read()).toMatchObject({
      state: "missing",
      sequence: 3,
      testimony: { last: "number 3" },
    });
  });

  it("any byte of it flipped: no testimony, number 2 all the same", async () => {
    await testified(2);
    const path = join(folder, "memory-witness");
    const bytes = readFileSync(path);
    for (let index = 0; index < bytes.length; index += 1) {
      const harmed = Buffer.from(bytes);
      harmed[index] = (harmed[index] as number) ^ 0x01;
      writeFileSync(path, harmed);
      const memory = await openDurableMemory(folder, { testimonyOf });
      const { state, sequence, testimony } = memory.read();
      await memory.close();
      expect([state, sequence, testimony], `byte ${index}`).toEqual([index < 82 ? "older" : "sound", 2, null]);
    }
  });

  it("cut at any byte after its heading: memory sound, no testimony", async () => {
    await testified(1);
    const path = join(folder, "memory-witness");
    const before = readFileSync(path);
    await testified(4);
    const after = readFileSync(path);
    // The heading lies in one sector, which is written whole or not at all.
    const heading = after.indexOf(0x0a) + 1;
    expect(heading).toBeLessThan(512);
    for (let cut = heading; cut < after.length; cut += 1) {
      for (const bytes of [Buffer.concat([after.subarray(0, cut), before.subarray(cut)]), after.subarray(0, cut)]) {
        if (bytes.equals(after)) continue;
        writeFileSync(path, bytes);
        const memory = await openDurableMemory(folder, { testimonyOf });
        const { state, testimony } = memory.read();
        await memory.close();
        expect([state, testimony], `cut at ${cut}`).toEqual(["sound", null]);
      }
    }
  });

  it("witness of a version without it: memory sound, no testimony", async () => {
    await testified(2);
    const path = join(folder, "memory-witness");
    writeFileSync(path, Buffer.concat([readFileSync(path).subarray(0, 81), Buffer.from("\n")]));
    expect((await openWith()).read()).toMatchObject({ state: "sound", sequence: 2, testimony: null });
  });
});

describe("a disk that never returns from a sync", () => {
  async function hanging(): Promise<() => void> {
    const probe = await openFile(join(folder, "probe"), "w");
    const handles = Object.getPrototypeOf(probe) as { datasync(): Promise<void> };
    await probe.close();
    const letGo: (() => void)[] = [];
    const stuck = vi
      .spyOn(handles, "datasync")
      .mockImplementation(() => new Promise((resolve) => letGo.push(() => resolve())));
    return () => {
      stuck.mockRestore();
      for (const go of letGo) go();
    };
  }

  it("60 ms allowed: failed after them, not after 20; it returns: durable, no longer failed", async () => {
    const memory = await openDurableMemory(folder, { hangsMs: 60 });
    open.push(memory);
    const letGo = await hanging();
    memory.write({ sequence: 1 }, 1);
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(memory.failed()).toBe(false);
    await until(() => memory.failed());
    expect(memory.durableSequence()).toBe(-1);
    letGo();
    await until(() => memory.durableSequence() === 1 && !memory.failed());
  });

  it("at the start: opened all the same, failed; it returns: no longer failed", async () => {
    const letGo = await hanging();
    const memory = await openDurableMemory(folder, { hangsMs: 60 });
    open.push(memory);
    await until(() => memory.failed());
    letGo();
    await until(() => !memory.failed());
  });
});

describe("a disk that refuses", () => {
  it("no space left: failed, nothing durable; space again: the newest is, sound at the next start", async () => {
    const memory = await openHere();
    memory.write({ sequence: 1 }, 1);
    await until(() => memory.durableSequence() === 1);
    await memory.close();

    // Every write to this device ends in "no space left".
    unlinkSync(join(folder, "memory-b"));
    symlinkSync("/dev/full", join(folder, "memory-b"));
    const full = await openHere();
    expect(full.read()).toMatchObject({ state: "sound", sequence: 1 });
    full.write({ sequence: 2 }, 2);
    await until(() => full.failed());
    full.write({ sequence: 3 }, 3);
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(full.durableSequence()).toBe(1);

    unlinkSync(join(folder, "memory-b"));
    await until(() => full.durableSequence() === 3);
    await until(() => !full.failed());
    await full.close();
    expect(await found()).toMatchObject({ state: "sound", memory: { sequence: 3 } });
  });

  it("folder cannot be made: opened, missing and failed; made later: written", async () => {
    writeFileSync(join(folder, "file"), "in the way");
    const memory = await openHere(join(folder, "file", "data"));
    expect(memory.read().state).toBe("missing");
    expect(memory.failed()).toBe(true);
    memory.write({ sequence: 1 }, 1);
    unlinkSync(join(folder, "file"));
    await until(() => memory.durableSequence() === 1 && !memory.failed());
  });

  it("folder read-only: read as sound, failed", async () => {
    await filled(3);
    chmodSync(folder, 0o555);
    for (const name of ["memory-a", "memory-b", "memory-witness"]) chmodSync(join(folder, name), 0o444);
    // Root may write everywhere, so a child looks with another user's eyes.
    const nobody = process.getuid?.() === 0 ? ["65534"] : [];
    const child = spawnChild(folder, ...nobody);
    await until(() => child.lines.length > 0, 10_000);
    await kill(child.process);
    expect(child.lines[0]).toBe("found sound 3 failed");
    chmodSync(folder, 0o755);
  });
});

describe("a process killed in the middle of a write", () => {
  it("25 times: sound each time, never older than what was confirmed", { timeout: 120_000 }, async () => {
    let confirmed = 0;
    let random = 20_240_601;
    for (let round = 0; round < 25; round += 1) {
      const child = spawnChild(folder);
      await until(() => child.lines.length > 1, 20_000);
      random = (random * 48_271) % 2_147_483_647;
      await new Promise((resolve) => setTimeout(resolve, random % 60));
      await kill(child.process);
      expect(child.lines[0]).toMatch(round === 0 ? /^found missing/ : /^found sound/);
      const last = child.lines.filter((line) => line.startsWith("durable")).at(-1) as string;
      confirmed = Number(last.split(" ")[1]);

      const memory = await openDurableMemory(folder);
      const { state, sequence, memory: content } = memory.read();
      await memory.close();
      expect(state).toBe("sound");
      expect(sequence).toBeGreaterThanOrEqual(confirmed);
      expect(content).toMatchObject({ sequence });
    }
    expect(confirmed).toBeGreaterThan(100);
  });
});

function spawnChild(...args: string[]): { process: ChildProcess; lines: string[] } {
  const script = join(import.meta.dirname, "memory-child.ts");
  const child = spawn(process.execPath, [script, ...args], { stdio: ["ignore", "pipe", "inherit"] });
  const lines: string[] = [];
  let rest = "";
  child.stdout.on("data", (chunk) => {
    const parts = (rest + chunk).split("\n");
    rest = parts.pop() as string;
    lines.push(...parts);
  });
  return { process: child, lines };
}

const kill = (child: ChildProcess): Promise<void> =>
  new Promise((resolve) => {
    child.once("close", () => resolve());
    child.kill("SIGKILL");
  });
