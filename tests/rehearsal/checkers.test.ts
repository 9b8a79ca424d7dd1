import { describe, expect, it } from "vitest";
import type { Core } from "../../controller/rehearsal/controller.ts";
import { checkScenario, REAL_CORE, type Report, rehearseWith } from "../../controller/rehearsal/index.ts";
import type { Step } from "../../controller/scan/step.ts";
import type { Commands, ScanRecord } from "../../shared/contract/index.ts";
import { SETTINGS } from "./still-tank.ts";

/**
 * A check that cannot fail is a defect: each of these cores breaks one rule on purpose, and the checker of that rule
 * must see it. They are the real core with one thing bent.
 */
function bent(bend: (step: Step, scan: number, ...rest: Parameters<Core["step"]>) => Partial<Step>): Core {
  let scan = 0;
  return {
    ...REAL_CORE,
    step: (memory, image, settings) => {
      const step = REAL_CORE.step(memory, image, settings);
      scan += 1;
      return { ...step, ...bend(step, scan, memory, image, settings) };
    },
  };
}

function run(core: Core, raw: object): Report {
  const { scenario, errors } = checkScenario({ name: "bent", hours: 0.5, ...raw }, SETTINGS);
  if (scenario === null) throw new Error(JSON.stringify(errors));
  return rehearseWith(core, scenario, { seed: 1, settings: SETTINGS });
}

const broken = (report: Report): string[] => [...new Set(report.violations.map(({ invariant }) => invariant))].sort();
const on = (commands: Commands, ...parts: (keyof Commands)[]): Commands => ({
  ...commands,
  ...Object.fromEntries(parts.map((part) => [part, true])),
});
const topOff = (record: ScanRecord, change: Partial<ScanRecord["topOff"]>): ScanRecord => ({
  ...record,
  topOff: { ...record.topOff, ...change },
});

describe("the checkers", () => {
  it("real core, 1.5 h: no violation", () => {
    expect(run(REAL_CORE, { hours: 1.5 }).violations).toEqual([]);
  });

  it("S1: pump on while resting: violation that names the state, once and not in every scan", () => {
    const report = run(
      bent(({ commands }, scan) => (scan > 4000 ? { commands: on(commands, "top-off-pump", "water-guard") } : {})),
      {},
    );
    const said = report.violations.filter(({ invariant }) => invariant === "S1").map(({ detail }) => detail);
    expect(said).toContain("the pump is on in the state resting");
    expect(said.length).toBeLessThan(5);
  });

  it("S1: pump on without a charge: violation; a disk that claims to be done: the real core pours with its charge", () => {
    const never: Core = {
      ...REAL_CORE,
      step: (memory, image, settings) => REAL_CORE.step(memory, { ...image, durableSequence: 1e9 }, settings),
    };
    // The real controller stands before a disk that claims to be done; the checker looks at the disk itself.
    const report = run(never, { hours: 1.5 });
    expect(report.violations.map(({ detail }) => detail)).not.toContain("the pump starts before its charge is on disk");
    const eager = bent(({ commands, record }, scan) => {
      if (scan !== 3000) return {};
      return { commands: on(commands, "top-off-pump", "water-guard"), record: topOff(record, { state: "pouring" }) };
    });
    expect(run(eager, {}).violations.map(({ detail }) => detail)).toContain("the pump starts without a charge");
  });

  it.each([
    ["float-stuck", "high-float", "wet", "high-float reads true"],
    ["float-open-circuit", "working-float", undefined, "working-float reports open-circuit"],
  ])("S1: pump on despite %s of the %s: violation", (kind, part, value, detail) => {
    const deaf = bent(({ commands, record }, scan) =>
      scan > 6000
        ? {
            commands: on(commands, "top-off-pump", "water-guard"),
            record: topOff(record, { state: "pouring", latch: null, waterGuardLatch: null }),
          }
        : {},
    );
    const faults = [
      { kind: "float-stuck", part: "working-float", value: "dry" },
      { kind, part, ...(value === undefined ? {} : { value }), atH: 0.45 },
    ];
    expect(run(deaf, { faults }).violations.some((violation) => violation.detail.includes(detail))).toBe(true);
  });

  it("S2: pump on in every scan: violation", () => {
    const thirsty = bent(({ commands }) => ({ commands: on(commands, "top-off-pump", "water-guard") }));
    expect(broken(run(thirsty, {}))).toContain("S2");
  });

  it("S3: latch gone without a clear, or pump on behind it: violation", () => {
    const forgetful = bent(({ record }, scan) => (scan > 5000 ? { record: topOff(record, { latch: null }) } : {}));
    const faults = [{ kind: "float-stuck", part: "high-float", value: "wet", atH: 0.3 }];
    const report = run(forgetful, { faults });
    expect(broken(report)).toEqual(["S3"]);
    expect(report.violations[0]?.detail).toBe("high-float-wet vanished and nobody cleared it");
    const stubborn = bent(({ commands }, scan) =>
      scan > 6000 ? { commands: on(commands, "top-off-pump", "water-guard") } : {},
    );
    expect(broken(run(stubborn, { faults }))).toContain("S3");
  });

  it("S3: latch lost by a restart: violation; real core: none", () => {
    const amnesiac: Core = { ...REAL_CORE, restored: (_, settings) => REAL_CORE.provenMemory(settings) };
    const faults = [
      { kind: "float-stuck", part: "high-float", value: "wet", atH: 0.2, untilH: 0.25 },
      { kind: "controller-killed", atH: 0.3, value: 5 },
    ];
    expect(broken(run(amnesiac, { faults }))).toContain("S3");
    expect(run(REAL_CORE, { faults }).violations).toEqual([]);
  });

  it("S4: heater on without a temperature, in 30 °C or behind an open guard: violation", () => {
    const blind = bent(({ commands }, scan) =>
      scan > 3000 ? { commands: on(commands, "heater-1", "heat-guard") } : {},
    );
    const faults = [
      { kind: "thermometer-bus-short", atH: 0.1 },
      { kind: "probe-open", part: "conductivity-probe", atH: 0.1 },
    ];
    expect(run(blind, { faults }).violations[0]?.detail).toContain("no temperature can be trusted");
    const hot = run(blind, { start: { temperatureC: 30 } });
    expect(hot.violations.some(({ invariant, detail }) => invariant === "S4" && detail.includes("°C"))).toBe(true);
    const open = bent(({ commands }, scan) =>
      scan > 3000 ? { commands: { ...commands, "heater-1": true, "heat-guard": false } } : {},
    );
    expect(broken(run(open, {}))).toContain("S4");
  });

  it("S5a: heater on in scan 100 of a start: violation", () => {
    const hasty = bent(({ commands }, scan) =>
      scan === 100 ? { commands: on(commands, "heater-1", "heat-guard") } : {},
    );
    expect(run(hasty, { hours: 0.1 }).violations[0]?.invariant).toBe("S5a");
  });

  it("step throws in scan 2001: violation with its message, outputs expire", () => {
    const falls = bent((_, scan) => {
      if (scan > 2000) throw new Error("the bucket is below zero");
      return {};
    });
    const report = run(falls, {});
    expect(report.violations).toEqual([{ invariant: "assertion", atH: 0.1389, detail: "the bucket is below zero" }]);
    expect(report.scans).toBe(2000);
    expect(report.truth.heaterOnH).toBeLessThan(0.14);
  });
});
