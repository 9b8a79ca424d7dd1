import { describe, expect, it } from "vitest";
import {
  checkScenario,
  createTrace,
  plotOf,
  rehearse,
  settingsOf,
  withBareParts,
} from "../../controller/rehearsal/index.ts";
import { hourTicks, hourWords, spanOf, ticks } from "../../controller/rehearsal/plot/scale.ts";
import { SETTINGS } from "./still-tank.ts";

function drawn(raw: object, beside = false) {
  const { scenario, errors } = checkScenario({ name: "A picture", hours: 1.5, ...raw }, SETTINGS);
  if (scenario === null) throw new Error(JSON.stringify(errors));
  const options = { seed: 1, settings: SETTINGS };
  const trace = createTrace(scenario.hours);
  const bare = beside ? createTrace(scenario.hours) : null;
  const alone = rehearse(scenario, { ...options, watch: trace.see });
  const report = bare === null ? alone : withBareParts(alone, scenario, { ...options, watch: bare.see });
  return { trace, report, svg: plotOf({ report, scenario, settings: settingsOf(scenario, SETTINGS), trace, bare }) };
}

/** Every tag is closed in its order: what a strict reader of XML asks for, as far as one needs it here. */
function expectWellFormed(svg: string): void {
  const open: string[] = [];
  for (const [, close, name, itself] of svg.matchAll(/<(\/?)([a-z]+)[^<>]*?(\/?)>/g)) {
    if (close === "/") expect(open.pop()).toBe(name);
    else if (itself !== "/") open.push(name as string);
  }
  expect(open).toEqual([]);
  expect(svg).not.toMatch(/NaN|Infinity|undefined/);
}

describe("a trace", () => {
  it("1.5 h with the tube off: 720 columns with every extreme of the truth", () => {
    const { trace, report } = drawn({ faults: [{ kind: "tube-off", atH: 0.2 }] });
    const { truth } = report;
    const most = (of: (column: (typeof trace.columns)[number]) => number) => Math.max(...trace.columns.map(of));
    expect(trace.columns).toHaveLength(720);
    expect(most(({ temperatureMaxC }) => temperatureMaxC)).toBeCloseTo(truth.temperatureMaxC, 3);
    expect(-most(({ temperatureMinC }) => -temperatureMinC)).toBeCloseTo(truth.temperatureMinC, 3);
    expect(most(({ salinityMax }) => salinityMax)).toBeCloseTo(truth.salinityMax, 3);
    expect(trace.columns.at(-1)?.spilledL).toBeCloseTo(truth.spilledL, 3);
    const heatedH = trace.columns.reduce((sum, { heaterShare }) => sum + heaterShare * trace.columnH, 0);
    expect(heatedH).toBeCloseTo(truth.heaterOnH, 3);
  });

  it("36 s: 36 columns", () => {
    expect(drawn({ hours: 0.01 }).trace.columns).toHaveLength(36);
  });
});

describe("a plot", () => {
  it("high float stuck wet and cleared: curves, faults, hands, locks and alarms are labelled", () => {
    const { svg } = drawn({
      faults: [{ kind: "float-stuck", part: "high-float", value: "wet", atH: 0.5, untilH: 1 }],
      hands: [{ do: "clear", atH: 1.2 }],
    });
    expectWellFormed(svg);
    for (const words of [
      "Temperature",
      "Salinity",
      "Level in the last chamber",
      "Litres since the start",
      "setpoint 25 °C",
      "heater on",
      "water pumped",
      "float-stuck high-float wet",
      "clear",
      "top-off locked: The water reaches the high float.",
      "▲ Water over the high mark (high)",
      "no water on the floor",
    ]) {
      expect(svg).toContain(words);
    }
    expect(svg).not.toContain("bare");
    expect(svg).not.toContain("on the floor</text>");
  });

  it("beside bare parts: they are drawn dashed and labelled", () => {
    const { svg } = drawn({ faults: [{ kind: "tube-off", atH: 0.2 }] }, true);
    expectWellFormed(svg);
    for (const words of ["bare parts", "bare pump on", "on the floor, bare parts", "stroke-dasharray"]) {
      expect(svg).toContain(words);
    }
  });

  it("0.3 h without any event: says that nothing broke", () => {
    expect(drawn({ hours: 0.3 }).svg).toContain("Nothing broke, nothing was stopped, nobody was called.");
  });

  it("name of tags and control characters: escaped, well formed", () => {
    const { svg } = drawn({ name: `<script>alert("&")</script>\u0000\u001b`, hours: 0.05 });
    expectWellFormed(svg);
    expect(svg).toContain("&lt;script&gt;alert(&quot;&amp;&quot;)&lt;/script&gt;");
    for (const control of ["\u0000", "\u001b"]) expect(svg).not.toContain(control);
  });

  it("same run: same bytes; 30 faults: 19 of them left to the report", () => {
    const faults = Array.from({ length: 30 }, (_, place) => ({
      kind: "controller-killed",
      atH: 0.01 + place / 100,
      value: place + 1,
    }));
    const { svg } = drawn({ faults, hours: 0.5 });
    expect(svg).toContain("… and 19 more, in the report");
    expect(drawn({ faults, hours: 0.5 }).svg).toBe(svg);
  });
});

describe("scales", () => {
  it("24.4 to 25.6 in 4: 24.5, 25, 25.5; no value or one: a span of 2", () => {
    expect(ticks(24.4, 25.6, 4)).toEqual([24.5, 25, 25.5]);
    expect(ticks(-3, 82, 4)).toEqual([0, 25, 50, 75]);
    expect(spanOf([], 2)).toEqual([0, 2]);
    expect(spanOf([5], 2)).toEqual([4, 6]);
  });

  it("24 h: every 2 h; up to 100,000 h: fewer than 14 marks; words for minutes, hours, days", () => {
    expect(hourTicks(24)).toEqual([0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24]);
    for (const hours of [0.01, 0.3, 1, 5, 48, 100, 8760, 100_000]) expect(hourTicks(hours).length).toBeLessThan(14);
    expect(hourWords(0.5, 0.9)).toBe("30 min");
    expect(hourWords(6, 24)).toBe("6 h");
    expect(hourWords(48, 100)).toBe("day 2");
  });
});
