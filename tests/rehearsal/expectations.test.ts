import { describe, expect, it } from "vitest";
import { EXPECTATIONS } from "../../controller/rehearsal/expectations.ts";
import { FAULT_KINDS } from "../../controller/rehearsal/faults/table.ts";
import { HEALTHY_FILES, healthyScenario } from "../promises/healthy-scenarios.ts";
import { describeScenarios, TWELVE } from "./lived-scenarios.ts";
import { SCENARIO_FILES, scenarioOf } from "./told-scenario.ts";

const ROWS = EXPECTATIONS.flatMap(({ rows }) => rows);

describeScenarios((scenario) => TWELVE.includes(scenario));

describe("the rows of expectations", () => {
  it("scenario files: each has one row", () => {
    expect(ROWS.map(({ scenario }) => scenario).sort()).toEqual([...SCENARIO_FILES].sort());
  });

  it("kinds of fault: each is in some scenario", () => {
    const all = [...SCENARIO_FILES.map(scenarioOf), ...HEALTHY_FILES.map(healthyScenario)];
    const shown = new Set(all.flatMap(({ faults }) => faults.map(({ kind }) => kind)));
    expect(FAULT_KINDS.map(({ kind }) => kind).filter((kind) => !shown.has(kind))).toEqual([]);
  });

  // Ways of failing of top-off, level and heat, as keepers list them (*common practice*).
  it.each([
    ["working float stuck low", "working-float-stuck-dry"],
    ["working float stuck high", "working-float-stuck-wet"],
    ["working float's wire open", "working-float-wire-broken"],
    ["high float stuck, unnoticed", "high-float-stuck-dry"],
    ["both floats fouled", "both-floats-fouled"],
    ["float chatters", "working-float-chatters"],
    ["relay welded", "pump-welded"],
    ["relay stuck off", "pump-relay-dead"],
    ["pump worn", "pump-worn"],
    ["pump blocked", "pump-blocked"],
    ["pump runs dry", "reservoir-float-stuck-wet"],
    ["siphon", "siphon"],
    ["tube out of the tank", "tube-off"],
    ["reservoir empty", "reservoir-empty"],
    ["reservoir filled with salt water", "reservoir-salty"],
    ["return pump stops", "return-pump-stopped"],
    ["grid clogs", "chamber-clogged"],
    ["weir clogs and is cleaned", "weir-cleaned"],
    ["salt water leaves", "tank-leak"],
    ["skimming takes salt", "salt-loss"],
    ["water change in progress", "water-change-untold"],
    ["hold that nobody ended", "hold-forgotten"],
    ["power loss", "mains-lost"],
    ["controller dies with an output on", "killed-mid-pour"],
    ["broker lost", "broker-down"],
    ["clock jumps", "clock-jump"],
    ["double fault", "float-stuck-and-pump-welded"],
    ["heater welded on", "heater-welded"],
    ["heater dead", "heater-dead"],
    ["heater out of the water", "heater-uncovered"],
    ["probe out of the water", "probe-out-of-water"],
    ["probe at its power-on value", "thermometer-power-on-value"],
    ["no device", "thermometer-open"],
    ["all-zero scratchpad", "thermometer-bus-short"],
    ["probe repeats itself", "thermometer-frozen"],
    ["probe shorted", "thermometer-shorted"],
  ])("%s: has the row %s", (_, scenario) => {
    expect(ROWS.map((row) => row.scenario)).toContain(scenario);
  });
});
