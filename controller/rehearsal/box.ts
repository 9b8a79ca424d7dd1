import type { Settings } from "../../shared/settings/index.ts";
import { overriddenSettings } from "./merge-settings.ts";
import { createTank, type Tank } from "./plant/tank.ts";
import type { Scenario } from "./scenario.ts";

/** The settings that a scenario runs with: those of the tank with its own laid over them. */
export function settingsOf({ settings: { without: _, ...overrides } }: Scenario, base: Settings): Settings {
  return overriddenSettings(base, overrides);
}

/** The tank as a scenario begins with it. */
export const tankOf = ({ room, start, settings: own }: Scenario, settings: Settings, seed: number): Tank =>
  createTank(seed, settings, {
    room,
    without: own.without,
    start: {
      temperatureC: start.temperatureC ?? settings.targets.temperatureC,
      salinity: start.salinity ?? settings.targets.salinity,
      reservoirL: start.reservoirL ?? settings.topOff.reservoirL,
    },
  });
