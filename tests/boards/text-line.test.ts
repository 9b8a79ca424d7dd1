import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { openTextLine, type TextLine } from "../../controller/boards/text-line.ts";
import { type Pty, plugPty } from "../system/rig/pty.ts";
import { describeWith } from "../system/rig/tools.ts";
import { pause, until } from "../system/rig/until.ts";

const nowMs = () => performance.now();
const REQUEST = "R\r";
const WHOLE = "53.12,25.1\r";
const settings = (port: string, request: string | null) =>
  ({
    kind: "text",
    port,
    baud: 9600,
    parity: "none",
    stopBits: 1,
    request,
    pollMs: 100,
    timeoutMs: 150,
    pattern: "^(?<ec>\\d+\\.\\d\\d),(?<t>\\d+\\.\\d)$",
  }) as const;

describeWith(["python3"], "an instrument that writes text behind a tty", () => {
  let folder: string;
  let pty: Pty;
  let line: TextLine;
  let reply: string | null = WHOLE;
  let asked = 0;
  const plug = async () => {
    pty = await plugPty(join(folder, "tty"), (bytes) => {
      if (bytes.toString() !== REQUEST) return;
      asked += 1;
      if (reply !== null) pty.send(Buffer.from(reply, "latin1"));
    });
  };
  const open = async (request: string | null) => {
    line = await openTextLine("ec", settings(join(folder, "tty"), request), nowMs);
  };
  const ec = () => line.value("ec");

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), "evenbrine-text-"));
    reply = WHOLE;
    asked = 0;
    await plug();
  });
  afterEach(async () => {
    await line.close();
    await pty.unplug();
    rmSync(folder, { recursive: true, force: true });
  });

  it("asked: both groups read, three more samples; unknown group: garbled", async () => {
    await open(REQUEST);
    await until("a value", () => ec().value === "53.12");
    expect(line.value("t").value).toBe("25.1");
    const { sample } = ec();
    await until("more samples", () => ec().sample >= sample + 3);
    expect(line.describe()[0]).toMatch(/: answers\.$/);
    expect(line.value("no-such-group").fault).toBe("garbled");
  });

  it.each([
    ["truncated", "53.1\r", "garbled"],
    ["cut off before its end", "53.12,25", "no-answer"],
    ["garbage", "\u00ff\u0000\u0013\u0091\r\n", "garbled"],
    ["an error message", "*ER\r", "garbled"],
    ["far too long", `${"9".repeat(5000)}\r`, "no-answer"],
    ["absent", null, "no-answer"],
  ] as const)("%s: %j: %s, then read again when whole", async (_, spoilt, fault) => {
    await open(REQUEST);
    await until("a value", () => ec().value === "53.12");
    reply = spoilt;
    await until(fault, () => ec().fault === fault);
    expect(line.describe()[0]).toMatch(fault === "garbled" ? /which its pattern does not fit/ : /does not answer/);
    reply = WHOLE;
    await until("a value again", () => ec().value === "53.12");
  });

  it("echo and acknowledgement around the line: read, five more samples", async () => {
    reply = `R\r*OK\r${WHOLE}*OK\r`;
    await open(REQUEST);
    await until("a value", () => ec().value === "53.12");
    const { sample } = ec();
    await until("more", () => ec().sample >= sample + 5);
    expect(ec().fault).toBeNull();
  });

  it("reply after its time: not taken for the next question", async () => {
    reply = null;
    await open(REQUEST);
    await until("it was asked", () => asked > 0);
    await until("no answer", () => ec().fault === "no-answer");
    // Between two questions nobody listens.
    pty.send(Buffer.from(WHOLE));
    await pause(60);
    expect(ec().fault).toBe("no-answer");
  });

  it("talks by itself: read from its second line on; two lines in one: garbled; then no-answer, never asked", async () => {
    await open(null);
    await until("the port is open", () => line.describe()[0]?.includes("not heard yet") === true);
    pty.send(Buffer.from("3.12,25.1\r\n"));
    await pause(50);
    expect(ec().value).toBeNull();
    pty.send(Buffer.from("53.12,"));
    await pause(50);
    pty.send(Buffer.from("25.1\r\n"));
    await until("a value", () => ec().value === "53.12");
    pty.send(Buffer.from("53.1225.1\r\n"));
    await until("garbled", () => ec().fault === "garbled");
    await until("silent", () => ec().fault === "no-answer");
    expect(line.describe()[0]).toMatch(/says nothing/);
    expect(asked).toBe(0);
  });

  it("no such port: disconnected, told; there later: read", async () => {
    await pty.unplug();
    await open(REQUEST);
    await until("it says so", () => line.describe()[0]?.includes("there is no such port: is it plugged in?") === true);
    expect(ec()).toMatchObject({ value: null, fault: "disconnected", sample: 0 });
    await plug();
    await until("a value", () => ec().value === "53.12");
  });

  it("plug pulled: disconnected; back: read", async () => {
    await open(REQUEST);
    await until("a value", () => ec().value === "53.12");
    await pty.unplug();
    await until("disconnected", () => ec().fault === "disconnected");
    await plug();
    await until("a value again", () => ec().value === "53.12");
  });
});
