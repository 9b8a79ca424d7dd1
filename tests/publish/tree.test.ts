import { describe, expect, it } from "vitest";
import { treeOf } from "../../controller/publish/index.ts";
import { type AlarmStatus, alarmNode, NODES, type Node, type ScanRecord } from "../../shared/contract/index.ts";
import { silent, wellRecord, withHeater } from "../record/scan-record.ts";
import { CONTEXT, FLOOR_WET, NOW_MS } from "./context.ts";

const well = wellRecord();
const tell = (changes: Partial<ScanRecord>, details: Record<string, string> = {}) => {
  const tree = treeOf(wellRecord(changes), { ...CONTEXT, alarmDetails: details });
  return (path: string) => tree.get(`homie/5/reef-box/${path}`);
};
const alarm = (changes: Partial<AlarmStatus>): AlarmStatus => ({
  id: "floor-wet",
  priority: "high",
  state: "unacknowledged",
  active: true,
  forMs: 90_000,
  first: true,
  timesInHour: 1.26,
  ...changes,
});

describe("tree of a healthy box", () => {
  const tree = treeOf(well, CONTEXT);

  it("every property of the contract but requests, one alert topic for the alarm, nothing else", () => {
    const { request: _, ...nodes } = NODES;
    const expected = Object.entries({ ...nodes, "alarm-floor-wet": alarmNode("") }).flatMap(([node, { properties }]) =>
      Object.keys(properties).map((property) => `homie/5/reef-box/${node}/${property}`),
    );
    expect([...tree.keys()].filter((topic) => !topic.includes("$alert")).sort()).toEqual(expected.sort());
    expect([...tree.keys()].filter((topic) => topic.includes("$alert"))).toEqual(["homie/5/reef-box/$alert/floor-wet"]);
  });

  it.each([
    ["box/sentence", "All is well."],
    ["box/water", "rehearsal"],
    ["box/clock", "2026-03-01T12:00:00Z"],
    ["temperature/value", "25.05"],
    ["temperature/quality", "good"],
    ["temperature/doubt", ""],
    ["temperature/uncertainty", "0.25"],
    ["temperature/measured-at", "2026-03-01T12:00:00Z"],
    ["temperature/last-value", "25.05"],
    ["salinity/value", "35.01"],
    ["conductivity/value", "53.123"],
    ["specific-gravity/value", "1.0265"],
    ["working-float/position", "full"],
    ["high-float/position", "dry"],
    ["low-float/position", "covered"],
    ["reservoir-float/position", "has-water"],
    ["floor-sensor/position", "dry"],
    ["mains-sensor/position", "power"],
    ["return-sensor/position", "running"],
    ["level/state", "at-mark"],
    ["level/from-mm", "-5.0"],
    ["top-off/state", "resting"],
    ["top-off/why", "The water stands at its mark."],
    ["top-off/blockers", ""],
    ["top-off/latch", ""],
    ["top-off/latch-number", ""],
    ["top-off/clearable", "false"],
    ["top-off/reservoir-days", "2.1"],
    ["heat/duty", "31.2"],
    ["hold/active", "false"],
    ["hold/until", ""],
    ["top-off-pump/on", "false"],
    ["heat-guard/closed", "true"],
    ["source-water/value", "0.2"],
    ["source-water/quality", "good"],
    ["source-water/uncertainty", "0.5"],
    ["source-water/litres-since-change", "123.46"],
    ["source-water/days-since-change", "60.0"],
    ["scan/count", "42"],
    ["parts/connections", "Board io on /dev/ttyACM0: ready. Line probes on /dev/ttyUSB0: ready."],
    ["scan/stopped", ""],
    ["alarm-floor-wet/state", "normal"],
    ["alarm-floor-wet/priority", "high"],
    ["alarm-floor-wet/message", ""],
    ["$alert/floor-wet", ""],
  ])("%s is %j", (path, text) => {
    expect(tree.get(`homie/5/reef-box/${path}`)).toBe(text);
  });
});

describe("tree of a box in trouble", () => {
  it("temperature silent: no value, no uncertainty; bad, why, last value and its time", () => {
    const told = tell({ quantities: { ...well.quantities, temperature: silent(24.87) } });
    expect(told("temperature/value")).toBe("");
    expect(told("temperature/quality")).toBe("bad");
    expect(told("temperature/doubt")).toBe("does not answer");
    expect(told("temperature/uncertainty")).toBe("");
    expect(told("temperature/last-value")).toBe("24.87");
    expect(told("temperature/measured-at")).toBe("2026-03-01T11:59:29Z");
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])("a temperature of %d: empty", (value) => {
    const broken = { ...well.quantities.temperature, value, uncertainty: value, lastValue: value, ageMs: value };
    const tree = treeOf(wellRecord({ quantities: { ...well.quantities, temperature: broken } }), CONTEXT);
    for (const text of tree.values()) expect(text).not.toMatch(/NaN|Infinity|Invalid/);
    expect(tree.get("homie/5/reef-box/temperature/value")).toBe("");
  });

  it("high float stale: unknown with its reason; low float not fitted: not-fitted without one", () => {
    const unknown = { position: "unknown", doubt: "stale", ageMs: 5_000, chattering: false } as const;
    const missing = { ...unknown, doubt: "not-fitted" } as const;
    const told = tell({ contacts: { ...well.contacts, "high-float": unknown, "low-float": missing } });
    expect(told("high-float/position")).toBe("unknown");
    expect(told("high-float/doubt")).toBe("has stopped reporting");
    expect(told("low-float/position")).toBe("not-fitted");
    expect(told("low-float/doubt")).toBe("");
    expect(told("low-float/measured-at")).toBe("");
  });

  it("water guard locked as number 3: its words, number, where cleared; blockers in words", () => {
    const latch = { reason: "unordered-water", occurrence: 3, clearable: true, atTank: true } as const;
    const told = tell({ topOff: { ...well.topOff, waterGuardLatch: latch, blockers: ["hold", "mains-lost"] } });
    expect(told("top-off/latch")).toMatch(
      /^Water arrived that nobody ordered\..*It can be cleared only at the tank\.$/,
    );
    expect(told("top-off/latch-number")).toBe("3");
    expect(told("top-off/clearable")).toBe("true");
    expect(told("top-off/blockers")).toMatch(/^Hands are in the tank.*The mains power is off\.$/);
  });

  it("heater without effect, no lock: its words and number 4; a lock: the lock's instead", () => {
    const finding = { reason: "heater-no-effect", occurrence: 4, clearable: true, atTank: false } as const;
    const told = tell(withHeater({ finding }));
    expect(told("heat/latch")).toMatch(
      /^The heater was on for an hour.*part of the time until .* a person clears this\.$/,
    );
    expect(told("heat/latch-number")).toBe("4");
    const latch = { reason: "heat-cut-out", occurrence: 5, clearable: true, atTank: true } as const;
    expect(tell(withHeater({ latch }))("heat/latch")).toMatch(/only at the tank\.$/);
  });

  it("hold with 90 s left: ends at 12:01:30, with heat", () => {
    const told = tell({ hold: { active: true, withHeat: true, leftMs: 90_000, question: false, questionForMs: 0 } });
    expect(told("hold/until")).toBe("2026-03-01T12:01:30Z");
    expect(told("hold/with-heat")).toBe("true");
  });

  it("floor wet: state, since, detail with cause, what to do, first, times; alert with title and what to do", () => {
    const told = tell({ alarms: [alarm({})] }, { "floor-wet": "the floor sensor under the box" });
    expect(told("alarm-floor-wet/state")).toBe("unacknowledged");
    expect(told("alarm-floor-wet/since")).toBe("2026-03-01T11:58:30Z");
    expect(told("alarm-floor-wet/message")).toBe(
      `The floor sensor under the box. ${FLOOR_WET.cause} ${FLOOR_WET.consequence}`,
    );
    expect(told("alarm-floor-wet/what-to-do")).toBe(FLOOR_WET.whatToDo);
    expect(told("alarm-floor-wet/first-up")).toBe("true");
    expect(told("alarm-floor-wet/times-in-hour")).toBe("1.3");
    expect(told("$alert/floor-wet")).toBe(`${FLOOR_WET.title}. ${FLOOR_WET.whatToDo}`);
  });

  it.each([
    [{ state: "returned", active: false }, ""],
    [{ state: "suppressed", active: true }, ""],
    [{ state: "acknowledged", active: true }, `${FLOOR_WET.title}. ${FLOOR_WET.whatToDo}`],
  ] as const)("alarm %o: alert %j", (changes, alert) => {
    expect(tell({ alarms: [alarm(changes)] })("$alert/floor-wet")).toBe(alert);
  });

  it("scan stopped: its reason", () => {
    const tree = treeOf(well, { ...CONTEXT, scans: { ...CONTEXT.scans, stopped: "An invariant broke." } });
    expect(tree.get("homie/5/reef-box/scan/stopped")).toBe("An invariant broke.");
  });
});

describe("texts of the tree", () => {
  it("healthy and in trouble: each fits datatype and format of its description", () => {
    const latch = { reason: "floor-wet", occurrence: 1, clearable: true, atTank: true } as const;
    const trouble = wellRecord({
      quantities: { ...well.quantities, salinity: silent(35) },
      topOff: { ...well.topOff, latch, state: "locked", blockers: ["floor-wet"] },
      hold: { active: true, withHeat: false, leftMs: 1, question: false, questionForMs: 0 },
      alarms: [alarm({})],
      board: "silent",
    });
    for (const record of [well, trouble]) {
      const tree = treeOf(record, CONTEXT);
      for (const [node, { properties }] of Object.entries<Node>({ ...NODES, "alarm-floor-wet": alarmNode("") })) {
        for (const [property, { datatype, format = "" }] of Object.entries(properties)) {
          const text = tree.get(`homie/5/reef-box/${node}/${property}`) ?? "";
          if (text !== "") expect(text, `${node}/${property}`).toMatch(PATTERNS[datatype]);
          if (text !== "" && datatype === "enum") expect(format.split(",")).toContain(text);
        }
      }
    }
  });
});

/** Payloads of the Homie convention 5.0 by datatype. */
const PATTERNS = {
  float: /^-?\d+(\.\d+)?$/,
  integer: /^-?\d+$/,
  boolean: /^(true|false)$/,
  string: /^[\s\S]+$/,
  enum: /^[^,]+$/,
  datetime: /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$/,
  json: /^\{.*\}$/,
} as const;

it("the moment that the tests reckon with: 12:00:00.000 UTC", () =>
  expect(new Date(NOW_MS).toISOString()).toMatch(/T12:00:00\.000Z$/));
