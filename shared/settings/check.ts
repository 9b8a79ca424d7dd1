import { z } from "zod";
import type { GUARD_OF } from "../contract/parts.ts";
import { allowedDilutionL, boxBudget } from "./budget.ts";
import { heaterOf, type Settings, settingsSchema } from "./schema.ts";
import { wiringFaults } from "./wiring-check.ts";

/** What is wrong with a settings file: where, what stands there, what was expected. */
export interface SettingsFault {
  /** Such as `topOff.sliceMl`; empty for the file as a whole. */
  readonly path: string;
  readonly value: unknown;
  readonly expected: string;
}

export type SettingsCheck =
  | { readonly settings: Settings; readonly faults: readonly [] }
  | { readonly settings: null; readonly faults: readonly SettingsFault[] };

/** Checks a parsed settings file: shape and bounds first, then what must hold between its parts. Applies nothing. */
export function checkSettings(raw: unknown): SettingsCheck {
  const parsed = settingsSchema.safeParse(raw);
  if (!parsed.success) return { settings: null, faults: parsed.error.issues.flatMap((issue) => faultOf(issue, raw)) };
  const faults = [...relationFaults(parsed.data), ...wiringFaults(parsed.data), ...unwritten(parsed.data, raw)];
  return faults.length > 0 ? { settings: null, faults } : { settings: parsed.data, faults: [] };
}

/** The tank of the rehearsal: every default, and a large reservoir on purpose. */
export const REHEARSAL_SETTINGS = {
  topOff: {
    reservoirL: 10,
    largeReservoirAccepted: "The simulated tank keeps a large reservoir, to show what one can do.",
  },
};

export const rehearsalSettings = (): Settings => settingsSchema.parse(REHEARSAL_SETTINGS);

/** The published schema of the settings file, JSON Schema 2020-12. */
export const settingsJsonSchema = (): object =>
  z.toJSONSchema(settingsSchema, { io: "input", target: "draft-2020-12" });

function faultOf(issue: z.core.$ZodIssue, raw: unknown): SettingsFault[] {
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => ({
      path: pathOf([...issue.path, key]),
      value: valueAt(raw, [...issue.path, key]),
      expected: "no such key: look for a typing error",
    }));
  }
  if (issue.code === "invalid_union" && issue.errors.length > 0) {
    // A part may be wired in several ways: what counts is the way that was meant, which has the least to complain of.
    const closest = issue.errors.reduce((best, errors) => (weightOf(errors) < weightOf(best) ? errors : best));
    return closest.flatMap((inner) => faultOf({ ...inner, path: [...issue.path, ...inner.path] }, raw));
  }
  return [{ path: pathOf(issue.path), value: valueAt(raw, issue.path), expected: issue.message }];
}

/** Keys that one way of wiring does not know speak against it more than a value that is out of bounds. */
const weightOf = (errors: readonly z.core.$ZodIssue[]): number =>
  errors.reduce((sum, error) => sum + (error.code === "unrecognized_keys" ? 10 * error.keys.length : 1), 0);

type Expect = (holds: boolean, path: string, expected: string) => void;

/** What must hold between the parts of the file. */
function relationFaults(settings: Settings): SettingsFault[] {
  const faults: SettingsFault[] = [];
  const expect: Expect = (holds, path, expected) => {
    if (!holds) faults.push({ path, value: valueAt(settings, path.split(".")), expected });
  };
  expectOfLimits(settings, expect);
  expectOfPours(settings, expect);
  expectOfFan(settings, expect);
  expectOfHeaters(settings, expect);
  expectOfBox(settings, expect);
  expectOfBench(settings, expect);
  return faults;
}

function expectOfLimits({ alarms, targets, heat, tank }: Settings, expect: Expect): void {
  const [bandLow, bandHigh] = alarms.temperatureBandC;
  const [limitLow, limitHigh] = alarms.temperatureLimitsC;
  expect(
    limitLow < bandLow && bandLow < bandHigh && bandHigh < limitHigh,
    "alarms.temperatureBandC",
    "limits outside the band: limit < band low < band high < limit",
  );
  expect(
    targets.temperatureC - heat.deadbandK > bandLow && targets.temperatureC + heat.deadbandK < bandHigh,
    "targets.temperatureC",
    "a setpoint inside alarms.temperatureBandC",
  );
  expect(heat.cutOutC > targets.temperatureC + heat.deadbandK + 1, "heat.cutOutC", "at least 1 K above the setpoint");
  expect(heat.cutOutC < limitHigh, "heat.cutOutC", "below the upper alarms.temperatureLimitsC");
  expect(alarms.salinityLimit > alarms.salinityWithin, "alarms.salinityLimit", "more than alarms.salinityWithin");
  expect(
    tank.highFloatMm > tank.pumpOffLevelMm,
    "tank.highFloatMm",
    "above tank.pumpOffLevelMm, or the high float is wet whenever the return pump stops",
  );
}

function expectOfPours(settings: Settings, expect: Expect): void {
  const { topOff } = settings;
  expect(
    topOff.sliceMl / 1000 / (topOff.provenFlowLPerMin / 60) < 60,
    "topOff.sliceMl",
    "a slice that the proven flow pours in less than 60 s",
  );
  expect(
    (topOff.sliceMl + topOff.coastMl) * 1.25 < topOff.dailyBudgetL * 1000,
    "topOff.dailyBudgetL",
    "more than one slice with its coast",
  );
  const allowedL = allowedDilutionL(settings);
  expect(
    ((topOff.sliceMl + topOff.coastMl) * 1.25) / 1000 < allowedL,
    "topOff.allowedDilution",
    `a dilution of more than one slice: this tank allows ${allowedL.toFixed(2)} L in all`,
  );
  expect(
    topOff.dailyBudgetL <= 5 * topOff.evaporationLPerDay || topOff.dailyBudgetL <= 3,
    "topOff.dailyBudgetL",
    "at most five times topOff.evaporationLPerDay",
  );
}

/** A fan only adds to what evaporates, and it does not blow against the heater. */
function expectOfFan({ topOff, targets, heat }: Settings, expect: Expect): void {
  if (topOff.fan === null) return;
  expect(
    topOff.fan.evaporationLPerDay >= topOff.evaporationLPerDay,
    "topOff.fan.evaporationLPerDay",
    `at least topOff.evaporationLPerDay, ${topOff.evaporationLPerDay}: with a fan more evaporates, not less`,
  );
  const bandEndsC = targets.temperatureC + heat.deadbandK / 2;
  expect(
    topOff.fan.aboveC > bandEndsC,
    "topOff.fan.aboveC",
    `above ${bandEndsC} °C, up to which the heater heats, or heater and fan work against each other`,
  );
}

/** Where nobody sees what is around a heater, it is not there. */
function expectOfHeaters(settings: Settings, expect: Expect): void {
  const { inputs, outputs } = settings;
  for (const [heater, path] of HEATER_PATHS) {
    const own = heaterOf(settings, heater);
    if (own === null) continue;
    expect(
      own.heaterPlace === "pinned-chamber" || inputs["low-float"] !== undefined,
      `${path}.heaterPlace`,
      "a low float in `inputs`, because the heater stands where the level falls",
    );
    expect(
      own.thermometerSharesHeaterChamber || outputs[heater] === undefined || inputs["return-sensor"] !== undefined,
      `${path}.thermometerSharesHeaterChamber`,
      "true, or a return-sensor in `inputs`: without either nobody sees that the heater warms still water",
    );
  }
}

const HEATER_PATHS = [
  ["heater-1", "heat"],
  ["heater-2", "heat.secondHeater"],
] as const;

/** What the box can take at worst; more only where somebody has written down why. */
function expectOfBox(settings: Settings, expect: Expect): void {
  const { topOff } = settings;
  const budget = boxBudget(settings);
  expect(
    topOff.dailyBudgetL <= budget.largestReservoirL || topOff.largeReservoirAccepted !== null,
    "topOff.dailyBudgetL",
    `at most ${budget.largestReservoirL.toFixed(1)} L (${budget.because}), or topOff.largeReservoirAccepted`,
  );
  expect(
    topOff.reservoirL <= budget.largestReservoirL || topOff.largeReservoirAccepted !== null,
    "topOff.reservoirL",
    `at most ${budget.largestReservoirL.toFixed(1)} L (${budget.because}), or topOff.largeReservoirAccepted`,
  );
}

/** Every wait has its reason above water: shorter ones are for a bench, and somebody says that it is one. */
function expectOfBench({ bench, outputs }: Settings, expect: Expect): void {
  expect(
    bench.waitsDividedBy === 1 || Object.keys(outputs).length === 0 || bench.shorterWaitsAccepted !== null,
    "bench.waitsDividedBy",
    "1, because this file names outputs; or, on a workbench without water, bench.shorterWaitsAccepted",
  );
}

/** What must stand in the file as soon as something can be switched: these are measured, never assumed. */
const MEASURED: Record<keyof typeof GUARD_OF, readonly string[]> = {
  "top-off-pump": [
    "tank.netVolumeL",
    "tank.freeVolumePumpOffL",
    "tank.freeVolumeWeirBlockedL",
    "targets.salinity",
    "topOff.provenFlowLPerMin",
    "topOff.evaporationLPerDay",
    "topOff.reservoirL",
  ],
  "heater-1": [
    "tank.netVolumeL",
    "targets.temperatureC",
    "heat.heaterW",
    "heat.heaterPlace",
    "heat.thermometerSharesHeaterChamber",
  ],
  "heater-2": [
    "heat.secondHeater.heaterW",
    "heat.secondHeater.heaterPlace",
    "heat.secondHeater.thermometerSharesHeaterChamber",
  ],
};

function unwritten(settings: Settings, raw: unknown): SettingsFault[] {
  const paths = (["top-off-pump", "heater-1", "heater-2"] as const).flatMap((part) =>
    settings.outputs[part] === undefined ? [] : MEASURED[part],
  );
  return [...new Set(paths)]
    .filter((path) => valueAt(raw, path.split(".")) === undefined)
    .map((path) => ({ path, value: undefined, expected: "a value measured at your own box: it is never assumed" }));
}

const pathOf = (path: readonly PropertyKey[]): string => path.map(String).join(".");

function valueAt(raw: unknown, path: readonly PropertyKey[]): unknown {
  let value = raw;
  for (const key of path) {
    if (typeof value !== "object" || value === null) return undefined;
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}
