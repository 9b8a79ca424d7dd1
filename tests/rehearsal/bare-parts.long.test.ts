import { describe, expect, it } from "vitest";
import {
  checkScenario,
  rehearse,
  rehearseBareParts,
  summaryOf,
  withBareParts,
} from "../../controller/rehearsal/index.ts";
import type { Truth } from "../../controller/rehearsal/plant/truth.ts";
import { SETTINGS } from "./still-tank.ts";

function scenarioWith(faults: object[], hours = 3, more: object = {}) {
  const { scenario, errors } = checkScenario({ name: "A tank", hours, faults, ...more }, SETTINGS);
  if (scenario === null) throw new Error(JSON.stringify(errors));
  return scenario;
}
const options = { seed: 1, settings: SETTINGS };
const bare = (faults: object[], hours?: number, more?: object): Truth =>
  rehearseBareParts(scenarioWith(faults, hours, more), options);
const ours = (faults: object[], hours?: number, more?: object): Truth =>
  rehearse(scenarioWith(faults, hours, more), { ...options, scans: "adaptive" }).truth;

/** What bare parts do is *common practice*: a float that closes when it hangs low, a thermostat with one probe. */
describe("bare parts", () => {
  it("nothing broken, 6 h: no spill, poured as evaporated within 0.15 L, 24.8 to 25.2 °C", () => {
    const truth = bare([], 6);
    expect(truth.spilledL).toBe(0);
    expect(Math.abs(truth.pouredL - truth.evaporatedL)).toBeLessThan(0.15);
    expect(truth.temperatureMinC).toBeGreaterThan(24.8);
    expect(truth.temperatureMaxC).toBeLessThan(25.2);
  });

  it.each([
    ["a float stuck dry", { kind: "float-stuck", part: "working-float", value: "dry" }, 9.9],
    ["a float whose wires touch", { kind: "float-short", part: "working-float" }, 9.9],
    ["a welded relay", { kind: "relay-welded", part: "top-off-pump" }, 9.9],
    ["a float whose wire is broken", { kind: "float-open-circuit", part: "working-float" }, 0],
    ["a float stuck wet", { kind: "float-stuck", part: "working-float", value: "wet" }, 0],
  ])("%s: %j: %d L poured, ours less than 2 L", (_, fault, pouredL) => {
    const alone = bare([fault]);
    expect(alone.pouredL).toBeGreaterThanOrEqual(pouredL);
    expect(alone.pouredL).toBeLessThan(pouredL + 0.2);
    expect(ours([fault]).pouredL).toBeLessThan(2);
  });

  it("high float stuck wet: nothing changes; tube off: 9.9 L on the floor, ours less than 0.2 L", () => {
    const wet = { kind: "float-stuck", part: "high-float", value: "wet" };
    expect(bare([wet])).toEqual(bare([]));
    expect(bare([{ kind: "tube-off" }]).spilledL).toBeGreaterThan(9.9);
    expect(ours([{ kind: "tube-off" }]).spilledL).toBeLessThan(0.2);
  });

  it("water change of 14 L: salinity below 33.5, ours above 34.9", () => {
    const change = { hands: [{ do: "water-change", atH: 0.5, litres: 14 }] };
    expect(bare([], 1.5, change).salinityMin).toBeLessThan(33.5);
    expect(ours([], 1.5, change).salinityMin).toBeGreaterThan(34.9);
  });

  it.each([
    ["probe-open", true],
    ["probe-power-on-value", false],
    ["probe-short", false],
  ])("%s of their one probe: heats on %s; of the second one: nothing changes", (kind, heats) => {
    const truth = bare([{ kind, part: "thermometer-1" }], 4);
    if (heats) expect(truth.temperatureMaxC).toBeGreaterThan(25.9);
    else expect(truth.temperatureMinC).toBeLessThan(23.7);
    expect(bare([{ kind, part: "thermometer-2" }], 4)).toEqual(bare([], 4));
  });

  it("heater welded and its thermostat stuck: above 28 °C, ours below 26 °C", () => {
    const faults = [{ kind: "relay-welded", part: "heater-1" }, { kind: "heater-thermostat-stuck" }];
    expect(bare(faults, 6).temperatureMaxC).toBeGreaterThan(28);
    expect(ours(faults, 6).temperatureMaxC).toBeLessThan(26);
  });

  it("board silent, reports frozen, controller killed, memory lost: nothing changes", () => {
    const faults = [
      { kind: "board-silent", atH: 0.5 },
      { kind: "reports-frozen", atH: 0.6 },
      { kind: "controller-killed", atH: 1, value: 3600 },
      { kind: "memory-lost" },
    ];
    expect(bare(faults)).toEqual(bare([]));
  });

  it("same seed: same truth; another: another", () => {
    expect(bare([])).toEqual(bare([]));
    expect(rehearseBareParts(scenarioWith([]), { ...options, seed: 2 })).not.toEqual(bare([]));
  });
});

describe("a report beside bare parts", () => {
  it("tube off: report has both truths, rounded, and its summary tells 9.97 L on the floor of the bare ones", () => {
    const scenario = scenarioWith([{ kind: "tube-off" }], 2);
    const alone = rehearse(scenario, options);
    const report = withBareParts(alone, scenario, options);
    expect(report).toMatchObject(alone);
    expect(Object.keys(report)).toEqual([...Object.keys(alone), "bare"]);
    expect(report.bare?.truth.spilledL).toBe(9.97);
    const words = summaryOf(report);
    expect(words).toContain("With a bare float, relay and thermostat the same tank would have come to:");
    expect(words).toMatch(/9\.97 L on the floor, 0\.00 L poured/);
    expect(summaryOf(alone)).not.toContain("bare");
  });
});
