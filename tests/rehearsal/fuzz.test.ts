import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { SCENARIO_PARTS } from "../../controller/rehearsal/faults/kind.ts";
import { FAULT_KINDS } from "../../controller/rehearsal/faults/table.ts";
import {
  checkScenario,
  REAL_CORE,
  rehearse,
  rehearseBareParts,
  rehearseWith,
  type Scenario,
} from "../../controller/rehearsal/index.ts";
import type { Image, ThermometerReading } from "../../shared/contract/index.ts";
import { SETTINGS } from "./still-tank.ts";

const SEED = Number(process.env.SEED ?? 20_251);
/** A hundred in every run of the tests, by turns of the seed as many as one likes; the campaign lives whole weeks. */
const RUNS = Number(process.env.RUNS ?? 100);
const LASTS_MS = 300_000;
const hour = (most: number) => fc.double({ min: 0, max: most, noNaN: true });

/** A fault that is good by itself, or nearly: what the check refuses is not run. */
const fault = fc.constantFrom(...FAULT_KINDS).chain((kind) => {
  const { value, parts: fitting } = kind;
  return fc.record(
    {
      kind: fc.constant(kind.kind),
      atH: hour(0.35),
      ...(fitting.length === 0 ? {} : { part: fc.constantFrom(...fitting) }),
      ...(value.of === "choice" ? { value: fc.constantFrom(...value.choices) } : {}),
      ...(value.of === "number" ? { value: fc.double({ min: value.least, max: value.most, noNaN: true }) } : {}),
      ...(kind.end === null ? {} : { untilH: hour(0.3).map((more) => 0.36 + more) }),
    },
    { requiredKeys: value.of === "choice" ? ["kind", "atH", "part", "value"] : ["kind", "atH"] },
  );
});

const hand = fc.oneof(
  fc.record({
    do: fc.constant("hold"),
    atH: hour(0.35),
    minutes: fc.integer({ min: 1, max: 240 }),
    told: fc.boolean(),
  }),
  fc.record({
    do: fc.constant("end-hold"),
    atH: hour(0.35),
    answer: fc.constantFrom("salt-water-added", "evaporation"),
  }),
  fc.record({ do: fc.constant("refill"), atH: hour(0.35), litres: fc.double({ min: 0.01, max: 100, noNaN: true }) }),
  fc.record({
    do: fc.constant("water-change"),
    atH: hour(0.35),
    litres: fc.double({ min: 0.1, max: 70, noNaN: true }),
    salinity: fc.double({ min: 0, max: 42, noNaN: true }),
    told: fc.boolean(),
  }),
  fc.record({ do: fc.constant("hand-test"), atH: hour(0.35), salinity: fc.double({ min: 0, max: 42, noNaN: true }) }),
  fc.record({ do: fc.constantFrom("acknowledge", "clear"), atH: hour(0.35), told: fc.boolean() }),
);

const HALF = { heaterW: 100, heaterPlace: "pinned-chamber", thermometerSharesHeaterChamber: false };
const TWO_HEATERS = { heat: { heaterW: 100, secondHeater: HALF } };

const scenarios = fc.record({
  name: fc.constant("by chance"),
  settings: fc.constantFrom({}, TWO_HEATERS),
  hours: fc.double({ min: 0.35, max: 0.6, noNaN: true }),
  room: fc.record({
    temperatureC: fc.double({ min: -10, max: 50, noNaN: true }),
    humidityPct: fc.double({ min: 0, max: 100, noNaN: true }),
  }),
  start: fc.record({
    temperatureC: fc.double({ min: 5, max: 40, noNaN: true }),
    salinity: fc.double({ min: 0, max: 42, noNaN: true }),
    reservoirL: fc.double({ min: 0, max: 10, noNaN: true }),
  }),
  faults: fc.array(fault, { maxLength: 4 }),
  hands: fc.array(hand, { maxLength: 3 }),
});

function checked(raw: unknown): Scenario | null {
  return checkScenario(raw, SETTINGS).scenario;
}

describe("scenarios by chance", () => {
  it(
    `up to 4 faults and 3 hands: no violation, finite truth (SEED, RUNS; ${RUNS} from ${SEED})`,
    () => {
      let ran = 0;
      fc.assert(
        fc.property(scenarios, fc.nat(1_000_000), fc.constantFrom("even", "adaptive"), (raw, seed, scans) => {
          const scenario = checked(raw);
          fc.pre(scenario !== null);
          ran += 1;
          const report = rehearse(scenario as Scenario, { seed, settings: SETTINGS, scans });
          expect(report.violations).toEqual([]);
          for (const value of Object.values(report.truth)) expect(Number.isFinite(value)).toBe(true);
        }),
        { numRuns: RUNS, seed: SEED },
      );
      expect(ran).toBeGreaterThanOrEqual(RUNS);
    },
    LASTS_MS,
  );

  it("the same with bare parts: finite truth", () => {
    fc.assert(
      fc.property(scenarios, fc.nat(1_000_000), (raw, seed) => {
        const scenario = checked(raw);
        fc.pre(scenario !== null);
        const truth = rehearseBareParts(scenario as Scenario, { seed, settings: SETTINGS });
        for (const value of Object.values(truth)) expect(Number.isFinite(value)).toBe(true);
      }),
      { numRuns: 40, seed: SEED },
    );
  });
});

describe("JSON that is no scenario, or nearly one", () => {
  it("checked 1,000 times: a scenario or errors with paths, never thrown", () => {
    const near = fc.record(
      {
        name: fc.oneof(fc.string(), fc.jsonValue()),
        hours: fc.oneof(fc.double(), fc.jsonValue()),
        settings: fc.oneof(fc.jsonValue(), fc.dictionary(fc.constantFrom("tank", "heat", "topOff"), fc.jsonValue())),
        room: fc.jsonValue(),
        start: fc.oneof(fc.jsonValue(), fc.record({ reservoirL: fc.double() })),
        faults: fc.array(
          fc.oneof(
            fc.jsonValue(),
            fc.record(
              {
                kind: fc.constantFrom(...FAULT_KINDS.map(({ kind }) => kind), "__proto__", "constructor"),
                part: fc.constantFrom(...SCENARIO_PARTS, "__proto__"),
                value: fc.oneof(fc.double(), fc.string()),
                atH: fc.double(),
                untilH: fc.double(),
              },
              { requiredKeys: ["kind"] },
            ),
          ),
        ),
        hands: fc.array(fc.jsonValue()),
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(fc.oneof(fc.jsonValue(), near), (raw) => {
        const { scenario, errors } = checkScenario(raw, SETTINGS);
        expect(scenario === null).toBe(errors.length > 0);
        for (const { path, expected } of errors) {
          expect(typeof path).toBe("string");
          expect(expected).not.toBe("");
        }
      }),
      { numRuns: 1000, seed: SEED },
    );
  });
});

describe("readings of NaN, infinity and 1e308", () => {
  const wild = fc.oneof(fc.double(), fc.constantFrom(Number.NaN, Infinity, -Infinity, 1e308, -1e308, -0, 85, 0));

  it("in every probe of every scan: no assertion fails", () => {
    const { scenario } = checkScenario({ name: "wild", hours: 0.03 }, SETTINGS);
    if (scenario === null) throw new Error("refused");
    fc.assert(
      fc.property(fc.array(wild, { minLength: 7, maxLength: 31 }), (numbers) => {
        let drawn = 0;
        const next = () => numbers[drawn++ % numbers.length] as number;
        const core: typeof REAL_CORE = {
          ...REAL_CORE,
          step: (memory, image, settings) => REAL_CORE.step(memory, spoilt(image, next), settings),
        };
        const report = rehearseWith(core, scenario, { seed: 1, settings: SETTINGS });
        expect(report.violations.filter(({ invariant }) => invariant === "assertion")).toEqual([]);
      }),
      { numRuns: 60, seed: SEED },
    );
  });
});

function spoilt(image: Image, next: () => number): Image {
  const { readings } = image;
  const thermometer = (reading: ThermometerReading | null): ThermometerReading | null =>
    reading === null || reading.fault !== null ? reading : { ...reading, value: next() };
  const probe = readings["conductivity-probe"];
  return {
    ...image,
    readings: {
      ...readings,
      "thermometer-1": thermometer(readings["thermometer-1"]),
      "thermometer-2": thermometer(readings["thermometer-2"]),
      "room-thermometer": thermometer(readings["room-thermometer"]),
      "conductivity-probe":
        probe === null || probe.fault !== null
          ? probe
          : { ...probe, value: { conductivityMsPerCm: next(), temperatureC: next() } },
    },
  };
}
