import { checkSettings, type Settings } from "../../shared/settings/index.ts";

/** The settings with a scenario's overrides laid over them, not yet checked. Lists are replaced, not joined. */
export const mergeSettings = (base: Settings, overrides: object): unknown => merge(base, overrides);

/** The same for overrides that were checked before: anything wrong with them now is an error of ours. */
export function overriddenSettings(base: Settings, overrides: object): Settings {
  const merged = checkSettings(mergeSettings(base, overrides));
  if (merged.settings === null) throw new Error(`settings ${merged.faults[0]?.path}: ${merged.faults[0]?.expected}`);
  return merged.settings;
}

const isPlain = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

function merge(base: unknown, over: unknown): unknown {
  if (!isPlain(base) || !isPlain(over)) return over;
  const keys = new Set([...Object.keys(base), ...Object.keys(over)]);
  return Object.fromEntries([...keys].map((key) => [key, key in over ? merge(base[key], over[key]) : base[key]]));
}
