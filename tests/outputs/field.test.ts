import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { openField } from "../../controller/outputs/field.ts";
import type { Field } from "../../shared/contract/field.ts";
import { type Commands, EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { INPUT_PARTS, OUTPUT_PARTS } from "../../shared/contract/parts.ts";
import { OUTPUT_EXPIRY_MS, type Settings, settingsSchema } from "../../shared/settings/index.ts";
import { EMULATED_BOARD_TOOLS, type EmulatedBoard, startEmulatedBoard } from "../system/rig/emulated-board.ts";
import { floatWords, MODBUS_SLAVE_TOOLS, type ModbusSlaves, startModbusSlaves } from "../system/rig/modbus-slave.ts";
import { describeWith } from "../system/rig/tools.ts";
import { pause, until } from "../system/rig/until.ts";

/** On a machine that has much else to do; what is broken fails all the same, only later. */
vi.setConfig({ testTimeout: 300_000, hookTimeout: 200_000 });
const AWHILE_MS = 60_000;
/** Outputs are off this long after the last healthy scan at the latest. */
const SURELY_OFF_MS = 2200;

const PIN = { pump: 4, waterGuard: 5, heater: 10, heatGuard: 15, working: 2, high: 3, floor: 8 };
const pumping: Commands = { ...EVERYTHING_OFF, "top-off-pump": true, "water-guard": true };
const heating: Commands = { ...EVERYTHING_OFF, "heater-1": true, "heat-guard": true };
const nowMs = () => performance.now();

const settingsFor = (boardPort: string, linePort: string): Settings =>
  settingsSchema.parse({
    attendedMinutes: 60,
    boards: {
      io: { kind: "firmata", port: boardPort },
      probes: { kind: "modbus", port: linePort, pollMs: 200, timeoutMs: 100 },
    },
    inputs: {
      "working-float": { board: "io", pin: PIN.working, closedWhen: "on" },
      "high-float": { board: "io", pin: PIN.high, closedWhen: "off" },
      "floor-sensor": { board: "io", pin: PIN.floor, closedWhen: "off" },
      "thermometer-1": { board: "probes", slave: 1, temperatureC: { address: 12, type: "float32" } },
      "conductivity-probe": {
        board: "probes",
        slave: 1,
        conductivityMsPerCm: { address: 10, type: "float32" },
        temperatureC: { address: 12, type: "float32" },
        compensation: { percentPerK: 2, referenceC: 25 },
      },
    },
    outputs: {
      "top-off-pump": { board: "io", pin: PIN.pump, energisedLevel: "high" },
      "water-guard": { board: "io", pin: PIN.waterGuard, energisedLevel: "high" },
      "heater-1": { board: "io", pin: PIN.heater, energisedLevel: "low" },
      "heat-guard": { board: "io", pin: PIN.heatGuard, energisedLevel: "high" },
    },
  });

describeWith(
  [...EMULATED_BOARD_TOOLS, ...MODBUS_SLAVE_TOOLS],
  "the parts as the scan sees them, on an emulated board and foreign Modbus slaves",
  () => {
    let chip: EmulatedBoard;
    let slaves: ModbusSlaves;
    let field: Field;
    const look = () => field.look(nowMs());
    const relays = () => [PIN.pump, PIN.waterGuard, PIN.heater, PIN.heatGuard].map((pin) => chip.level(pin));
    const AT_REST = ["low", "low", "high", "low"];
    /** Scans at 50 ms with the same wish until something holds; answers with what the looks said of the board. */
    const scanUntil = async (wish: Commands, what: string, holds: () => boolean, withinMs = AWHILE_MS) => {
      const said: string[] = [];
      const endMs = nowMs() + withinMs;
      while (!holds()) {
        if (nowMs() > endMs) throw new Error(`not within ${withinMs} ms: ${what}`);
        said.push(look().board);
        field.command(wish, nowMs());
        await pause(50);
      }
      return said;
    };

    beforeAll(async () => {
      chip = await startEmulatedBoard({ closed: [PIN.high, PIN.floor] });
      slaves = await startModbusSlaves(1);
      await slaves.set(1, "input", 10, floatWords(50));
      await slaves.set(1, "input", 12, floatWords(28));
      field = await openField(settingsFor(chip.path, slaves.path), nowMs);
      expect(look().board).toBe("silent");
      await until("the board is ready", () => look().board === "ready", AWHILE_MS);
      await until("the probe answers", () => look().readings["conductivity-probe"]?.fault === null, AWHILE_MS);
    });

    afterAll(async () => {
      await field.close();
      await chip.stop();
      await slaves.stop();
    });

    it("five inputs wired: each a value, compensation undone to 53 mS/cm; all others null", () => {
      const { readings, seen } = look();
      const wired = INPUT_PARTS.filter((part) => readings[part] !== null);
      expect(wired).toEqual(["working-float", "high-float", "floor-sensor", "thermometer-1", "conductivity-probe"]);
      expect(readings["working-float"]?.value).toBe(false);
      expect(readings["high-float"]?.value).toBe(false);
      expect(readings["thermometer-1"]?.value).toBe(28);
      // 50 mS/cm said at 25 °C with 2 %/K, measured at 28 °C: 50 · 1.06 = 53.
      expect(readings["conductivity-probe"]?.value?.conductivityMsPerCm).toBeCloseTo(53, 4);
      expect(Object.values(seen)).toEqual(OUTPUT_PARTS.map(() => null));
    });

    it("wire of a float that is closed when dry broken: wet; whole: dry", async () => {
      await chip.contact(PIN.high, "open");
      await until("wet", () => look().readings["high-float"]?.value === true);
      await chip.contact(PIN.high, "closed");
      await until("dry", () => look().readings["high-float"]?.value === false);
    });

    it("pump on: guard high before relay; off: both low", async () => {
      field.command(pumping, nowMs());
      await chip.until(PIN.pump, "high");
      const [relay, guard] = [chip.edges(PIN.pump).at(-1), chip.edges(PIN.waterGuard).at(-1)];
      expect(guard?.level).toBe("high");
      expect((relay?.atNs ?? 0n) > (guard?.atNs ?? 0n)).toBe(true);
      field.command(EVERYTHING_OFF, nowMs());
      await chip.until(PIN.pump, "low");
      await chip.until(PIN.waterGuard, "low");
    });

    it("heater energised by low: low when on, high when off", async () => {
      field.command(heating, nowMs());
      await chip.until(PIN.heatGuard, "high");
      await chip.until(PIN.heater, "low");
      field.command(EVERYTHING_OFF, nowMs());
      await chip.until(PIN.heater, "high");
    });

    it("not renewed: all at rest after the expiry, within 2.2 s", async () => {
      field.command({ ...pumping, "heater-1": true, "heat-guard": true }, nowMs());
      const renewedMs = nowMs();
      await chip.until(PIN.pump, "high");
      await until("all fell", () => relays().join() === AT_REST.join());
      expect(nowMs() - renewedMs).toBeGreaterThan(OUTPUT_EXPIRY_MS - 50);
      expect(nowMs() - renewedMs).toBeLessThan(SURELY_OFF_MS);
    });

    it("renewed for 2 s: no edge", { retry: 3 }, async () => {
      const edges = () => chip.edges(PIN.pump).length;
      field.command(pumping, nowMs());
      await chip.until(PIN.pump, "high");
      const before = edges();
      await scanUntil(
        pumping,
        "two seconds",
        (
          (start) => () =>
            nowMs() - start > 2000
        )(nowMs()),
      );
      expect(edges()).toBe(before);
    });

    it("board reset: pump off, restarted told once, on again only after that", async () => {
      field.command(pumping, nowMs());
      await chip.until(PIN.pump, "high");
      await chip.reset();
      const commandFor = async (scans: number) => {
        for (let scan = 0; scan < scans; scan += 1) {
          field.command(pumping, nowMs());
          await pause(50);
        }
      };
      while (chip.level(PIN.pump) !== "low") await commandFor(1);
      // What was on its way when the board was reset may still switch it, until the pins are set again.
      await commandFor(20);
      const edges = chip.edges(PIN.pump).length;
      await commandFor(20);
      expect(chip.edges(PIN.pump)).toHaveLength(edges);
      expect(chip.level(PIN.pump)).toBe("low");
      expect(look().board).toBe("restarted");
      const said = await scanUntil(pumping, "the pump runs again", () => chip.level(PIN.pump) === "high");
      await pause(500);
      expect([...said, look().board]).not.toContain("restarted");
      expect(look().board).toBe("ready");
    });

    it("plug pulled: silent, floats disconnected, thermometer still read; back: ready, outputs at rest, pump on when told", async () => {
      field.command(pumping, nowMs());
      await chip.until(PIN.pump, "high");
      await chip.unplug();
      await scanUntil(pumping, "silent", () => look().board === "silent");
      expect(look().readings["working-float"]).toMatchObject({ value: null, fault: "disconnected" });
      expect(look().readings["thermometer-1"]?.fault).toBeNull();
      await chip.plug();
      await scanUntil(EVERYTHING_OFF, "ready", () => look().board === "ready");
      expect(relays()).toEqual(AT_REST);
      field.command(pumping, nowMs());
      await chip.until(PIN.pump, "high");
    });

    it("line unplugged: its probes disconnected, board ready; back: read", async () => {
      await slaves.unplug();
      await until("gone", () => look().readings["conductivity-probe"]?.fault === "disconnected");
      expect(look().readings["thermometer-1"]?.fault).toBe("disconnected");
      expect(look().board).toBe("ready");
      await slaves.plug();
      await until("back", () => look().readings["conductivity-probe"]?.fault === null);
    });

    it("NaN in the registers: not-a-number; 50: read", async () => {
      await slaves.set(1, "input", 10, floatWords(Number.NaN));
      await until("NaN", () => look().readings["conductivity-probe"]?.fault === "not-a-number");
      await slaves.set(1, "input", 10, floatWords(50));
      await until("a number", () => look().readings["conductivity-probe"]?.fault === null);
    });

    it("closed with pump and heater on: all at rest", async () => {
      await scanUntil({ ...pumping, ...heating, "top-off-pump": true }, "on", () => chip.level(PIN.heater) === "low");
      await field.close();
      await pause(20);
      expect(relays()).toEqual(AT_REST);
    });

    it("attended for 60 min, 61 later: all off, unattended, still read, told; stays off", async () => {
      let laterMs = 0;
      field = await openField(settingsFor(chip.path, slaves.path), () => nowMs() + laterMs);
      const lookThen = () => field.look(nowMs() + laterMs);
      await until("ready", () => lookThen().board === "ready");
      field.command(heating, nowMs());
      await chip.until(PIN.heater, "low");
      laterMs = 61 * 60_000;
      field.command(heating, nowMs() + laterMs);
      await chip.until(PIN.heater, "high");
      await until("unattended", () => lookThen().board === "unattended");
      expect(lookThen().readings["working-float"]).toMatchObject({ value: false, fault: null });
      expect(field.describe().at(-1)).toMatch(/All outputs are off and stay off/);
      field.command(heating, nowMs() + laterMs);
      await pause(200);
      expect(relays()).toEqual(AT_REST);
      await chip.unplug();
      await until("silent", () => lookThen().board === "silent");
    });
  },
);

describe("boards that are not plugged in", () => {
  it("no such ports: silent, disconnected, told; opened and closed within 3 s", async () => {
    const began = nowMs();
    const field = await openField(settingsFor("/dev/no-such-board", "/dev/no-such-line"), nowMs);
    field.command(pumping, nowMs());
    await pause(50);
    const { readings, board } = field.look(nowMs());
    expect(board).toBe("silent");
    expect(readings["working-float"]?.fault).toBe("disconnected");
    expect(readings["conductivity-probe"]?.fault).toBe("disconnected");
    expect(field.describe().join("\n")).toMatch(
      /no-such-board: there is no such port[\s\S]*no-such-line: there is no such port/,
    );
    await field.close();
    expect(nowMs() - began).toBeLessThan(3000);
  });

  it("no board in the settings: ready, nothing to tell", async () => {
    const field = await openField(settingsSchema.parse({}), nowMs);
    expect(field.look(nowMs()).board).toBe("ready");
    expect(field.describe()).toEqual([]);
    await field.close();
  });
});

describe("what is told of a computer that dies", () => {
  const withGuard = (independentGuard: string | null) => ({
    ...settingsFor("/dev/no-such-board", "/dev/no-such-line"),
    independentGuard,
  });

  it("standard firmware, no guard: outputs stay as they are", async () => {
    const field = await openField(withGuard(null), nowMs);
    expect(field.describe().join()).toMatch(/outputs stay as they are when this computer dies/);
    await field.close();
  });

  it("independent guard in the settings: its words", async () => {
    const field = await openField(withGuard("A timer relay cuts pump and heater after 2 s."), nowMs);
    expect(field.describe().at(-1)).toBe(
      "When this computer dies, this switches off: A timer relay cuts pump and heater after 2 s.",
    );
    await field.close();
  });
});
