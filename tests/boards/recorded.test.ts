import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import modbus from "modbus-serial";
import { describe, expect, it } from "vitest";
import { openFirmataBoard, type PinWiring } from "../../controller/boards/firmata.ts";
import { openModbusLine } from "../../controller/boards/modbus.ts";
import { ModbusPort } from "../../controller/boards/modbus-port.ts";
import { choosePacemakers } from "../../controller/boards/pacemaker.ts";
import { makePortImage } from "../../controller/boards/port-image.ts";
import type { SerialLine } from "../../controller/boards/serial-line.ts";
import { openTextLine } from "../../controller/boards/text-line.ts";
import { type Pty, plugPty } from "../system/rig/pty.ts";
import { describeWith } from "../system/rig/tools.ts";
import { pause, until } from "../system/rig/until.ts";

const bytes = (hex: string): Buffer => Buffer.from(hex.replaceAll(" ", ""), "hex");

/**
 * Slave 1, function 4, two registers from 10. The frame layout is that of "MODBUS over Serial Line V1.02" §2.5.1; the
 * bytes were recorded from pymodbus 3.0 answering this question with 53.1 as a float, and a register that it lacks.
 */
const QUESTION = "01 04 00 0a 00 02 51 c9";
const WHOLE = "01 04 04 42 54 66 66 05 a6";
const EXCEPTION = "01 84 02 c2 c1";

async function ask(...chunks: string[]): Promise<number[] | string> {
  const asked: Buffer[] = [];
  const line: SerialLine = {
    isOpen: true,
    problem: null,
    write: (sent) => void asked.push(Buffer.from(sent)),
    close: async () => undefined,
  };
  const port = new ModbusPort(() => line);
  const client = new modbus.default(port);
  client.setTimeout(30);
  client.open(() => undefined);
  const answer = new Promise<number[] | string>((resolve) => {
    client.writeFC4(1, 10, 2, (error, result) => resolve(error ? error.message : result.data));
  });
  expect(asked.map((sent) => sent.toString("hex"))).toEqual([QUESTION.replaceAll(" ", "")]);
  for (const chunk of chunks) port.take(bytes(chunk));
  return answer;
}

describe("recorded Modbus answers", () => {
  it("whole: both registers", async () => expect(await ask(WHOLE)).toEqual([0x4254, 0x6666]));
  it("whole in three pieces: both registers", async () =>
    expect(await ask("01", "04 04 42 54 66", "66 05 a6")).toEqual([0x4254, 0x6666]));
  it("stray byte before it: both registers", async () => expect(await ask(`00 ${WHOLE}`)).toEqual([0x4254, 0x6666]));
  it("cut short: timed out", async () => expect(await ask("01 04 04 42 54")).toBe("Timed out"));
  it("one bit wrong: CRC error", async () => expect(await ask("01 04 04 42 55 66 66 05 a6")).toBe("CRC error"));
  it("of another slave: timed out", async () => expect(await ask("02 04 04 42 54 66 66 36 a6")).toBe("Timed out"));
  it("exception: exception 2", async () => expect(await ask(EXCEPTION)).toMatch(/^Modbus exception 2/));
  it("garbage: timed out", async () => expect(await ask("ff fe 00 13 37 00 00 55 aa 01")).toBe("Timed out"));
  it("none: timed out", async () => expect(await ask()).toBe("Timed out"));

  it("random noise: never a value", async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ minLength: 0, maxLength: 40 }), async (noise) => {
        expect(typeof (await ask(Buffer.from(noise).toString("hex")))).toBe("string");
      }),
      { numRuns: 40 },
    );
  });
});

describe("image of a board's ports", () => {
  it("contacts on 2 and 8: pull-ups; outputs on 4 and 10: at rest, changed one by one, at rest again", () => {
    const image = makePortImage(
      [2, 8],
      [
        { pin: 4, restHigh: false },
        { pin: 10, restHigh: true },
      ],
    );
    expect([image.ports, image.byteOf(0), image.byteOf(1)]).toEqual([[0, 1], 0b100, 0b101]);
    image.set(4, true);
    image.set(10, false);
    expect([image.byteOf(0), image.byteOf(1)]).toEqual([0b1_0100, 0b001]);
    image.rest();
    expect([image.byteOf(0), image.byteOf(1)]).toEqual([0b100, 0b101]);
  });
});

describe("the pin that paces a port's reports", () => {
  const digital = { supportedModes: [0, 1, 4], analogChannel: 127 };
  const uno = Array.from({ length: 20 }, (_, pin) =>
    pin < 2 ? { supportedModes: [] } : pin < 14 ? digital : { supportedModes: [0, 1, 2], analogChannel: pin - 14 },
  );

  it("free pin without a lamp, analog only where no other is left", () => {
    expect(choosePacemakers([0, 1, 2], new Set([2, 3, 8]), uno)).toEqual([
      { port: 0, pin: 4, away: 2 },
      { port: 1, pin: 9, away: 2 },
      { port: 2, pin: 16, away: 3 },
    ]);
    expect(choosePacemakers([1], new Set([8, 9, 10, 11, 12]), uno)).toEqual([{ port: 1, pin: 14, away: 3 }]);
  });

  it("every pin wired: none", () => {
    expect(choosePacemakers([0], new Set([2, 3, 4, 5, 6, 7]), uno)).toEqual([]);
  });
});

describeWith(["python3"], "a port on which something else speaks than a board", () => {
  const wiring: PinWiring = {
    contacts: [2],
    analogs: [],
    outputs: [{ part: "heater-1", pin: 4, restHigh: false }],
  };
  const nowMs = () => performance.now();
  const HELLO = "f9 02 03 f0 79 02 03 53 00 f7";

  async function withPort(speak: (pty: Pty, said: () => Buffer) => Promise<void>): Promise<void> {
    let said = Buffer.alloc(0);
    const pty = await plugPty(join(tmpdir(), `evenbrine-recorded-${process.pid}-${performance.now()}`), (sent) => {
      said = Buffer.concat([said, sent]);
    });
    await speak(pty, () => said);
    await pty.unplug();
  }

  it.each([
    ["noise that names pins which do not exist", `${HELLO} f0 6e 7f 01 00 f7 f0 6a 00 01 02 03 f7 f0 6e 50 00 f7`],
    ["a message that never ends", `${HELLO} f0 6c ${"11 ".repeat(9000)}`],
    ["nothing but zeros", "00 ".repeat(500)],
    ["a version cut short", "f9 02"],
  ])("%s: not ready, silent, no value", async (_, hex) => {
    await withPort(async (pty) => {
      const board = await openFirmataBoard(
        "io",
        { kind: "firmata", port: pty.path, baud: 57_600, firmware: "standard" },
        wiring,
        nowMs,
      );
      await until("the port is open", () => board.describe(nowMs())[0]?.includes("waiting for the board") === true);
      pty.send(bytes(hex));
      await pause(200);
      expect(board.isReady).toBe(false);
      expect(board.isSilent(nowMs())).toBe(true);
      expect(board.contact(2).value).toBeNull();
      await board.close();
    });
  });

  it("held by another program: disconnected, told; let go: taken", async () => {
    await withPort(async (pty) => {
      const settings = { kind: "firmata", port: pty.path, baud: 57_600, firmware: "standard" } as const;
      const first = await openFirmataBoard("io", settings, wiring, nowMs);
      await until("the port is open", () => first.describe(nowMs())[0]?.includes("waiting for the board") === true);
      const second = await openFirmataBoard("other", settings, wiring, nowMs);
      await until("it is held", () => second.describe(nowMs())[0]?.includes("another program holds the port") === true);
      expect(second.contact(2).fault).toBe("disconnected");
      await first.close();
      await until("it is taken", () => second.describe(nowMs())[0]?.includes("waiting for the board") === true);
      await second.close();
    });
  });

  const QUESTION = { slave: 1, table: "input", address: 10, count: 2 } as const;
  it.each([
    [
      "a Modbus line",
      async (port: string) => {
        const serial = { baud: 9600, parity: "none", stopBits: 1, pollMs: 100, timeoutMs: 100 } as const;
        const line = await openModbusLine("held", { kind: "modbus", port, ...serial }, [QUESTION], nowMs);
        return { line, faultOf: () => line.words(QUESTION).fault };
      },
    ],
    [
      "an instrument",
      async (port: string) => {
        const serial = { baud: 9600, parity: "none", stopBits: 1, pollMs: 100, timeoutMs: 100 } as const;
        const text = { kind: "text", port, request: "R\r", pattern: "^(?<ec>\\d+)$", ...serial } as const;
        const line = await openTextLine("held", text, nowMs);
        return { line, faultOf: () => line.value("ec").fault };
      },
    ],
  ])("%s: port held by a board: disconnected, told; let go: taken", async (_, open) => {
    await withPort(async (pty) => {
      const settings = { kind: "firmata", port: pty.path, baud: 57_600, firmware: "standard" } as const;
      const first = await openFirmataBoard("io", settings, wiring, nowMs);
      await until("the port is open", () => first.describe(nowMs())[0]?.includes("waiting for the board") === true);
      const { line, faultOf } = await open(pty.path);
      await until("it is held", () => line.describe()[0]?.includes("another program holds the port") === true);
      expect(faultOf()).toBe("disconnected");
      await first.close();
      await until("it is taken", () => faultOf() === "no-answer");
      await line.close();
    });
  });

  it("output written before the board says who it is: nothing sent to its pins", async () => {
    await withPort(async (pty, said) => {
      const board = await openFirmataBoard(
        "io",
        { kind: "firmata", port: pty.path, baud: 57_600, firmware: "standard" },
        wiring,
        nowMs,
      );
      await until("it asks who is there", () => said().includes(0xf9));
      board.write([{ pin: 4, high: true }]);
      await pause(100);
      expect(said().some((byte) => byte >= 0x90 && byte < 0xa0)).toBe(false);
      await board.close();
    });
  });
});
