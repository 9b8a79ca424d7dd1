import { afterAll, beforeAll, expect, it, vi } from "vitest";
import { openFirmataBoard, type PinBoard, type PinWiring } from "../../controller/boards/firmata.ts";
import { CONTACT_STALE_MS } from "../../shared/settings/limits.ts";
import { EMULATED_BOARD_TOOLS, type EmulatedBoard, startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { describeWith } from "../system/rig/tools.ts";
import { pause, until } from "../system/rig/until.ts";
import { undisturbed } from "./undisturbed.ts";

/** On a machine that has much else to do; what is broken fails all the same, only later. */
vi.setConfig({ testTimeout: 300_000, hookTimeout: 200_000 });

/** Contacts on pins 2, 3 and 8, relays on 4 and 5 beside the contacts, 10 active low, 15 on an analog pin, a voltage on 16. */
const WIRING = {
  contacts: [2, 3, 8],
  analogs: [16],
  outputs: [
    { part: "top-off-pump", pin: 4, restHigh: false },
    { part: "water-guard", pin: 5, restHigh: false },
    { part: "heater-1", pin: 10, restHigh: true },
    { part: "heat-guard", pin: 15, restHigh: false },
  ],
} satisfies PinWiring;
const nowMs = () => performance.now();
const high = (board: PinBoard, pin: number) => board.contact(pin).value;

describeWith(EMULATED_BOARD_TOOLS, "a board with the standard firmware on an emulated ATmega328P", () => {
  let chip: EmulatedBoard;
  let board: PinBoard;

  beforeAll(async () => {
    chip = await startEmulatedBoard({ closed: [2] });
    board = await openFirmataBoard(
      "io",
      { kind: "firmata", port: chip.path, baud: 57_600, firmware: "standard" },
      WIRING,
      nowMs,
    );
    await until("the board is ready", () => board.isReady && !board.isSilent(nowMs()), 60_000);
  });

  afterAll(async () => {
    await board.close();
    await chip.stop();
  });

  it("opened: outputs at rest, contacts pulled up, ready with the firmware's name", () => {
    expect(WIRING.contacts.map((pin) => chip.level(pin))).toEqual(["pull-up", "pull-up", "pull-up"]);
    expect(WIRING.outputs.map(({ pin }) => chip.level(pin))).toEqual(["low", "low", "high", "low"]);
    expect(board.describe(nowMs())[0]).toMatch(/ready \(StandardFirmata\.ino 2\.3\)/);
  });

  it("contact closed: low; open: high; all three flipped: seen", async () => {
    expect([2, 3, 8].map((pin) => high(board, pin))).toEqual([false, true, true]);
    await chip.contact(3, "closed");
    await chip.contact(8, "closed");
    await chip.contact(2, "open");
    await until("all have flipped", () => high(board, 2) === true && !high(board, 3) && !high(board, 8));
    await chip.contact(3, "open");
    await until("pin 3 opened", () => high(board, 3) === true);
  });

  it("contacts that stand still: eight fresh samples of each", async () => {
    for (const [pin, state] of [[2, "closed"] as const, [8, "closed"] as const]) await chip.contact(pin, state);
    await pause(100);
    const before = new Map(WIRING.contacts.map((pin) => [pin, board.contact(pin).sample]));
    const counted = () => WIRING.contacts.map((pin) => board.contact(pin).sample - (before.get(pin) ?? 0));
    const isFresh = (pin: number) => nowMs() - board.contact(pin).atMs < CONTACT_STALE_MS;
    await until("eight fresh samples of each", () => Math.min(...counted()) >= 8 && WIRING.contacts.every(isFresh));
  });

  it("1.25 of 5 V: a quarter, eight more samples while it stands; 5 V: 1", async () => {
    await chip.volts(16, 1.25);
    await until("a quarter", () => Math.abs((board.analog(16).value ?? 0) - 0.25) < 0.005);
    const { sample } = board.analog(16);
    await until("more samples", () => board.analog(16).sample >= sample + 8);
    await chip.volts(16, 5);
    await until("all of it", () => board.analog(16).value === 1);
  });

  it("one output switched ten times: no edge on any other pin, closed contact beside it still read", () =>
    undisturbed(board, async () => {
      await chip.contact(2, "closed");
      await chip.contact(3, "closed");
      board.write([{ pin: 5, high: true }]);
      await chip.until(5, "high");
      const others = [2, 3, 8, 5, 10, 15];
      const edges = () => others.map((pin) => chip.edges(pin).length);
      const before = edges();
      for (let round = 0; round < 10; round += 1) {
        board.write([{ pin: 4, high: round % 2 === 0 }]);
        await pause(60);
      }
      expect(edges()).toEqual(before);
      await chip.contact(2, "open");
      await until("the contact that was closed while its port was written reads open", () => high(board, 2) === true);
      board.write([{ pin: 5, high: false }]);
      await chip.until(5, "low");
    }));

  it("two outputs of a port off: both within 20 ms of each other", () =>
    undisturbed(board, async () => {
      const both = (level: boolean) => board.write([4, 5].map((pin) => ({ pin, high: level })));
      both(true);
      await chip.until(5, "high");
      both(false);
      await chip.until(5, "low");
      const [four, five] = [chip.edges(4).at(-1), chip.edges(5).at(-1)];
      expect(four?.level).toBe("low");
      expect(Math.abs((four?.chipMs ?? 0) - (five?.chipMs ?? 1e9))).toBeLessThan(20);
    }));

  it("board mute: silent, outputs at rest, contacts no-answer; speaks again: ready, no restart, output still off", () =>
    undisturbed(board, async () => {
      board.write([{ pin: 4, high: true }]);
      await chip.until(4, "high");
      await chip.mute(true);
      await until("it is called silent", () => board.isSilent(nowMs()));
      await chip.until(4, "low");
      expect(board.contact(2)).toMatchObject({ value: null, fault: "no-answer" });
      await chip.mute(false);
      await until("it is ready again", () => board.isReady && !board.isSilent(nowMs()));
      expect(board.hasRestarted).toBe(false);
      expect(chip.level(4)).toBe("low");
    }));

  it("board reset: hasRestarted until forgotten, outputs at rest for 500 ms and more", () =>
    undisturbed(board, async () => {
      board.write([
        { pin: 4, high: true },
        { pin: 10, high: false },
      ]);
      await chip.until(4, "high");
      await chip.reset();
      await until("the restart is noticed", () => board.hasRestarted);
      await until("it is ready again", () => board.isReady && !board.isSilent(nowMs()));
      const since = chip.edges(4).length;
      expect(WIRING.outputs.map(({ pin }) => chip.level(pin))).toEqual(["low", "low", "high", "low"]);
      await pause(500);
      expect(chip.edges(4)).toHaveLength(since);
      board.forgetRestart();
      expect(board.hasRestarted).toBe(false);
      await pause(500);
      expect(board.hasRestarted).toBe(false);
    }));

  it("version that nobody asked for: outputs at rest, hasRestarted", () =>
    undisturbed(board, async () => {
      board.write([{ pin: 4, high: true }]);
      await chip.until(4, "high");
      // Longer than an answer to our own asking may take.
      await pause(1200);
      await chip.inject([0xf9, 2, 3]);
      await chip.until(4, "low");
      await until("it is ready again", () => board.isReady && !board.isSilent(nowMs()));
      expect(board.hasRestarted).toBe(true);
      board.forgetRestart();
    }));

  it("pin states answered as of a board that forgot them: hasRestarted", () =>
    undisturbed(board, async () => {
      // What it asks is answered as by a board whose contacts have become outputs and whose outputs inputs.
      const forgotten = [
        ...WIRING.contacts.map((pin) => [0xf0, 0x6e, pin, 1, 0, 0xf7]),
        ...WIRING.outputs.map(({ pin }) => [0xf0, 0x6e, pin, 0, 0, 0xf7]),
      ];
      await chip.mute(true);
      // Before so many questions are open that the board is called mute.
      for (let round = 0; round < 6 && !board.hasRestarted; round += 1) {
        await chip.inject(forgotten.flat());
        await pause(60);
      }
      const noticed = board.hasRestarted;
      await chip.mute(false);
      expect(noticed).toBe(true);
      await until("it is ready again", () => board.isReady && !board.isSilent(nowMs()));
      board.forgetRestart();
    }));

  it("noise naming pins that do not exist: samples on, ready", () =>
    undisturbed(board, async () => {
      await chip.inject([0xf0, 0x6e, 0x7f, 1, 0, 0xf7, 0xe5, 0xf0, 0x6a, ...Array(40).fill(3), 0xf7, 0x00, 0xff, 0x95]);
      await until(
        "it samples again",
        (
          (before) => () =>
            board.contact(2).sample > before + 3
        )(board.contact(2).sample),
      );
      await until("it says so", () => /ready/.test(board.describe(nowMs())[0] ?? ""));
    }));

  it("plug pulled: disconnected, tries every second; back: ready, outputs at rest", () =>
    undisturbed(board, async () => {
      board.write([{ pin: 4, high: true }]);
      await chip.until(4, "high");
      await chip.unplug();
      await until("it is disconnected", () => board.contact(2).fault === "disconnected");
      expect(board.isReady).toBe(false);
      expect(board.isSilent(nowMs())).toBe(true);
      expect(board.describe(nowMs())[0]).toMatch(/trying again every second/);
      await until("it looks for the port", () => /no such port/.test(board.describe(nowMs())[0] ?? ""));
      await chip.plug();
      await until("it is ready again", () => board.isReady && !board.isSilent(nowMs()), 60_000);
      expect(board.contact(2).fault).toBeNull();
      expect(WIRING.outputs.map(({ pin }) => chip.level(pin))).toEqual(["low", "low", "high", "low"]);
      expect(chip.edges(4).at(-1)?.level).toBe("low");
    }));

  it("closed with all outputs on: all at rest within 2 s", async () => {
    board.write(WIRING.outputs.map(({ pin, restHigh }) => ({ pin, high: !restHigh })));
    await chip.until(15, "high");
    await board.close();
    // What was on its way when the port was let go is there by now; nothing could be sent any more.
    const AT_REST = "low,low,high,low";
    await until("all rest", () => WIRING.outputs.map(({ pin }) => chip.level(pin)).join() === AT_REST, 2_000);
  });
});

describeWith(EMULATED_BOARD_TOOLS, "a board that is not what the settings say", () => {
  it("heater on pin 40, which it lacks: says so, not ready, silent", async () => {
    const chip = await startEmulatedBoard();
    const wiring: PinWiring = {
      contacts: [2],
      analogs: [],
      outputs: [{ part: "heater-1", pin: 40, restHigh: false }],
    };
    const board = await openFirmataBoard(
      "io",
      { kind: "firmata", port: chip.path, baud: 57_600, firmware: "standard" },
      wiring,
      nowMs,
    );
    await until("it says so", () => board.describe(nowMs())[0]?.includes("no output on pin 40") === true, 60_000);
    expect(board.isReady).toBe(false);
    expect(board.isSilent(nowMs())).toBe(true);
    await board.close();
    await chip.stop();
  });

  it("nothing wired: ready", async () => {
    const chip = await startEmulatedBoard();
    const nothing = { contacts: [], analogs: [], outputs: [] };
    const board = await openFirmataBoard(
      "io",
      { kind: "firmata", port: chip.path, baud: 57_600, firmware: "standard" },
      nothing,
      nowMs,
    );
    await until("it is ready", () => board.isReady, 60_000);
    await board.close();
    await chip.stop();
  });

  it("no such port: disconnected, says so, tries every second; closes at once", async () => {
    const settings = { kind: "firmata", port: "/dev/no-such-port", baud: 57_600, firmware: "standard" } as const;
    const board = await openFirmataBoard("io", settings, WIRING, nowMs);
    await pause(50);
    expect(board.contact(2)).toMatchObject({ value: null, fault: "disconnected", sample: 0 });
    expect(board.describe(nowMs())[0]).toBe(
      "Board io on /dev/no-such-port: there is no such port: is it plugged in?; trying again every second.",
    );
    await board.close();
  });
});
