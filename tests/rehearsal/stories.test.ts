import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { checkScenario, type Report, rehearse, type ScanPace } from "../../controller/rehearsal/index.ts";
import { SETTINGS } from "./still-tank.ts";

/**
 * Stories of water. Each runs the controller's own scan on the simulated tank and says what became of the water, who
 * was told, and that no safety invariant was broken. What harm is tolerable is *common practice*: no water on the floor
 * that a trip could keep in, less than 2 in salinity, no water above 28.5 °C by a heater.
 */
const SEED = Number(process.env.SEED ?? 1);
const place = resolve(import.meta.dirname, "../../controller/rehearsal/scenarios");

function tell(name: string, scans: ScanPace = "adaptive"): Report {
  const { scenario, errors } = checkScenario(JSON.parse(readFileSync(join(place, `${name}.json`), "utf8")), SETTINGS);
  if (scenario === null) throw new Error(JSON.stringify(errors));
  const report = rehearse(scenario, { seed: SEED, settings: SETTINGS, scans });
  expect(report.violations, `seed ${SEED}`).toEqual([]);
  return report;
}

const alarms = (report: Report): string[] => [...new Set(report.alarms.map(({ id }) => id))];
const reasons = (report: Report): string[] => report.trips.map(({ reason }) => reason);
const locked = (report: Report): string[] => report.lockouts.map(({ reason }) => reason);

describe("an ordinary day", () => {
  it("passes without an alarm, a trip or a drop on the floor", () => {
    const report = tell("quiet-day", "even");
    expect(report.scans).toBe(24 * 3600 * 4);
    expect(report.alarms).toEqual([]);
    expect(report.trips).toEqual([]);
    const { truth } = report;
    expect(truth.spilledL).toBe(0);
    expect(Math.abs(truth.pouredL - truth.evaporatedL)).toBeLessThan(0.15);
    expect(truth.salinityMin).toBeGreaterThan(34.9);
    expect(truth.salinityMax).toBeLessThan(35.1);
    expect(truth.temperatureMinC).toBeGreaterThan(24.7);
    expect(truth.temperatureMaxC).toBeLessThan(25.8);
    expect(truth.peakLevelMm).toBeLessThan(15);
  }, 60_000);

  it("has a water change in it, announced, and nothing is poured meanwhile", () => {
    const report = tell("water-change");
    expect(report.alarms).toEqual([]);
    expect(report.truth.salinityMin).toBeGreaterThan(34.9);
  });
});

describe("water that could flood the house", () => {
  it("stops after a litre and a bit when the working float says low for ever, and says that nothing answers", () => {
    const report = tell("working-float-stuck-dry");
    expect(report.truth.spilledL).toBe(0);
    expect(report.truth.pouredL).toBeLessThan(2);
    expect(report.truth.salinityMin).toBeGreaterThan(34.5);
    expect(alarms(report)).toContain("top-off-not-answered");
    expect(locked(report)).toEqual(["failed-pours"]);
  });

  it("stops at the high float in the same scan; cleared only when it is dry again", () => {
    const report = tell("high-float-wet");
    expect(alarms(report)).toContain("water-over-high-mark");
    expect(report.lockouts).toMatchObject([{ reason: "high-float-wet", clearedAtH: 2.1 }]);
    expect(report.lockouts[0]?.atH).toBeLessThan(1.001);
  });

  it("does not pour on two floats whose one cable is shorted", () => {
    const report = tell("shared-cable-crushed");
    expect(report.truth.pouredL).toBeLessThan(0.2);
    expect(alarms(report)).toContain("float-failed");
  });

  it("loses a cupful when the tube slips off, and locks until somebody has wiped the floor", () => {
    const report = tell("tube-off");
    expect(report.truth.spilledL).toBeGreaterThan(0.02);
    expect(report.truth.spilledL).toBeLessThan(0.15);
    expect(alarms(report)).toContain("floor-wet");
    expect(report.lockouts).toMatchObject([{ reason: "floor-wet", clearedAtH: 3.1 }]);
  });

  it("keeps what a siphon or welded contacts bring inside the rim, because the reservoir is no larger than the box", () => {
    for (const name of ["siphon", "pump-welded-with-guard"]) {
      const report = tell(name);
      expect(report.truth.spilledL).toBe(0);
      expect(report.truth.pouredL).toBeGreaterThan(9.5);
      expect(report.truth.salinityMin).toBeGreaterThan(32.5);
      expect(locked(report)).toContain("high-float-wet");
      expect(alarms(report)).toEqual(expect.arrayContaining(["water-over-high-mark", "reservoir-empty"]));
    }
  });

  it("does not pour day and night into a clogged box", () => {
    const report = tell("weir-clogged");
    expect(report.truth.spilledL).toBe(0);
    expect(report.truth.pouredL).toBeLessThan(2);
    expect(locked(report)).toEqual(["failed-pours"]);
  });

  it("pours into an unannounced water change no more than its slices allow", () => {
    const report = tell("water-change-untold");
    expect(report.truth.pouredL).toBeLessThan(1.5);
    expect(report.truth.salinityMin).toBeGreaterThan(34.5);
    expect(report.truth.spilledL).toBe(0);
  });
});

describe("water that is withheld", () => {
  it.each([
    ["working-float-stuck-wet", "water-under-low-mark"],
    ["pump-relay-dead", "top-off-not-answered"],
  ])(
    "%s is noticed within a day, and salinity has hardly moved",
    (name, alarm) => {
      const report = tell(name);
      expect(alarms(report)).toContain(alarm);
      expect(report.truth.salinityMax).toBeLessThan(35.5);
    },
    60_000,
  );

  it("of an empty reservoir is poured again when somebody has filled it, with no clear and no dry pump", () => {
    const report = tell("reservoir-used-up");
    expect(report.alarms.find(({ id }) => id === "reservoir-empty")?.clearedAtH).toBeLessThan(24.1);
    expect(report.lockouts).toEqual([]);
    expect(report.truth.pumpDryS).toBe(0);
    expect(report.truth.pouredL).toBeGreaterThan(0.6);
  });

  it("of a standing return pump is not taken for low water", () => {
    const report = tell("return-pump-stopped");
    expect(alarms(report)).toContain("return-pump-stopped");
    expect(reasons(report)).toContain("return-pump-stopped");
    expect(report.lockouts).toEqual([]);
    expect(report.truth.peakLevelMm).toBeGreaterThan(55);
    expect(report.truth.peakLevelMm).toBeLessThan(SETTINGS.tank.highFloatMm);
  });
});

describe("heat", () => {
  it("of a welded relay is ended by the heat guard, long before the cut-out, and top-off goes on", () => {
    const report = tell("heater-welded");
    expect(report.truth.temperatureMaxC).toBeLessThan(26);
    expect(locked(report)).toEqual(["heater-welded"]);
    expect(alarms(report)).toContain("heating-while-off");
    expect(report.truth.pouredL).toBeGreaterThan(0.3);
  });

  it("that does not come is noticed within two hours on a winter night", () => {
    const report = tell("heater-dead");
    const told = report.alarms.find(({ id }) => id === "heater-no-effect");
    expect(told?.raisedAtH).toBeLessThan(3);
    expect(alarms(report)).toContain("temperature-low");
    expect(report.truth.temperatureMinC).toBeGreaterThan(19);
  });

  it("of the summer is no fault of the heater: the alarm is raised and clears by itself", () => {
    const report = tell("heatwave");
    expect(alarms(report)).toEqual(expect.arrayContaining(["temperature-high", "temperature-very-high"]));
    expect(report.lockouts).toEqual([]);
  }, 60_000);

  it.each([
    ["probe-out-of-water", "thermometers-disagree"],
    ["thermometer-bus-short", "thermometer-failed"],
  ])("goes on in safety with %s", (name, alarm) => {
    const report = tell(name);
    expect(alarms(report)).toContain(alarm);
    expect(report.truth.temperatureMaxC).toBeLessThan(25.8);
    expect(report.truth.temperatureMinC).toBeGreaterThan(23.5);
  });
});

describe("machines that fail", () => {
  it("a silent board drops everything and comes back by itself", () => {
    const report = tell("board-silent");
    expect(alarms(report)).toEqual(["board-silent"]);
    expect(report.alarms[0]?.clearedAtH).toBeLessThan(1.2);
    expect(report.lockouts).toEqual([]);
  });

  it("lost mains leave the controller awake, the level read as nothing, and no lock behind", () => {
    const report = tell("mains-lost");
    expect(alarms(report)).toContain("mains-lost");
    expect(report.lockouts).toEqual([]);
    expect(report.truth.temperatureMinC).toBeGreaterThan(23);
    expect(report.truth.pouredL).toBeGreaterThan(0.3);
  });

  it("a kill in the middle of a pour costs no litre and no lock", () => {
    const report = tell("killed-mid-pour");
    expect(report.truth.peakLevelMm).toBeLessThan(15);
    expect(report.lockouts).toEqual([]);
  });

  it("lost memory locks until a person has looked", () => {
    const report = tell("memory-lost");
    expect(report.lockouts).toMatchObject([{ reason: "memory-lost", clearedAtH: 1.5 }]);
  });
});

describe("the report", () => {
  it("is the same to the byte for the same seed, and another for another", () => {
    const { scenario } = checkScenario({ name: "twice", hours: 0.6, hands: [{ do: "hand-test", atH: 0.2 }] }, SETTINGS);
    if (scenario === null) throw new Error("refused");
    const run = (seed: number) => JSON.stringify(rehearse(scenario, { seed, settings: SETTINGS }));
    expect(run(11)).toBe(run(11));
    expect(run(11)).not.toBe(run(12));
  });

  it("has the fields of its page, in four decimals", () => {
    const { scenario } = checkScenario({ name: "short", hours: 0.1 }, SETTINGS);
    if (scenario === null) throw new Error("refused");
    const report = rehearse(scenario, { seed: 1, settings: SETTINGS });
    expect(Object.keys(report)).toEqual([
      "name",
      "seed",
      "hours",
      "scans",
      "truth",
      "alarms",
      "trips",
      "lockouts",
      "beliefs",
      "throttledH",
      "asks",
      "episodes",
      "violations",
    ]);
    const numbers = Object.values(report.truth);
    expect(numbers).toHaveLength(12);
    for (const value of numbers) expect(Math.abs(value * 1e4 - Math.round(value * 1e4))).toBeLessThan(1e-6);
  });
});
