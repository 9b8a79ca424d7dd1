import type { Settings } from "../../shared/settings/index.ts";
import { overriddenSettings } from "./merge-settings.ts";
import { createTank, type Tank } from "./plant/tank.ts";
import type { Scenario } from "./scenario.ts";

/** The settings that a scenario runs with: those of the tank with its own laid over them. */
export const settingsOf = (scenario: Scenario, base: Settings): Settings => overriddenSettings(base, scenario.settings);

/** The tank as a scenario begins with it. */
export const tankOf = ({ room, start }: Scenario, settings: Settings, seed: number): Tank =>
  createTank(seed, settings, {
    room,
    start: {
      temperatureC: start.temperatureC ?? settings.targets.temperatureC,
      salinity: start.salinity ?? settings.targets.salinity,
      reservoirL: start.reservoirL ?? settings.topOff.reservoirL,
    },
  });
