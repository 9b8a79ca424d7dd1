import { execFile } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { decodeSlot, encodeSlot, type Slot } from "../../controller/record/slot.ts";
import { STORED_VERSION } from "../../controller/scan/memory.ts";

const LAUNCH = fileURLToPath(new URL("../../controller/cli/launch.mjs", import.meta.url));
const MEMORY = ["memory-a", "memory-b", "memory-witness"];

let data = "";
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), "evenbrine-newer-"));
  cpSync(join(import.meta.dirname, "../record/made-by-0.1.0"), join(data, "rehearsal"), { recursive: true });
});
afterEach(() => rmSync(data, { recursive: true, force: true }));

const bytes = () =>
  [...MEMORY, "history.db"].map((name) => readFileSync(join(data, "rehearsal", name)).toString("hex"));

describe("evenbrine run after a downgrade", () => {
  it("memory of the next format: exit 1, a sentence, memory and history byte for byte as they were", async () => {
    for (const name of ["memory-a", "memory-b"]) {
      const path = join(data, "rehearsal", name);
      const slot = decodeSlot(readFileSync(path)) as Slot;
      writeFileSync(path, encodeSlot({ ...slot, memory: { version: STORED_VERSION + 1, sequence: slot.sequence } }));
    }
    const before = bytes();
    const ended = await promisify(execFile)(process.execPath, [LAUNCH, "run", "--data", data, "--port", "0"]).catch(
      (error: { code: number; stderr: string }) => error,
    );
    expect(ended).toMatchObject({ code: 1 });
    expect(ended.stderr).toMatch(/written by a newer Evenbrine \(format \d+\)\. Nothing was changed in it: start that/);
    expect(ended.stderr).not.toMatch(/\n\s+at /);
    expect(bytes()).toEqual(before);
  });
});
