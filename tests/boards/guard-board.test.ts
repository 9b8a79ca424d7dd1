import type { EventEmitter } from "node:events";
import firmata from "firmata-io";
import johnnyFive from "johnny-five";
import { SerialPort } from "serialport";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { openFirmataBoard, type PinBoard, type PinWiring } from "../../controller/boards/firmata.ts";
import {
  createGuardEar,
  feedMessage,
  type GuardDescription,
  type GuardReport,
} from "../../controller/boards/guard-protocol.ts";
import {
  EMULATED_BOARD_TOOLS,
  type EmulatedBoard,
  STANDARD_FIRMWARE,
  startEmulatedBoard,
} from "../system/rig/emulated-board.ts";
import {
  type BuiltFirmware,
  buildGuardFirmware,
  GUARD_FIRMWARE_TOOLS,
  GUARD_PINS,
} from "../system/rig/guard-firmware.ts";
import { describeWith } from "../system/rig/tools.ts";
import { lasting, pause, until } from "../system/rig/until.ts";
import { undisturbed } from "./undisturbed.ts";

/** On a machine that has much else to do; what is broken fails all the same, only later. */
vi.setConfig({ testTimeout: 300_000, hookTimeout: 200_000 });

const nowMs = () => performance.now();
const WIRING: PinWiring = {
  contacts: [2, 3, 12, 15],
  analogs: [16, 18],
  outputs: [
    { part: "top-off-pump", pin: GUARD_PINS.pump, restHigh: false },
    { part: "water-guard", pin: GUARD_PINS.waterGuard, restHigh: false },
    { part: "heater-1", pin: GUARD_PINS.heater, restHigh: false },
    { part: "heat-guard", pin: GUARD_PINS.heatGuard, restHigh: false },
  ],
};
const PULSED = [GUARD_PINS.waterGuard, GUARD_PINS.heatGuard];
const all = (high: boolean) => WIRING.outputs.map(({ pin }) => ({ pin, high }));

describe("recorded messages of the guard firmware", () => {
  /** Recorded from the firmware on the emulated chip, fed, with pins 8 and 11 on and pin 3 closed to ground. */
  const REPORT = "f0 0e 03 03 00 01 09 74 21 00 43 f7";
  const DESCRIPTION = "f0 0e 02 01 14 3c 32 08 01 00 09 02 00 0a 03 00 0b 04 00 63 f7";
  const heardIn = (hex: string) => {
    const reports: GuardReport[] = [];
    const ear = createGuardEar({ reported: (report) => reports.push(report), described: () => undefined });
    for (const byte of hex.split(" ")) ear([Number.parseInt(byte, 16)]);
    return reports;
  };

  it("whole report: counter 3, armed, pump not locked, levels of ten pins", () => {
    const [report] = heardIn(REPORT);
    expect(report).toMatchObject({ counter: 3, state: "armed", pumpLocked: false, afterHang: false });
    expect([2, 4, 5, 6, 7, 12].map((pin) => report?.isHigh(pin))).toEqual(Array(6).fill(true));
    expect([3, 8, 14, 19].map((pin) => report?.isHigh(pin))).toEqual(Array(4).fill(false));
  });
  it("description: trip 2,000 ms, pump at most 60 s, four outputs with their levels", () => {
    const found: GuardDescription[] = [];
    const ear = createGuardEar({ reported: () => undefined, described: (description) => found.push(description) });
    ear(DESCRIPTION.split(" ").map((byte) => Number.parseInt(byte, 16)));
    expect(found).toEqual([
      {
        tripMs: 2000,
        pumpMostS: 60,
        outputs: [
          { pin: 8, part: "top-off-pump", restHigh: false },
          { pin: 9, part: "water-guard", restHigh: false },
          { pin: 10, part: "heater-1", restHigh: false },
          { pin: 11, part: "heat-guard", restHigh: false },
        ],
      },
    ]);
  });
  it("report twice with other messages between: two reports", () =>
    expect(heardIn(`91 00 01 ${REPORT} e0 01 02 f0 6e 08 01 00 f7 ${REPORT}`)).toHaveLength(2));
  it("report cut short, then whole: one report", () => expect(heardIn(`f0 0e 03 03 00 ${REPORT}`)).toHaveLength(1));
  it("report cut at any place: none", () => {
    const bytes = REPORT.split(" ");
    for (let length = 0; length < bytes.length - 1; length += 1) {
      expect(heardIn(`${bytes.slice(0, length).join(" ") || "00"} f7`)).toEqual([]);
    }
  });
  it("report with any one bit wrong: none", () => {
    const bytes = REPORT.split(" ").map((byte) => Number.parseInt(byte, 16));
    for (let at = 3; at < bytes.length - 2; at += 1) {
      for (let bit = 0; bit < 7; bit += 1) {
        const spoilt = bytes.map((byte, index) => (index === at ? byte ^ (1 << bit) : byte));
        expect(heardIn(spoilt.map((byte) => byte.toString(16)).join(" "))).toEqual([]);
      }
    }
  });
  it("garbage, or a message without an end: none", () => {
    expect(heardIn("00 ff 13 37 f7 f7 f0 f0 0e f7")).toEqual([]);
    expect(heardIn(`f0 ${"11 ".repeat(300)}f7`)).toEqual([]);
  });
  it("feed of counter 300: its bytes, with a check sum by long division", () =>
    expect(Buffer.from(feedMessage(300)).toString("hex")).toBe("f00e012c0200".concat(crcOf([1, 0x2c, 2, 0]), "f7")));
});

/** Long division by x⁷ + x³ + 1, as on paper. */
function crcOf(bytes: readonly number[]): string {
  const bits = [...bytes.map((byte) => byte.toString(2).padStart(8, "0")).join(""), ..."0000000"].map(Number);
  for (let at = 0; at + 7 < bits.length; at += 1) {
    if (bits[at] === 1) for (const offset of [0, 4, 7]) (bits[at + offset] as number) ^= 1;
  }
  return Number.parseInt(bits.slice(-7).join(""), 2).toString(16).padStart(2, "0");
}

describeWith([...EMULATED_BOARD_TOOLS, ...GUARD_FIRMWARE_TOOLS], "a board with guard firmware", () => {
  let built: BuiltFirmware;
  let chip: EmulatedBoard;
  let board: PinBoard;
  let feeding: NodeJS.Timeout;
  const feed = (on: boolean) => {
    clearInterval(feeding);
    if (on) feeding = setInterval(() => board.feed(), 100);
  };
  const ready = () => until("it is ready", () => board.isReady && !board.isSilent(nowMs()), 60_000);
  const levels = () => WIRING.outputs.map(({ pin }) => chip.level(pin));

  beforeAll(async () => {
    built = buildGuardFirmware();
    chip = await startEmulatedBoard({ firmware: built.hexPath, closed: [2], pulsed: PULSED });
    const settings = { kind: "firmata", port: chip.path, baud: 57_600, firmware: "guard" } as const;
    board = await openFirmataBoard("io", settings, WIRING, nowMs);
  });
  afterAll(async () => {
    feed(false);
    await board.close();
    await chip.stop();
    built.remove();
  });

  it("not fed: not ready, says so, outputs stay low; fed: ready", async () => {
    await until("it waits", () => board.describe(nowMs())[0]?.includes("waits to be fed") === true, 60_000);
    await pause(300);
    expect(board.isReady).toBe(false);
    board.write(all(true));
    await pause(100);
    expect(levels()).toEqual(Array(4).fill("low"));
    feed(true);
    await ready();
    expect(board.describe(nowMs())[0]).toMatch(/ready \(guard firmware 1\.0\)/);
  });

  it("contacts on every port and two voltages: read, eight samples while they stand", async () => {
    expect([2, 3, 12, 15].map((pin) => board.contact(pin).value)).toEqual([false, true, true, true]);
    for (const pin of [3, 12, 15]) await chip.contact(pin, "closed");
    await chip.contact(2, "open");
    await until(
      "all have flipped",
      () => [2, 3, 12, 15].map((pin) => board.contact(pin).value).join() === "true,false,false,false",
    );
    await chip.volts(16, 1.25);
    await chip.volts(18, 3.75);
    await until(
      "both voltages",
      () =>
        Math.abs((board.analog(16).value ?? 0) - 0.25) < 0.005 &&
        Math.abs((board.analog(18).value ?? 0) - 0.75) < 0.005,
    );
    const before = [2, 12].map((pin) => board.contact(pin).sample);
    await until("eight samples", () =>
      [2, 12].every((pin, index) => board.contact(pin).sample >= (before[index] as number) + 8),
    );
  });

  it("fed: all outputs on for 1.5 s, off when told", () =>
    undisturbed(board, async () => {
      board.write(all(true));
      await until("all are on", () => levels().every((level) => level === "high"));
      await pause(1500);
      expect(board.isReady).toBe(true);
      expect(levels()).toEqual(Array(4).fill("high"));
      board.write(all(false));
      await until("all are off", () => levels().every((level) => level === "low"));
    }));

  it("not fed: all off after 1.7 to 2.3 s, hasRestarted; fed again: off until written", () =>
    undisturbed(board, async () => {
      board.write(all(true));
      await until("all are on", () => levels().every((level) => level === "high"));
      const stoppedMs = await chip.chipMs();
      feed(false);
      await until("all are off", () => levels().every((level) => level === "low"), 60_000).finally(() => feed(true));
      const tookMs = (chip.edges(GUARD_PINS.pump).at(-1)?.chipMs ?? 0) - stoppedMs;
      expect(tookMs).toBeGreaterThan(1700);
      expect(tookMs).toBeLessThan(2300);
      await until("it is told", () => board.hasRestarted);
      await ready();
      board.forgetRestart();
      expect(levels()).toEqual(Array(4).fill("low"));
      board.write(all(true));
      await until("all are on", () => levels().every((level) => level === "high"));
      board.write(all(false));
    }));

  it("reset or hang: hasRestarted, outputs low, hang told", async () => {
    for (const cause of ["reset", "hang"] as const) {
      board.write(all(true));
      await until("all are on", () => levels().every((level) => level === "high"));
      await chip[cause]();
      await until("it is told", () => board.hasRestarted, 60_000);
      await ready();
      board.forgetRestart();
      expect(levels()).toEqual(Array(4).fill("low"));
    }
    expect(board.describe(nowMs()).join()).toMatch(/hung and was restarted by its watchdog/);
  });

  it("plug pulled: disconnected; back: ready, outputs low", async () => {
    await chip.unplug();
    await until("it is disconnected", () => board.contact(2).fault === "disconnected");
    await chip.plug();
    await ready();
    expect(levels()).toEqual(Array(4).fill("low"));
  });
});

describeWith(
  [...EMULATED_BOARD_TOOLS, ...GUARD_FIRMWARE_TOOLS],
  "guard firmware that does not fit the settings",
  () => {
    const refusal = async (firmware: string, wiring: PinWiring, expected: RegExp) => {
      const chip = await startEmulatedBoard({ firmware, pulsed: PULSED });
      const settings = { kind: "firmata", port: chip.path, baud: 57_600, firmware: "guard" } as const;
      const board = await openFirmataBoard("io", settings, wiring, nowMs);
      const feeding = setInterval(() => board.feed(), 100);
      await until(`it says ${expected}`, () => expected.test(board.describe(nowMs())[0] ?? ""), 60_000);
      expect(board.isReady).toBe(false);
      clearInterval(feeding);
      await board.close();
      await chip.stop();
    };

    it("another pin, another level or standard firmware: not ready, says what differs", async () => {
      const built = buildGuardFirmware();
      const [pump, guard, heater, heatGuard] = WIRING.outputs as [
        PinWiring["outputs"][0],
        PinWiring["outputs"][0],
        PinWiring["outputs"][0],
        PinWiring["outputs"][0],
      ];
      const swapped = { ...WIRING, outputs: [{ ...pump, pin: 10 }, guard, { ...heater, pin: 8 }, heatGuard] };
      await refusal(built.hexPath, swapped, /built for top-off-pump on pin 8, the settings say pin 10/);
      const low = { ...WIRING, outputs: [{ ...pump, restHigh: true }, guard, heater, heatGuard] };
      await refusal(built.hexPath, low, /built for a top-off-pump that a high level energises/);
      await refusal(STANDARD_FIRMWARE, WIRING, /it answers, but not as the guard firmware does/);
      built.remove();
    });

    it("pump on for its 60 s: pump off and locked, heater on, board in use, says so", async () => {
      const built = buildGuardFirmware("SECOND_MS=20");
      const chip = await startEmulatedBoard({ firmware: built.hexPath, pulsed: PULSED });
      const settings = { kind: "firmata", port: chip.path, baud: 57_600, firmware: "guard" } as const;
      const board = await openFirmataBoard("io", settings, WIRING, nowMs);
      const feeding = setInterval(() => board.feed(), 100);
      await until("it is ready", () => board.isReady, 60_000);
      expect(board.pumpLocked).toBe(false);
      board.write(all(true));
      await chip.until(GUARD_PINS.pump, "high");
      await chip.until(GUARD_PINS.pump, "low", 60_000);
      await until("it is told", () => board.pumpLocked);
      const heats = () => [GUARD_PINS.heater, GUARD_PINS.heatGuard].every((pin) => chip.level(pin) === "high");
      const isKept = () => {
        if (board.isReady && !board.hasRestarted && heats()) return true;
        board.forgetRestart();
        board.write(all(true));
        return false;
      };
      await lasting("the heater is kept on and the board in use", isKept, 1500);
      expect(board.describe(nowMs()).join()).toMatch(/locked the pump: it ran 60 s within ten minutes/);
      clearInterval(feeding);
      await board.close();
      await chip.stop();
      built.remove();
    });

    it("the library alone: switch, voltage and relay work", async () => {
      const built = buildGuardFirmware();
      const chip = await startEmulatedBoard({ firmware: built.hexPath, pulsed: PULSED, closed: [3] });
      const port = new SerialPort({ path: chip.path, baudRate: 57_600 });
      const io = new firmata.Firmata(port as unknown as EventEmitter, { reportVersionTimeout: 250 });
      const five = new johnnyFive.Board({ io, repl: false, debug: false, sigint: false } as never);
      await new Promise<void>((resolve) => five.on("ready", () => resolve()));
      const seen: string[] = [];
      const options = { pin: 3, board: five, invert: true } as never;
      const button = new johnnyFive.Switch(options);
      button.on("open", () => seen.push("open"));
      button.on("close", () => seen.push("close"));
      const sensor = new johnnyFive.Sensor({ pin: "A2", board: five, freq: 50 } as never);
      await chip.volts(16, 2.5);
      await until("the voltage", () => Math.abs(Number(sensor.value) - 512) < 4);
      await chip.contact(3, "open");
      await chip.contact(3, "closed");
      await until("the switch", () => seen.length >= 2);
      for (let counter = 1; counter <= 3; counter += 1) port.write(Buffer.from(feedMessage(counter)));
      const relay = new johnnyFive.Relay({ pin: GUARD_PINS.heater, board: five } as never);
      relay.close();
      await chip.until(GUARD_PINS.heater, "high");
      relay.open();
      await chip.until(GUARD_PINS.heater, "low");
      await new Promise<void>((resolve) => port.close(() => resolve()));
      await chip.stop();
      built.remove();
    });
  },
);
