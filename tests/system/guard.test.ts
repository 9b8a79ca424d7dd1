import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { openDurableMemory } from "../../controller/record/index.ts";
import { provenMemory, toStore } from "../../controller/scan/memory.ts";
import { loadSettings } from "../../controller/settings/load.ts";
import { REASONS } from "../../shared/contract/reasons.ts";
import { EMULATED_BOARD_TOOLS, type EmulatedBoard, startEmulatedBoard } from "./rig/emulated-board.ts";
import { type BuiltFirmware, buildGuardFirmware, GUARD_FIRMWARE_TOOLS, GUARD_PINS } from "./rig/guard-firmware.ts";
import { writeThermometer } from "./rig/one-wire-tree.ts";
import { type Program, startProgram } from "./rig/program.ts";
import { describeWith } from "./rig/tools.ts";
import { pause, until } from "./rig/until.ts";
import { WORKBENCH } from "./rig/workbench.ts";

/**
 * The whole program, as a keeper starts it, on an emulated board with the guard firmware: nobody is beside the box, and
 * no other switch is declared. Waits are a hundredth of what they are above water; the firmware's two seconds are real.
 */
vi.setConfig({ testTimeout: 400_000, hookTimeout: 200_000 });
const AWHILE_MS = 60_000;
const SAFE_WITHIN_MS = 2200;
const CONTACTS = { working: 2, high: 16, reservoir: 4 } as const;
const BUTTON = 7;
const OUTPUTS = Object.values(GUARD_PINS);
const THERMOMETER = "28-0316a2795caa";

describeWith(
  [...EMULATED_BOARD_TOOLS, ...GUARD_FIRMWARE_TOOLS],
  "the controller on a board with guard firmware",
  () => {
    let folder: string;
    let firmware: BuiltFirmware;
    let board: EmulatedBoard;
    let program: Program;
    const run = () => startProgram("guarded", join(folder, "settings.json"), "--data", folder);
    const allAre = (level: "high" | "low") => OUTPUTS.every((pin) => board.level(pin) === level);

    beforeEach(() => {
      folder = mkdtempSync(join(tmpdir(), "evenbrine-guarded-"));
    });
    afterEach(async () => {
      await program.end("SIGKILL");
      await board.stop();
      firmware.remove();
      rmSync(folder, { recursive: true, force: true });
    });

    /** Low and cold water: pump and heater are on as soon as they may be. */
    async function begin(...options: readonly string[]): Promise<void> {
      firmware = buildGuardFirmware(...options);
      board = await startEmulatedBoard({
        firmware: firmware.hexPath,
        closed: Object.values(CONTACTS),
        pulsed: [GUARD_PINS.waterGuard, GUARD_PINS.heatGuard],
      });
      writeThermometer(join(folder, "w1"), THERMOMETER, 24);
      writeFileSync(join(folder, "settings.json"), JSON.stringify(settingsFor(board.path, join(folder, "w1"))));
      const memory = await openDurableMemory(join(folder, "guarded"));
      const settings = await loadSettings(join(folder, "settings.json"));
      memory.write({ ...toStore(provenMemory(settings)), sequence: 1 }, 1);
      await memory.close();
      program = await run();
      expect(program.lines.join("\n")).not.toMatch(/stay beside the box/);
    }

    /** From this moment, by the chip's own clock, until the last of the four outputs was off. */
    async function untilSafe(does: () => unknown): Promise<number> {
      const fromMs = await board.chipMs();
      await does();
      await until("every output is off", () => allAre("low"), AWHILE_MS);
      return Math.max(...OUTPUTS.map((pin) => (board.edges(pin).at(-1)?.chipMs ?? Number.NaN) - fromMs));
    }

    it("kill -9, twice: all four outputs off after 1.2 to 2.2 s, stay off; started again: on", async () => {
      await begin();
      for (const afterMs of [50, 700]) {
        await until("pump, heater and both guards are on", () => allAre("high"), AWHILE_MS);
        await pause(afterMs);
        const tookMs = await untilSafe(() => program.end("SIGKILL"));
        expect(tookMs).toBeLessThan(SAFE_WITHIN_MS);
        // While the controller lived it fed the board, so nothing fell before the two seconds were nearly over.
        expect(tookMs).toBeGreaterThan(1200);
        await pause(500);
        expect(allAre("low")).toBe(true);
        program = await run();
        await program.untilLine(/guard firmware of board io opens pump and heater after 2 s/, AWHILE_MS);
      }
      await until("pump, heater and both guards are on again", () => allAre("high"), AWHILE_MS);
    });

    it("SIGSTOP: all off within 2.2 s; SIGCONT: on again", async () => {
      await begin();
      await until("pump, heater and both guards are on", () => allAre("high"), AWHILE_MS);
      expect(await untilSafe(() => process.kill(program.pid, "SIGSTOP"))).toBeLessThan(SAFE_WITHIN_MS);
      process.kill(program.pid, "SIGCONT");
      await until("pump, heater and both guards are on again", () => allAre("high"), AWHILE_MS);
    });

    it("button pressed: hold with heat, all off; pressed again: hold over, heats", async () => {
      await begin();
      await until("pump, heater and both guards are on", () => allAre("high"), AWHILE_MS);
      const press = async () => {
        await board.contact(BUTTON, "closed");
        await pause(800);
        await board.contact(BUTTON, "open");
      };
      await press();
      await program.untilTopic("hold/active", "true");
      await program.untilTopic("hold/with-heat", "true");
      await until("every output is off", () => allAre("low"), AWHILE_MS);
      await press();
      await program.untilTopic("hold/active", "false");
      await until("it heats", () => board.level(GUARD_PINS.heater) === "high", AWHILE_MS);
    });

    it("pump on for the firmware's limit: pump locked and told, heater on, board ready", async () => {
      // Its sixty seconds last three.
      await begin("SECOND_MS=50");
      await until("pump, heater and both guards are on", () => allAre("high"), AWHILE_MS);
      await program.untilTopic("top-off/blockers", REASONS["pump-locked-by-guard"], AWHILE_MS);
      await program.untilTopic("top-off-pump/on", "false");
      await program.untilTopic("parts/connections", /has locked the pump: it ran 60 s within ten minutes/);
      await program.untilLine(/has locked the pump: it ran 60 s within ten minutes/);
      expect(board.level(GUARD_PINS.pump)).toBe("low");
      await until("it heats", () => board.level(GUARD_PINS.heater) === "high", AWHILE_MS);
      expect(board.level(GUARD_PINS.heatGuard)).toBe("high");
      expect(program.topic("scan/board")).toBe("ready");
    });
  },
);

function settingsFor(port: string, folder: string): object {
  const contact = (pin: number, closedWhen: "on" | "off") => ({ board: "io", pin, closedWhen });
  const output = (pin: number) => ({ board: "io", pin, energisedLevel: "high" });
  return {
    bench: WORKBENCH.bench,
    tank: { ...WORKBENCH.tank, id: "guarded" },
    targets: { salinity: 35, temperatureC: 25 },
    heat: { heaterW: 200, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true },
    topOff: { ...WORKBENCH.topOff, settleS: 150 },
    boards: { io: { kind: "firmata", port, firmware: "guard" }, bus: { kind: "one-wire", folder } },
    inputs: {
      "working-float": contact(CONTACTS.working, "off"),
      "high-float": contact(CONTACTS.high, "off"),
      "reservoir-float": contact(CONTACTS.reservoir, "on"),
      "tank-button": { board: "io", pin: BUTTON },
      "thermometer-1": { board: "bus", device: THERMOMETER },
    },
    outputs: {
      "top-off-pump": output(GUARD_PINS.pump),
      "water-guard": output(GUARD_PINS.waterGuard),
      "heater-1": output(GUARD_PINS.heater),
      "heat-guard": output(GUARD_PINS.heatGuard),
    },
  };
}
