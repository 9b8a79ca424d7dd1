import { readFile } from "node:fs/promises";
import { checkUnfinished, describeSetting, type Settings, type SettingsFault } from "../../shared/settings/index.ts";

/** A settings file that cannot be used. Nothing of it was applied. */
export class SettingsRefused extends Error {
  override readonly name = "SettingsRefused";
  readonly lines: readonly string[];
  /** Nothing is wrong with it: only what has to be measured at the box is not there yet. */
  readonly isUnfinished: boolean;

  constructor(file: string, lines: readonly string[], isUnfinished = false) {
    super(
      isUnfinished
        ? `${file} is not finished: these are still to be measured at your own box`
        : `${file} cannot be used`,
    );
    this.lines = lines;
    this.isUnfinished = isUnfinished;
  }
}

/** Reads and checks a settings file. Rejects with `SettingsRefused`, which says what to mend. */
export async function loadSettings(file: string): Promise<Settings> {
  const { settings, toMeasure } = await loadForWiring(file);
  if (toMeasure.length > 0) throw new SettingsRefused(file, toMeasure.map(toMeasureWords), true);
  return settings;
}

/** The same for a file that leaves measures for later: wires need none of them. Nothing may be run by it. */
export async function loadForWiring(
  file: string,
): Promise<{ readonly settings: Settings; readonly toMeasure: readonly string[] }> {
  const { settings, toMeasure, faults } = checkUnfinished(await readJson(file));
  if (settings === null) throw new SettingsRefused(file, [...faults.map(inWords), ...toMeasure.map(toMeasureWords)]);
  return { settings, toMeasure };
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

const toMeasureWords = (path: string): string => `${path}: ${describeSetting(path)}, measured at your own box.`;
