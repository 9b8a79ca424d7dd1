import { describe, expect, it } from "vitest";
import { CONDITIONS } from "../../controller/alarms/list.ts";
import { HEALTHY_EXPECTATIONS } from "../../controller/rehearsal/healthy/expectations.ts";
import { HEALTHY_FILES, healthyScenario } from "./healthy-scenarios.ts";
import { PROMISES } from "./life.ts";

const ROWS = HEALTHY_EXPECTATIONS.flatMap(({ rows }) => rows);

describe("the rows of healthy expectations", () => {
  it("scenario files: each has one row, and each is held to something", () => {
    expect(ROWS.map(({ scenario }) => scenario).sort()).toEqual([...HEALTHY_FILES].sort());
    expect(ROWS.filter(({ holds }) => holds.length === 0)).toEqual([]);
  });

  it("H1 to H7: each is put to the test somewhere", () => {
    const put = new Set(ROWS.flatMap(({ holds }) => holds.map(({ promise }) => promise)));
    expect(PROMISES.filter((promise) => !put.has(promise))).toEqual([]);
  });

  it("named alarms and hours: alarms that there are, hours of the scenario", () => {
    const ids = CONDITIONS.map(({ id }) => id);
    for (const { scenario, holds } of ROWS) {
      for (const hold of holds) {
        const named = hold.promise === "H1" ? (hold.allows ?? []) : hold.promise === "H6" ? hold.tells : [];
        expect(
          named.filter((id) => !ids.includes(id)),
          scenario,
        ).toEqual([]);
        if ("atH" in hold) expect(hold.atH, scenario).toBeLessThan(healthyScenario(scenario).hours);
      }
    }
  });

  // What a keeper meets (*common practice*), and what went wrong on a box that was well.
  it.each([
    ["two weeks with a sitter who only refills", "sitter-two-weeks"],
    ["four weeks with a sitter who only refills", "sitter-four-weeks"],
    ["nobody at all, a large reservoir", "nobody-two-weeks"],
    ["no probe", "sitter-without-probe"],
    ["a forgotten hold", "hold-left-standing"],
    ["an unanswered question", "question-unanswered"],
    ["a mistyped measurement", "measurement-mistyped"],
    ["a return pump that rests, told", "return-pump-rests-told"],
    ["a return pump that rests, untold", "return-pump-rests-untold"],
    ["told water changes", "water-changes-told"],
    ["untold water changes", "water-changes-untold"],
    ["a heatwave with fan and room thermometer", "heatwave-fan-and-room-thermometer"],
    ["a heatwave with a fan alone", "heatwave-fan-alone"],
    ["a heatwave with a room thermometer alone", "heatwave-room-thermometer-alone"],
    ["a heatwave with neither", "heatwave-bare"],
    ["one of two thermometers in the air of a cool room", "thermometer-in-air-cool-room"],
    ["a box of 40 L", "box-of-40-litres"],
    ["a box of 400 L", "box-of-400-litres"],
    ["two heaters", "two-heaters"],
    ["swings of 15 K", "swinging-room"],
    ["the least parts", "least-parts"],
  ])("%s: has the row %s", (_, scenario) => {
    expect(ROWS.map((row) => row.scenario)).toContain(scenario);
  });
});
