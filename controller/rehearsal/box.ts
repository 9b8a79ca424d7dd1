import type { Settings } from "../../shared/settings/index.ts";
import { createTank, type Tank } from "./plant/tank.ts";
import type { Scenario } from "./scenario.ts";

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
