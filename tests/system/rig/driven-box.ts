import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openDurableMemory } from "../../../controller/record/index.ts";
import { provenMemory, toStore } from "../../../controller/scan/memory.ts";
import { loadSettings } from "../../../controller/settings/load.ts";
import { type EmulatedBoard, startEmulatedBoard } from "./emulated-board.ts";
import { writeThermometer } from "./one-wire-tree.ts";
import { until } from "./until.ts";
import { WORKBENCH } from "./workbench.ts";

const DRIVEN_PINS = { pump: 8, waterGuard: 9, heater: 10, heatGuard: 11 } as const;
const CONTACTS = { working: 2, high: 16, reservoir: 4 } as const;
const THERMOMETER = "28-0316a2795caa";
const OUTPUTS = Object.values(DRIVEN_PINS);

/**
 * An emulated board with standard firmware, which leaves its outputs as they are when nobody speaks to it any more, in a
 * box that is low and cold: whoever runs on these words has pump and heater on as soon as they may be.
 */
export interface DrivenBox {
  readonly board: EmulatedBoard;
  readonly folder: string;
  readonly pins: typeof DRIVEN_PINS;
  /** Closed: the water is low. */
  readonly floatPin: number;
  /** After `evenbrine`. */
  readonly words: readonly string[];
  untilDriven(): Promise<void>;
  untilOff(withinMs?: number): Promise<void>;
  /** The controller sees the float rise and fall, and acts on it: it looks after its tank. */
  untilLookedAfter(): Promise<void>;
  close(): Promise<void>;
}

const AWHILE_MS = 90_000;

export async function prepareDrivenBox(): Promise<DrivenBox> {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-driven-"));
  const board = await startEmulatedBoard({ closed: Object.values(CONTACTS) });
  writeThermometer(join(folder, "w1"), THERMOMETER, 24);
  const file = join(folder, "settings.json");
  writeFileSync(file, JSON.stringify(settingsFor(board.path, join(folder, "w1"))));
  const memory = await openDurableMemory(join(folder, "driven"));
  memory.write({ ...toStore(provenMemory(await loadSettings(file))), sequence: 1 }, 1);
  await memory.close();
  const allAre = (level: "high" | "low") => OUTPUTS.every((pin) => board.level(pin) === level);
  const untilDriven = () => until("pump, heater and both guards are on", () => allAre("high"), AWHILE_MS);
  return {
    board,
    folder,
    pins: DRIVEN_PINS,
    floatPin: CONTACTS.working,
    words: ["run", file, "--data", folder, "--port", "0", "--mqtt-port", "0"],
    untilDriven,
    untilOff: (withinMs = AWHILE_MS) => until("every output is off", () => allAre("low"), withinMs),
    async untilLookedAfter() {
      await board.contact(CONTACTS.working, "open");
      await board.until(DRIVEN_PINS.pump, "low", AWHILE_MS);
      await board.contact(CONTACTS.working, "closed");
      await untilDriven();
    },
    async close() {
      await board.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function settingsFor(port: string, folder: string): object {
  const contact = (pin: number, closedWhen: "on" | "off") => ({ board: "io", pin, closedWhen });
  const output = (pin: number) => ({ board: "io", pin, energisedLevel: "high" });
  return {
    attendedMinutes: 240,
    bench: WORKBENCH.bench,
    tank: { ...WORKBENCH.tank, id: "driven" },
    targets: { salinity: 35, temperatureC: 25 },
    heat: { heaterW: 200, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: true },
    topOff: WORKBENCH.topOff,
    boards: { io: { kind: "firmata", port }, bus: { kind: "one-wire", folder } },
    inputs: {
      "working-float": contact(CONTACTS.working, "off"),
      "high-float": contact(CONTACTS.high, "off"),
      "reservoir-float": contact(CONTACTS.reservoir, "on"),
      "thermometer-1": { board: "bus", device: THERMOMETER },
    },
    outputs: {
      "top-off-pump": output(DRIVEN_PINS.pump),
      "water-guard": output(DRIVEN_PINS.waterGuard),
      "heater-1": output(DRIVEN_PINS.heater),
      "heat-guard": output(DRIVEN_PINS.heatGuard),
    },
  };
}
