import { readFile } from "node:fs/promises";
import { checkSettings, type Settings, type SettingsFault } from "../../shared/settings/index.ts";

/** A settings file that cannot be used. Nothing of it was applied. */
export class SettingsRefused extends Error {
  override readonly name = "SettingsRefused";
  readonly lines: readonly string[];

  constructor(file: string, lines: readonly string[]) {
    super(`${file} cannot be used`);
    this.lines = lines;
  }
}

/** Reads and checks a settings file. Rejects with `SettingsRefused`, which says what to mend. */
export async function loadSettings(file: string): Promise<Settings> {
  const { settings, faults } = checkSettings(await readJson(file));
  if (settings === null) throw new SettingsRefused(file, faults.map(inWords));
  return settings;
}

async function readJson(file: string): Promise<unknown> {
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (error) {
    const missing = (error as NodeJS.ErrnoException).code === "ENOENT";
    throw new SettingsRefused(file, [
      missing ? "There is no such file." : `It cannot be read: ${(error as Error).message}`,
    ]);
  }
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new SettingsRefused(file, [`It is no JSON: ${(error as Error).message}`]);
  }
}

const inWords = ({ path, value, expected }: SettingsFault): string => {
  const where = path === "" ? "The file as a whole" : path;
  const stands = value === undefined ? "nothing stands there" : `${JSON.stringify(value)} stands there`;
  return `${where}: ${stands}; expected ${expected}.`;
};
