import type { Calibrated } from "../../../shared/contract/calibration.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import { NO_VALUES, type Values } from "./memory.ts";

const made = new WeakMap<Settings, WeakMap<Values, Settings>>();

/**
 * The settings as calibrations have changed them: flow of the pump, marks of the floats, the doubt in the cell. Where
 * nothing of that kind was calibrated, the very same object.
 */
export function settingsWith(settings: Settings, values: Values): Settings {
  if (values === NO_VALUES) return settings;
  const known = made.get(settings)?.get(values);
  if (known !== undefined) return known;
  const effective = changed(settings, values);
  const ofSettings = made.get(settings) ?? new WeakMap<Values, Settings>();
  ofSettings.set(values, effective);
  made.set(settings, ofSettings);
  return effective;
}

/** Corrections of readings are no settings; these are. */
const AS_SETTINGS: readonly Calibrated[] = [
  "conductivity",
  "top-off-flow",
  "high-float-mm",
  "low-float-mm",
  "float-hysteresis-mm",
  "pump-off-level-mm",
];

function changed(settings: Settings, values: Values): Settings {
  if (AS_SETTINGS.every((what) => values[what] === null)) return settings;
  const { tank, topOff, conductivity } = settings;
  const at = (what: Calibrated) => values[what]?.value ?? settingOf(what, settings);
  return {
    ...settings,
    tank: {
      ...tank,
      highFloatMm: at("high-float-mm"),
      lowFloatMm: at("low-float-mm"),
      floatHysteresisMm: at("float-hysteresis-mm"),
      pumpOffLevelMm: at("pump-off-level-mm"),
    },
    topOff: { ...topOff, provenFlowLPerMin: at("top-off-flow") },
    conductivity: {
      ...conductivity,
      cellConstantPercent: values.conductivity?.doubt ?? conductivity.cellConstantPercent,
    },
  };
}

/** What counts where nothing was calibrated. */
export function settingOf(what: Calibrated, { tank, topOff }: Settings): number {
  switch (what) {
    case "conductivity":
      return 1;
    case "thermometer-1":
    case "thermometer-2":
      return 0;
    case "top-off-flow":
      return topOff.provenFlowLPerMin;
    case "high-float-mm":
      return tank.highFloatMm;
    case "low-float-mm":
      return tank.lowFloatMm;
    case "float-hysteresis-mm":
      return tank.floatHysteresisMm;
    case "pump-off-level-mm":
      return tank.pumpOffLevelMm;
  }
}
