import { readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { OneWireBus as BusSettings } from "../../shared/settings/index.ts";
import type { Heard } from "./heard.ts";
import { createPause } from "./pause.ts";

/** DS18B20 thermometers, as the kernel's own driver shows them in files. */
export interface OneWireBus {
  readonly name: string;
  /** The nine bytes of a device's memory, unchecked. */
  scratchpad(device: string): Heard<readonly number[]>;
  describe(): readonly string[];
  close(): Promise<void>;
}

export function openOneWireBus(
  name: string,
  settings: BusSettings,
  devices: readonly string[],
  nowMs: () => number,
): OneWireBus {
  const started = { value: null, fault: "not-yet", atMs: nowMs(), sample: 0 } as const;
  const told = new Map<string, Heard<readonly number[]>>(devices.map((device) => [device, started]));
  const pause = createPause();
  const readings = new Map<string, Promise<Answer>>();

  /** A read that the kernel does not end stays where it is, and no second one is begun behind it. */
  const read = (device: string): Promise<Answer> => {
    const open = readings.get(device) ?? readScratchpad(join(settings.folder, device, "w1_slave"));
    readings.set(device, open);
    void open.then(() => readings.delete(device));
    return Promise.race([open, pause.for(READ_MOST_MS).then((): Answer => ({ bytes: null, fault: "no-answer" }))]);
  };
  const tell = (device: string, { bytes, fault }: Answer) => {
    const { atMs, sample } = told.get(device) as Heard<readonly number[]>;
    if (fault === null) told.set(device, { value: bytes, fault, atMs: nowMs(), sample: sample + 1 });
    else if (fault === "garbled") told.set(device, { value: null, fault, atMs: nowMs(), sample: sample + 1 });
    else told.set(device, { value: null, fault, atMs, sample });
  };
  const rounds = (async () => {
    while (!pause.isOver) {
      const beganMs = nowMs();
      await convertAll(settings.folder, pause.for);
      for (const device of devices) {
        if (pause.isOver) return;
        tell(device, await read(device));
      }
      await pause.for(Math.max(SHORTEST_PAUSE_MS, settings.pollMs - (nowMs() - beganMs)));
    }
  })();

  return {
    name,
    scratchpad(device) {
      const heard = told.get(device);
      if (heard === undefined) throw new Error(`nobody asks bus ${name} for ${device}`);
      return heard;
    },
    describe: () =>
      devices.map((device) => {
        const { fault } = told.get(device) as Heard<readonly number[]>;
        return `1-Wire bus ${name}, ${device}: ${fault === null ? "answers" : WORDS[fault as keyof typeof WORDS]}.`;
      }),
    async close() {
      pause.end();
      await rounds;
    },
  };
}

/** Every thermometer that the kernel shows, by its folder's name. */
export async function listThermometers(folder: string): Promise<readonly string[]> {
  try {
    return (await readdir(folder)).filter((name) => /^28-[0-9a-f]{12}$/.test(name)).sort();
  } catch {
    // No such folder: the kernel has no 1-Wire bus.
    return [];
  }
}

/** Bytes of one reading, for whoever looks without a bus being open. */
export const readScratchpad = async (path: string): Promise<Answer> => {
  try {
    return scratchpadIn(await readFile(path, "utf8"));
  } catch (error) {
    const isGone = (error as NodeJS.ErrnoException).code === "ENOENT";
    return { bytes: null, fault: isGone ? "disconnected" : "no-answer" };
  }
};

export type Answer =
  | { readonly bytes: readonly number[]; readonly fault: null }
  | { readonly bytes: null; readonly fault: "no-answer" | "garbled" | "disconnected" };

/** `91 01 4b 46 7f ff 0c 10 42 : crc=42 YES`; the second line repeats it and adds thousandths of a degree. */
export function scratchpadIn(text: string): Answer {
  // A bus that fails while the kernel reads gives an empty file and no error.
  if (text.trim() === "") return { bytes: null, fault: "no-answer" };
  const [, written, verdict] = text.match(/^((?:[0-9a-f]{2} ){9}): crc=[0-9a-f]{2} (YES|NO)\s*$/m) ?? [];
  if (written === undefined || verdict !== "YES") return { bytes: null, fault: "garbled" };
  const bytes = written
    .trim()
    .split(" ")
    .map((byte) => Number.parseInt(byte, 16));
  return { bytes, fault: null };
}

const SHORTEST_PAUSE_MS = 20;
/** A conversion takes 750 ms at twelve bits. */
const CONVERSION_MOST_MS = 1500;
const LOOK_EVERY_MS = 50;
const READ_MOST_MS = 3000;
const BUSY = "-1";

/** Lets all thermometers of a bus convert at the same time, where the kernel can; else each read converts by itself. */
async function convertAll(folder: string, wait: (ms: number) => Promise<void>): Promise<void> {
  const masters = await readdir(folder).catch(() => []);
  for (const master of masters.filter((name) => name.startsWith("w1_bus_master"))) {
    const file = join(folder, master, "therm_bulk_read");
    try {
      await writeFile(file, "trigger\n", { flag: "r+" });
      for (let waitedMs = 0; waitedMs < CONVERSION_MOST_MS; waitedMs += LOOK_EVERY_MS) {
        if ((await readFile(file, "utf8")).trim() !== BUSY) break;
        await wait(LOOK_EVERY_MS);
      }
    } catch {
      // An older kernel, or no right to write there: slower, and just as good.
    }
  }
}

const WORDS = {
  "not-yet": "not read yet",
  "no-answer": "the kernel reads nothing; check its wires and the pull-up resistor",
  garbled: "answers with a wrong check sum; check the length and the ends of its wire",
  disconnected: "not on the bus; is it plugged in, and is the kernel's 1-Wire driver loaded?",
};
