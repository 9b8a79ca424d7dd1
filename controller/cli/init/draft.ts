/** A settings file in the making. What is not asked stays out of it and keeps its default. */
export interface Draft {
  version: 1;
  tank: Record<string, string | number>;
  targets: Record<string, number>;
  topOff: Record<string, string | number | { aboveC: number; evaporationLPerDay: number }>;
  heat: Record<string, string | number | boolean | Record<string, string | number | boolean>>;
  alarms?: { temperatureBandC: [number, number]; temperatureLimitsC: [number, number] };
  boards: Record<string, Record<string, string | number>>;
  inputs: Record<string, object>;
  outputs: Record<string, object>;
  independentGuard?: string;
  attendedMinutes?: number;
}

export const emptyDraft = (): Draft => ({
  version: 1,
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
