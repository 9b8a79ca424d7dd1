import { HOUR_MS, LARGEST_HEATER_W, SEA_WATER_J_PER_L_K } from "./limits.ts";
import type { Settings } from "./schema.ts";

/** What heaters have to be able to do in this box, and what one of them must not be able to do. */
export interface HeaterPower {
  /** All heaters together: what the coldest room takes from the water at its setpoint, less what the pump gives. */
  readonly leastW: number;
  /** Each heater: one that cannot be switched off must leave somebody the time to pull its plug. */
  readonly mostW: number;
}

/** 2.5 K an hour are two hours from the setpoint to 5 K above it. */
export const WELDED_RISE_K_PER_H = 2.5;

type Heated = Pick<Settings, "tank" | "targets" | "heat">;

/** Watts that warm the water of the whole tank by a kelvin in an hour, while the room takes nothing. */
export const wattsPerKelvinHour = (netVolumeL: number): number => (netVolumeL * SEA_WATER_J_PER_L_K) / (HOUR_MS / 1000);

export function judgeHeaterPower({ tank, targets, heat }: Heated): HeaterPower {
  const lossW = heat.lossWPerK * Math.max(0, targets.temperatureC - heat.coldestRoomC);
  return {
    leastW: Math.ceil(Math.max(0, lossW - heat.returnPumpW)),
    mostW: Math.min(LARGEST_HEATER_W, Math.floor(WELDED_RISE_K_PER_H * wattsPerKelvinHour(tank.netVolumeL))),
  };
}

/** A return pump that by itself keeps the water above its band, in the room as it usually is. */
export const mostReturnPumpW = ({ heat, alarms }: Pick<Settings, "heat" | "alarms">): number =>
  Math.max(0, Math.floor(heat.lossWPerK * (alarms.temperatureBandC[1] - heat.roomC)));

export const heaterPowerOf = ({ heaterW, secondHeater }: Settings["heat"]): number =>
  heaterW + (secondHeater?.heaterW ?? 0);
