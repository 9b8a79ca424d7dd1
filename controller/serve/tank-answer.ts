import { CAUTIONS, HTTP_PATHS, type TankAnswer } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { ALARM_WORDS } from "../alarms/index.ts";

/** What a page must know of the tank before it can be drawn, by the settings as calibrations have changed them. */
export function tankAnswer(
  { tank, units, targets, alarms, topOff }: Settings,
  water: TankAnswer["water"],
  speed: number,
): TankAnswer {
  const around = (width: number): [number, number] => [targets.salinity - width, targets.salinity + width];
  return {
    version: 1,
    tank: tank.id,
    name: tank.name,
    units,
    water,
    speed,
    mqttPath: HTTP_PATHS.mqtt,
    targets: {
      temperatureC: targets.temperatureC,
      salinity: targets.salinity,
      temperatureBandC: alarms.temperatureBandC,
      temperatureLimitsC: alarms.temperatureLimitsC,
      salinityBand: around(alarms.salinityWithin),
      salinityLimits: around(alarms.salinityLimit),
    },
    geometry: {
      netVolumeL: tank.netVolumeL,
      highFloatMm: tank.highFloatMm,
      lowFloatMm: tank.lowFloatMm,
      reservoirL: topOff.reservoirL,
    },
    alarms: ALARM_WORDS,
    cautions: CAUTIONS,
  };
}
