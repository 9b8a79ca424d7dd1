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
  it("quiet-day, 24 h of even scans: no alarm, no trip, no spill; poured as evaporated, 34.9 to 35.1, 24.7 to 25.8 °C", () => {
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

  it("water-change, told: no alarm, salinity above 34.9", () => {
    const report = tell("water-change");
    expect(report.alarms).toEqual([]);
    expect(report.truth.salinityMin).toBeGreaterThan(34.9);
  });
});

describe("water that could flood the house", () => {
  it("working float stuck dry: less than 2 L poured, no spill, alarm, locked as failed-pours", () => {
    const report = tell("working-float-stuck-dry");
    expect(report.truth.spilledL).toBe(0);
    expect(report.truth.pouredL).toBeLessThan(2);
    expect(report.truth.salinityMin).toBeGreaterThan(34.5);
    expect(alarms(report)).toContain("top-off-not-answered");
    expect(locked(report)).toEqual(["failed-pours"]);
  });

  it("high float stuck wet at 1 h: locked within 4 s, alarm, cleared once it is dry", () => {
    const report = tell("high-float-wet");
    expect(alarms(report)).toContain("water-over-high-mark");
    expect(report.lockouts).toMatchObject([{ reason: "high-float-wet", clearedAtH: 2.1 }]);
    expect(report.lockouts[0]?.atH).toBeLessThan(1.001);
  });

  it("both floats' cable shorted: less than 0.2 L poured, alarm float-failed", () => {
    const report = tell("shared-cable-crushed");
    expect(report.truth.pouredL).toBeLessThan(0.2);
    expect(alarms(report)).toContain("float-failed");
  });

  it("tube off: 0.02 to 0.15 L on the floor, alarm, locked as floor-wet until wiped and cleared", () => {
    const report = tell("tube-off");
    expect(report.truth.spilledL).toBeGreaterThan(0.02);
    expect(report.truth.spilledL).toBeLessThan(0.15);
    expect(alarms(report)).toContain("floor-wet");
    expect(report.lockouts).toMatchObject([{ reason: "floor-wet", clearedAtH: 3.1 }]);
  });

  it("siphon, or pump and guard welded: reservoir of 9.5 L in the tank, no spill, above 32.5, locked and told", () => {
    for (const name of ["siphon", "pump-welded-with-guard"]) {
      const report = tell(name);
      expect(report.truth.spilledL).toBe(0);
      expect(report.truth.pouredL).toBeGreaterThan(9.5);
      expect(report.truth.salinityMin).toBeGreaterThan(32.5);
      expect(locked(report)).toContain("high-float-wet");
      expect(alarms(report)).toEqual(expect.arrayContaining(["water-over-high-mark", "reservoir-empty"]));
    }
  });

  it("weir clogged: less than 2 L poured, no spill, locked as failed-pours", () => {
    const report = tell("weir-clogged");
    expect(report.truth.spilledL).toBe(0);
    expect(report.truth.pouredL).toBeLessThan(2);
    expect(locked(report)).toEqual(["failed-pours"]);
  });

  it("water change that nobody told: less than 1.5 L poured, above 34.5, no spill", () => {
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
    "%s: alarm %s, salinity below 35.5",
    (name, alarm) => {
      const report = tell(name);
      expect(alarms(report)).toContain(alarm);
      expect(report.truth.salinityMax).toBeLessThan(35.5);
    },
    60_000,
  );

  it("reservoir used up and refilled at 24 h: no lock, pump never dry, more than 0.6 L poured", () => {
    const report = tell("reservoir-used-up");
    expect(report.alarms.find(({ id }) => id === "reservoir-empty")?.clearedAtH).toBeLessThan(24.1);
    expect(report.lockouts).toEqual([]);
    expect(report.truth.pumpDryS).toBe(0);
    expect(report.truth.pouredL).toBeGreaterThan(0.6);
  });

  it("return pump stopped: alarm and trip, no lock, level 55 mm up and below the high float", () => {
    const report = tell("return-pump-stopped");
    expect(alarms(report)).toContain("return-pump-stopped");
    expect(reasons(report)).toContain("return-pump-stopped");
    expect(report.lockouts).toEqual([]);
    expect(report.truth.peakLevelMm).toBeGreaterThan(55);
    expect(report.truth.peakLevelMm).toBeLessThan(SETTINGS.tank.highFloatMm);
  });
});

describe("heat", () => {
  it("relay welded, guard whole: heated by the guard, 24 to 26 °C, no lock, alarm, top-off goes on", () => {
    const report = tell("heater-welded");
    expect(report.truth.temperatureMinC).toBeGreaterThan(24);
    expect(report.truth.temperatureMaxC).toBeLessThan(26);
    expect(locked(report)).toEqual([]);
    expect(alarms(report)).toContain("heating-while-off");
    expect(report.truth.pouredL).toBeGreaterThan(0.3);
  });

  it("heater dead on a winter night: heater-no-effect within 3 h, temperature-low, above 19 °C", () => {
    const report = tell("heater-dead");
    const told = report.alarms.find(({ id }) => id === "heater-no-effect");
    expect(told?.raisedAtH).toBeLessThan(3);
    expect(alarms(report)).toContain("temperature-low");
    expect(report.truth.temperatureMinC).toBeGreaterThan(19);
  });

  it("heatwave: temperature-high and very-high, no lock", () => {
    const report = tell("heatwave");
    expect(alarms(report)).toEqual(expect.arrayContaining(["temperature-high", "temperature-very-high"]));
    expect(report.lockouts).toEqual([]);
  }, 60_000);

  it.each([
    ["probe-out-of-water", "thermometers-disagree"],
    ["thermometer-bus-short", "thermometer-failed"],
  ])("%s: alarm %s, 23.5 to 25.8 °C", (name, alarm) => {
    const report = tell(name);
    expect(alarms(report)).toContain(alarm);
    expect(report.truth.temperatureMaxC).toBeLessThan(25.8);
    expect(report.truth.temperatureMinC).toBeGreaterThan(23.5);
  });
});

describe("board, mains, process and memory", () => {
  it("board silent: alarm board-silent, cleared by itself, no lock", () => {
    const report = tell("board-silent");
    expect(alarms(report)).toEqual(["board-silent"]);
    expect(report.alarms[0]?.clearedAtH).toBeLessThan(1.2);
    expect(report.lockouts).toEqual([]);
  });

  it("mains lost: alarm, no lock, above 23 °C, more than 0.3 L poured in the end", () => {
    const report = tell("mains-lost");
    expect(alarms(report)).toContain("mains-lost");
    expect(report.lockouts).toEqual([]);
    expect(report.truth.temperatureMinC).toBeGreaterThan(23);
    expect(report.truth.pouredL).toBeGreaterThan(0.3);
  });

  it("killed in the middle of a pour: level below 15 mm, no lock", () => {
    const report = tell("killed-mid-pour");
    expect(report.truth.peakLevelMm).toBeLessThan(15);
    expect(report.lockouts).toEqual([]);
  });

  it("memory lost: locked as memory-lost until cleared at 1.5 h", () => {
    const report = tell("memory-lost");
    expect(report.lockouts).toMatchObject([{ reason: "memory-lost", clearedAtH: 1.5 }]);
  });
});

describe("the report", () => {
  it("same seed: same bytes; another: others", () => {
    const { scenario } = checkScenario({ name: "twice", hours: 0.6, hands: [{ do: "hand-test", atH: 0.2 }] }, SETTINGS);
    if (scenario === null) throw new Error("refused");
    const run = (seed: number) => JSON.stringify(rehearse(scenario, { seed, settings: SETTINGS }));
    expect(run(11)).toBe(run(11));
    expect(run(11)).not.toBe(run(12));
  });

  it("short run: the ten fields of the page, twelve truths in four decimals", () => {
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
