import { describe, expect, it } from "vitest";
import { checkScenario, type Report, rehearse, type ScanPace } from "../../controller/rehearsal/index.ts";
import { SETTINGS } from "./still-tank.ts";
import { scenarioOf } from "./told-scenario.ts";

const SEED = Number(process.env.SEED ?? 1);
const run = (name: string, scans: ScanPace): Report =>
  rehearse(scenarioOf(name), { seed: SEED, settings: SETTINGS, scans });

const tripsOf = ({ trips }: Report) => trips.map(({ reason, part, latched }) => `${part} ${reason} ${latched}`);

/** A second of scanning may shift a pour, and with it what follows; what locks must lock within this. */
const SAME_H = 60 / 3600;

const TWENTY = [
  "board-silent",
  "high-float-shorted",
  "high-float-wet",
  "high-float-wire-broken",
  "killed-mid-pour",
  "low-float-stuck-dry",
  "mains-flapping",
  "mains-sensor-open",
  "memory-lost",
  "memory-old",
  "pump-relay-dead",
  "pump-welded-with-guard",
  "reports-frozen",
  "reservoir-float-wire-broken",
  "return-pump-flaps",
  "shared-cable-crushed",
  "siphon",
  "tube-off",
  "water-change-untold",
  "working-float-stuck-dry",
  "heater-welded",
];

describe("adaptive scans, once a second while nothing moves", () => {
  it.each(TWENTY)("%s: trips, locks and litres as with even scans, fewer than half the scans", (name) => {
    const even = run(name, "even");
    const adaptive = run(name, "adaptive");
    expect(adaptive.scans).toBeLessThan(even.scans * 0.5);
    expect(adaptive.violations).toEqual([]);
    expect(tripsOf(adaptive)).toEqual(tripsOf(even));
    for (const [place, { latched, atH }] of even.trips.entries()) {
      if (latched) expect(Math.abs((adaptive.trips[place]?.atH ?? Infinity) - atH)).toBeLessThan(SAME_H);
    }
    expect(Math.abs(adaptive.truth.pouredL - even.truth.pouredL)).toBeLessThan(0.15);
  });

  it("two quiet hours: fewer than 1.5 scans a second, and it pours", () => {
    const { scenario } = checkScenario({ name: "two hours", hours: 2 }, SETTINGS);
    if (scenario === null) throw new Error("refused");
    const report = rehearse(scenario, { seed: SEED, settings: SETTINGS, scans: "adaptive" });
    expect(report.scans).toBeLessThan(7200 * 1.5);
    expect(report.truth.pouredL).toBeGreaterThan(0.05);
  });

  it("high float stuck wet at 0.5 h: tripped within 0.3 s", () => {
    const fault = { kind: "float-stuck", part: "high-float", value: "wet", atH: 0.5001 };
    const { scenario } = checkScenario({ name: "a touch", hours: 0.6, faults: [fault] }, SETTINGS);
    if (scenario === null) throw new Error("refused");
    const report = rehearse(scenario, { seed: SEED, settings: SETTINGS, scans: "adaptive" });
    expect(report.trips[0]?.reason).toBe("high-float-wet");
    expect((report.trips[0]?.atH ?? 1) - 0.5001).toBeLessThan(0.3 / 3600);
  });
});
