import { readdir, readlink } from "node:fs/promises";
import { basename, join } from "node:path";

/** A serial port of this computer. */
export interface ListedPort {
  /** What to open now. */
  readonly path: string;
  /** What to write into the settings: a name that stays when another device is plugged in first. */
  readonly lastingPath: string;
  /** Who made what is plugged in, as far as it says so. */
  readonly maker: string | null;
}

/** Ports with something on USB, and the board's own; without the dozens that no computer has wires for. */
export async function listPorts(folder = "/dev"): Promise<readonly ListedPort[]> {
  const [lasting, makers, names] = await Promise.all([lastingNames(folder), makersByPath(), readdir(folder)]);
  const found = names.filter((name) => /^tty(USB|ACM|AMA|THS)\d+$/.test(name)).sort();
  return found.map((name) => {
    const path = join(folder, name);
    return { path, lastingPath: lasting.get(name) ?? path, maker: makers.get(path) ?? null };
  });
}

async function lastingNames(folder: string): Promise<ReadonlyMap<string, string>> {
  const names = new Map<string, string>();
  const byId = join(folder, "serial", "by-id");
  for (const name of await readdir(byId).catch(() => [])) {
    const target = await readlink(join(byId, name)).catch(() => null);
    if (target !== null) names.set(basename(target), join(byId, name));
  }
  return names;
}

async function makersByPath(): Promise<ReadonlyMap<string, string>> {
  const { SerialPort } = await import("serialport");
  try {
    const ports = await SerialPort.list();
    return new Map(ports.flatMap(({ path, manufacturer }) => (manufacturer ? [[path, manufacturer] as const] : [])));
  } catch {
    // The library asks udevadm, which small systems lack. The ports are there all the same.
    return new Map();
  }
}
