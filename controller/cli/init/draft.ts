import type { KeeperUnits } from "../../../shared/units/index.ts";

/** A settings file in the making. What is not asked stays out of it and keeps its default. */
export interface Draft {
  version: 1;
  units: KeeperUnits;
  tank: Record<string, string | number>;
  targets: Record<string, number>;
  topOff: Record<string, unknown>;
  heat: Record<string, unknown>;
  alarms?: { temperatureBandC: [number, number]; temperatureLimitsC: [number, number] };
  boards: Record<string, Record<string, unknown>>;
  inputs: Record<string, object>;
  outputs: Record<string, object>;
  independentGuard?: string;
  attendedMinutes?: number;
}

export const createDraft = (): Draft => ({
  version: 1,
  units: { temperature: "°C", volume: "L", length: "mm" },
  tank: {},
  targets: {},
  topOff: {},
  heat: {},
  boards: {},
  inputs: {},
  outputs: {},
});

/** What is plugged into this computer, offered as answers. */
export interface PluggedIn {
  readonly ports: readonly string[];
  readonly thermometers: readonly string[];
}
