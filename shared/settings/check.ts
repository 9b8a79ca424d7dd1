import { z } from "zod";
import type { GUARD_OF } from "../contract/parts.ts";
import { boundsIn, descriptionIn } from "./bounds.ts";
import { allowedDilutionL, boxBudget } from "./budget.ts";
import { hasGuardFirmware } from "./guard-firmware.ts";
import { heaterPowerOf, judgeHeaterPower, mostReturnPumpW, WELDED_RISE_K_PER_H } from "./heater-power.ts";
import { expectationOf } from "./issue-words.ts";
import { once } from "./once.ts";
import { heaterOf, SETTINGS_VERSION, type Settings, settingsSchema } from "./schema.ts";
import type { SettingsFault } from "./settings-fault.ts";
import { wiringFaults } from "./wiring-check.ts";

export type SettingsCheck =
  | { readonly settings: Settings; readonly faults: readonly [] }
  | { readonly settings: null; readonly faults: readonly SettingsFault[] };

/** Checks a parsed settings file: shape and bounds first, then what must hold between its parts. Applies nothing. */
export function checkSettings(raw: unknown): SettingsCheck {
  // What else a newer format says cannot be judged here.
  const newer = newerVersionIn(raw);
  if (newer !== null) return { settings: null, faults: [newer] };
  const parsed = settingsSchema.safeParse(raw);
  if (!parsed.success) return { settings: null, faults: parsed.error.issues.flatMap((issue) => faultOf(issue, raw)) };
  const faults = [...relationFaults(parsed.data), ...wiringFaults(parsed.data), ...unwritten(parsed.data, raw)];
  return faults.length > 0 ? { settings: null, faults } : { settings: parsed.data, faults: [] };
}

function newerVersionIn(raw: unknown): SettingsFault | null {
  const version = valueAt(raw, ["version"]);
  if (typeof version !== "number" || version <= SETTINGS_VERSION) return null;
  const expected =
    `at most ${SETTINGS_VERSION}: a newer Evenbrine wrote this file. Nothing was changed in it; start that version again, ` +
    "or give this one the file that it ran on before";
  return { path: "version", value: version, expected };
}

/** Of a file that leaves some measures for later: what can be wired by it, and what has to be measured before it runs. */
export interface UnfinishedCheck {
  /** With defaults in the place of what was not measured: good for wires, never for water. Null where it has faults. */
  readonly settings: Settings | null;
  /** Paths of what is still to be measured. */
  readonly toMeasure: readonly string[];
  readonly faults: readonly SettingsFault[];
}

/** Tells what is wrong from what is only not there yet: what nobody has written cannot be wrong. */
export function checkUnfinished(raw: unknown): UnfinishedCheck {
  const { settings, faults } = checkSettings(raw);
  const toMeasure = faults.filter(({ expected }) => expected === TO_MEASURE).map(({ path }) => path);
  if (toMeasure.length === 0) return { settings, toMeasure, faults };
  const assumed = structuredClone(raw) as Record<string, Record<string, unknown>>;
  for (const path of toMeasure) {
    const [room, key] = path.split(".") as [string, string];
    if (FAVOURABLE[path] !== undefined) assumed[room] = { ...assumed[room], [key]: FAVOURABLE[path] };
  }
  const wrong = checkSettings(assumed).faults.filter(
    ({ path, expected }) => expected !== TO_MEASURE && valueAt(raw, path.split(".")) !== undefined,
  );
  return { settings: wrong.length === 0 ? settingsSchema.parse(assumed) : null, toMeasure, faults: wrong };
}

/** In the place of what was not measured: what is written is wrong only where no measure could make it right. */
const FAVOURABLE: Readonly<Record<string, number>> = {
  "tank.netVolumeL": 2000,
  "tank.pumpOffLevelMm": 0,
  "tank.highFloatMm": 300,
  "tank.freeVolumePumpOffL": 500,
  "tank.freeVolumeWeirBlockedL": 500,
  "topOff.evaporationLPerDay": 50,
  "topOff.reservoirL": 0.5,
};

/** The tank of the rehearsal: every default, and a large reservoir on purpose. */
export const REHEARSAL_SETTINGS = {
  topOff: {
    reservoirL: 10,
    largeReservoir: {
      because: "The simulated tank keeps a large reservoir, to show what one can do.",
      noSiphon: "air-gap",
      highFloatInSeries: true,
      displayGuard: "no-weir",
    },
  },
};

export const rehearsalSettings = (): Settings => settingsSchema.parse(REHEARSAL_SETTINGS);

/** The published schema of the settings file, JSON Schema 2020-12. */
export const settingsJsonSchema = once((): object =>
  z.toJSONSchema(settingsSchema, { io: "input", target: "draft-2020-12" }),
);

/** What the schema says of a setting, such as `tank.highFloatMm`. */
export const describeSetting = (path: string): string => descriptionIn(settingsJsonSchema(), path.split("."));

function faultOf(issue: z.core.$ZodIssue, raw: unknown): SettingsFault[] {
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => ({
      path: pathOf([...issue.path, key]),
      value: valueAt(raw, [...issue.path, key]),
      expected: "no such key here: a typing error, or a key that only a newer Evenbrine knows",
    }));
  }
  if (issue.code === "invalid_union" && issue.errors.length > 0) {
    // A part may be wired in several ways: what counts is the way that was meant, which has the least to complain of.
    const closest = issue.errors.reduce((best, errors) => (weightOf(errors) < weightOf(best) ? errors : best));
    return closest.flatMap((inner) => faultOf({ ...inner, path: [...issue.path, ...inner.path] }, raw));
  }
  const expected = expectationOf(issue, boundsIn(settingsJsonSchema(), issue.path));
  return [{ path: pathOf(issue.path), value: valueAt(raw, issue.path), expected }];
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
  if (outputs["heater-1"] !== undefined) expectOfPower(settings, expect);
}

const HEATER_PATHS = [
  ["heater-1", "heat"],
  ["heater-2", "heat.secondHeater"],
] as const;

/** A heater that cannot hold the box in a cold night, or that cooks it before anybody is there. */
function expectOfPower(settings: Settings, expect: Expect): void {
  const { heat, targets, tank } = settings;
  const { leastW, mostW } = judgeHeaterPower(settings);
  expect(
    heaterPowerOf(heat) >= leastW,
    "heat.heaterW",
    `at least ${leastW} W${heat.secondHeater === null ? "" : " with the second heater"}: a room of ` +
      `${heat.coldestRoomC} °C takes ${heat.lossWPerK} W for each kelvin up to ${targets.temperatureC} °C, less ` +
      `${heat.returnPumpW} W of the return pump; or what is true of your room in heat.coldestRoomC and heat.lossWPerK`,
  );
  for (const [heater, path] of HEATER_PATHS) {
    const own = heaterOf(settings, heater);
    if (own === null) continue;
    expect(
      own.heaterW <= mostW,
      `${path}.heaterW`,
      `at most ${mostW} W in ${tank.netVolumeL} L: stuck on, more warms the water by over ${WELDED_RISE_K_PER_H} K an ` +
        "hour, and nobody is there so soon; two heaters of half the power are safer than one",
    );
  }
  const pumpW = mostReturnPumpW(settings);
  expect(
    heat.returnPumpW <= pumpW,
    "heat.returnPumpW",
    `at most ${pumpW} W: more keeps the water above ${settings.alarms.temperatureBandC[1]} °C by itself in a room of ` +
      `${heat.roomC} °C. It is the watts of its label, not the litres an hour`,
  );
}

/** What the box can take at worst; more only where everything stands that makes it harmless. */
function expectOfBox(settings: Settings, expect: Expect): void {
  const { topOff } = settings;
  const budget = boxBudget(settings);
  const most = `at most ${budget.largestReservoirL.toFixed(1)} L (${budget.because})`;
  const isLarge = topOff.largeReservoir !== null;
  // On a workbench nothing is flooded.
  if (isLarge && settings.bench.shorterWaitsAccepted !== null) return;
  expect(
    topOff.reservoirL <= budget.largestReservoirL || isLarge,
    "topOff.reservoirL",
    `${most}, or topOff.largeReservoir, which asks for ${LARGE_RESERVOIR_ASKS}`,
  );
  expect(
    topOff.dailyBudgetL <= (isLarge ? Math.max(budget.byRimL / 2, budget.largestReservoirL) : budget.largestReservoirL),
    "topOff.dailyBudgetL",
    isLarge
      ? `at most ${Math.max(budget.byRimL / 2, budget.largestReservoirL).toFixed(1)} L, half of the free volume to the rim`
      : `${most}, or topOff.largeReservoir`,
  );
  if (isLarge && topOff.reservoirL > budget.largestReservoirL) expectOfLargeReservoir(settings, expect);
}

export const LARGE_RESERVOIR_ASKS =
  "an air gap or a pump that cannot siphon, relay and water guard, the high float's own contact in series, the guard " +
  "firmware on the pump's board, and a float or an overflow in a display whose weir can clog";

/** The means that the file itself shows; the others are the keeper's word. */
function expectOfLargeReservoir(settings: Settings, expect: Expect): void {
  const pump = settings.outputs["top-off-pump"];
  if (pump === undefined) return;
  expect(
    hasGuardFirmware(settings, pump.board),
    "topOff.largeReservoir",
    `the guard firmware on the board of the pump (boards.${pump.board}.firmware): it bounds each pour by itself when ` +
      "everything else has failed",
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

const TO_MEASURE = "a value measured at your own box: it is never assumed";

/** What must stand in the file as soon as something can be switched: these are measured, never assumed. */
const MEASURED: Record<keyof typeof GUARD_OF, readonly string[]> = {
  "top-off-pump": [
    "tank.netVolumeL",
    "tank.lastChamberM2",
    "tank.pumpOffLevelMm",
    "tank.highFloatMm",
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
    .map((path) => ({ path, value: undefined, expected: TO_MEASURE }));
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
