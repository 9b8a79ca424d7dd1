import { z } from "zod";
import { boundsIn, checkSettings, expectationOf, once, type Settings } from "../../shared/settings/index.ts";
import { contradictions } from "./faults/claims.ts";
import { SCENARIO_PARTS } from "./faults/kind.ts";
import { FAULT_KINDS, faultKind, isOfFan, isOfSecondHeater, resolveFault } from "./faults/table.ts";
import { fittingFaults, OPTIONAL_PARTS } from "./fitting.ts";
import { handSchema, timesOf } from "./hands/index.ts";
import { mergeSettings } from "./merge-settings.ts";

/** A scenario: a tank, a span of time, what breaks and what hands do. Everything but name and hours has a default. */
const hour = (words: string) => z.number().min(0).max(1_000_000).describe(`${words}; hours from the beginning`);
const from = (least: number, most: number, words: string) => z.number().min(least).max(most).describe(words);

const kinds = FAULT_KINDS.map((kind) => kind.kind) as [string, ...string[]];
const kindWords = FAULT_KINDS.map((kind) => `${kind.kind}: ${kind.says}`).join(" ");

const faultSchema = z
  .strictObject({
    atH: hour("When it breaks").default(0),
    kind: z.enum(kinds).describe(kindWords),
    part: z.enum(SCENARIO_PARTS).optional().describe("May be left out where exactly one part fits"),
    value: z
      .union([z.number(), z.string()])
      .optional()
      .describe("As the kind says, with its unit; left out = its default"),
    untilH: hour("When it is whole again; left out = never").optional(),
  })
  .superRefine((written, context) => {
    const { wrong } = resolveFault(written);
    if (wrong !== null) context.addIssue({ code: "custom", path: [wrong.key], message: wrong.expected });
    if (written.untilH !== undefined && written.untilH <= written.atH) {
      context.addIssue({ code: "custom", path: ["untilH"], message: `later than atH, ${written.atH}` });
    }
  });

const roomSchema = z
  .strictObject({
    temperatureC: from(-10, 50, "Mean of the day, °C").default(22),
    swingC: from(0, 15, "Above and below it, K; warmest at 16 h").default(2),
    humidityPct: from(0, 100, "Relative humidity, %").default(50),
  })
  .prefault({});

const startSchema = z
  .strictObject({
    temperatureC: from(5, 40, "Of the water, °C; left out = the setpoint").optional(),
    salinity: from(0, 42, "Practical salinity of the water; left out = the target").optional(),
    reservoirL: from(0, 200, "In the reservoir, L; left out = full").optional(),
  })
  .prefault({});

const settingsSchema = z
  .looseObject({
    without: z.array(z.enum(OPTIONAL_PARTS)).default([]).describe("Parts that this box is built without"),
  })
  .describe("Overrides of the settings file, same shape")
  .prefault({});

export const scenarioSchema = z.strictObject({
  name: z.string().min(1).max(120),
  hours: z.number().positive().max(100_000).describe("Length, hours; hour 0 is local midnight"),
  settings: settingsSchema,
  room: roomSchema,
  start: startSchema,
  faults: z.array(faultSchema).max(1000).default([]),
  hands: z.array(handSchema).max(1000).default([]),
});

export type Scenario = z.infer<typeof scenarioSchema>;
export type ScenarioFault = Scenario["faults"][number];

export interface ScenarioError {
  /** Such as `faults.0.part`; empty for the scenario as a whole. */
  readonly path: string;
  readonly value: unknown;
  readonly expected: string;
}

export type ScenarioCheck =
  | { readonly scenario: Scenario; readonly errors: readonly [] }
  | { readonly scenario: null; readonly errors: readonly ScenarioError[] };

/** Checks a parsed scenario file, and the settings that come out of its overrides. */
export function checkScenario(raw: unknown, base: Settings): ScenarioCheck {
  const parsed = scenarioSchema.safeParse(raw);
  if (!parsed.success) return { scenario: null, errors: parsed.error.issues.flatMap((issue) => errorsOf(issue, raw)) };
  const scenario = parsed.data;
  const { without, ...overrides } = scenario.settings;
  const merged = checkSettings(mergeSettings(base, overrides));
  if (merged.settings === null) {
    return { scenario: null, errors: merged.faults.map((fault) => ({ ...fault, path: `settings.${fault.path}` })) };
  }
  const errors = [
    ...lateErrors(scenario),
    ...fittingErrors(without, merged.settings),
    ...absentErrors(scenario, merged.settings),
    ...endlessErrors(scenario),
    ...contradictionErrors(scenario),
    ...startErrors(scenario, merged.settings),
  ];
  return errors.length > 0 ? { scenario: null, errors } : { scenario, errors: [] };
}

/** The published schema of a scenario, JSON Schema 2020-12. */
export const scenarioJsonSchema = once((): object =>
  z.toJSONSchema(scenarioSchema, { io: "input", target: "draft-2020-12" }),
);

/** What would begin after the end was surely meant to happen. */
function lateErrors({ faults, hands, hours }: Scenario): ScenarioError[] {
  const late = (list: string, entries: readonly { readonly atH: number }[]): ScenarioError[] =>
    entries.flatMap(({ atH }, index) =>
      atH <= hours ? [] : [{ path: `${list}.${index}.atH`, value: atH, expected: `at most hours, ${hours}` }],
    );
  return [...late("faults", faults), ...late("hands", hands)];
}

const fittingErrors = (without: Scenario["settings"]["without"], settings: Settings): ScenarioError[] =>
  fittingFaults(without, settings).map(({ part, expected }) => ({
    path: `settings.without.${without.indexOf(part)}`,
    value: part,
    expected,
  }));

/** A part that this tank has not. */
function absentErrors({ faults, hands, settings: { without } }: Scenario, { heat, topOff }: Settings): ScenarioError[] {
  const missing = (part: string | undefined): string | null => {
    if (part === undefined) return null;
    if (isOfSecondHeater(part) && heat.secondHeater === null) {
      return "a part of a tank with one heater; settings.heat.secondHeater gives it another";
    }
    return without.some((each) => each === part) ? "a part that settings.without does not leave out" : null;
  };
  const errors = (list: string, parts: readonly (string | undefined)[]): ScenarioError[] =>
    parts.flatMap((part, index) => {
      const expected = missing(part);
      return expected === null ? [] : [{ path: `${list}.${index}.part`, value: part, expected }];
    });
  const still = topOff.fan === null ? faults.flatMap(({ kind }, index) => (isOfFan(kind) ? [index] : [])) : [];
  return [
    ...errors("faults", faults.map(partOf)),
    ...errors(
      "hands",
      hands.map((hand) => ("part" in hand ? hand.part : undefined)),
    ),
    ...still.map((index) => ({
      path: `faults.${index}.kind`,
      value: faults[index]?.kind,
      expected: "a fault of a tank without a fan; settings.topOff.fan gives it one",
    })),
  ];
}

/** What a kind breaks by its name alone need not be there: a reservoir runs empty without a float, too. */
const partOf = ({ kind, part }: ScenarioFault): string | undefined => (faultKind(kind).partImplied ? undefined : part);

/** More than anybody could do, or means. */
const DONE_MOST = 10_000;

const endlessErrors = ({ hands, hours }: Scenario): ScenarioError[] =>
  hands.flatMap((hand, index) =>
    timesOf(hand, hours).length > DONE_MOST
      ? [{ path: `hands.${index}.everyH`, value: hand.everyH, expected: `at most ${DONE_MOST} times in all` }]
      : [],
  );

const contradictionErrors = ({ faults }: Scenario): ScenarioError[] =>
  contradictions(faults).map(({ fault, expected }) => ({ path: `faults.${fault}`, value: faults[fault], expected }));

function startErrors(scenario: Scenario, settings: Settings): ScenarioError[] {
  const { reservoirL } = scenario.start;
  if (reservoirL !== undefined && reservoirL > settings.topOff.reservoirL) {
    const expected = `at most what the reservoir holds, ${settings.topOff.reservoirL} L (settings.topOff.reservoirL)`;
    return [{ path: "start.reservoirL", value: reservoirL, expected }];
  }
  const most = settings.tank.netVolumeL / 2;
  return scenario.hands.flatMap((hand, index) =>
    hand.do === "water-change" && hand.litres > most
      ? [{ path: `hands.${index}.litres`, value: hand.litres, expected: `at most half the tank, ${most} L` }]
      : [],
  );
}

function errorsOf(issue: z.core.$ZodIssue, raw: unknown): ScenarioError[] {
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => {
      const path = [...issue.path, key];
      return {
        path: path.map(String).join("."),
        value: valueAt(raw, path),
        expected: "no such key: look for a typing error",
      };
    });
  }
  const expected = expectationOf(issue, boundsIn(scenarioJsonSchema(), issue.path));
  return [{ path: issue.path.map(String).join("."), value: valueAt(raw, issue.path), expected }];
}

function valueAt(raw: unknown, path: readonly PropertyKey[]): unknown {
  let value = raw;
  for (const key of path) {
    if (typeof value !== "object" || value === null) return undefined;
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}
