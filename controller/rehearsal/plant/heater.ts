/** The heater with the thermostat it brings along. */
export interface Heater {
  readonly watts: number;
  readonly opensAtC: number;
  thermostatClosed: boolean;
  thermostatStuck: boolean;
  dead: boolean;
  /** Out of the water by a fault, whatever the level. */
  uncovered: boolean;
  /** Level in the last chamber below which it stands in the air; null = it stands where the level cannot fall. */
  readonly coveredToMm: number | null;
}

/** 1–1.5 K above the setpoint, so that it stays out of the way until it is needed. */
const ABOVE_SETPOINT_K = 1.25;
const HYSTERESIS_K = 0.5;

export const createHeater = (watts: number, setpointC: number, coveredToMm: number | null): Heater => ({
  watts,
  opensAtC: setpointC + ABOVE_SETPOINT_K,
  thermostatClosed: true,
  thermostatStuck: false,
  dead: false,
  uncovered: false,
  coveredToMm,
});

/** Power that it turns into heat, given that its contacts are closed. */
export function heatingWatts(heater: Heater, chamberC: number): number {
  if (chamberC >= heater.opensAtC) heater.thermostatClosed = false;
  else if (chamberC < heater.opensAtC - HYSTERESIS_K) heater.thermostatClosed = true;
  return (heater.thermostatClosed || heater.thermostatStuck) && !heater.dead ? heater.watts : 0;
}
