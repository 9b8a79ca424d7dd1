import { describe, expect, it } from "vitest";
import { rehearsalField } from "../../controller/rehearsal/index.ts";
import { HEAT, POUR, SETTINGS } from "./still-tank.ts";

describe("the simulated tank in place of devices", () => {
  it("look: no time passes; advance by 240 × 250 ms: a minute, 1.3 L poured", () => {
    const field = rehearsalField(1, SETTINGS, { startH: 9 });
    expect(field.simulatedMs).toBe(9 * 3_600_000);
    field.look(123_456);
    expect(field.simulatedMs).toBe(9 * 3_600_000);
    for (let scan = 0; scan < 240; scan++) {
      field.command(POUR, 0);
      field.advance(250);
    }
    expect(field.simulatedMs).toBe(9 * 3_600_000 + 60_000);
    expect(field.tank.truth().pouredL).toBeGreaterThan(1.3);
  });

  it("heat commanded once: on for at most 1.25 s", () => {
    const field = rehearsalField(1, SETTINGS);
    field.command(HEAT, 0);
    field.advance(250);
    for (let scan = 0; scan < 40; scan++) field.advance(250);
    expect(field.tank.truth().heaterOnH * 3600).toBeLessThanOrEqual(1.25);
  });

  it("high float stuck wet: seen, gone when mended; without a value: refused, names dry and wet", () => {
    const field = rehearsalField(1, SETTINGS);
    expect(field.inject({ kind: "float-stuck", part: "high-float", value: "wet" })).toBeNull();
    expect(field.look(0).readings["high-float"]?.value).toBe(true);
    expect(field.mend({ kind: "float-stuck", part: "high-float", value: "wet" })).toBeNull();
    field.advance(250);
    expect(field.look(0).readings["high-float"]?.value).toBe(false);
    expect(field.inject({ kind: "float-stuck", part: "high-float" })).toContain("dry, wet");
  });

  it("water change of 1 L: in after a minute; switchOff: heater's contact off", () => {
    const field = rehearsalField(1, SETTINGS);
    field.hand({ do: "water-change", atH: 0, told: true, litres: 1, salinity: 35 });
    field.advance(60_000);
    expect(field.tank.state.accounts.handsInL).toBeCloseTo(1, 6);
    field.command(HEAT, 0);
    field.advance(250);
    field.switchOff();
    expect(field.tank.state.contacts["heater-1"].commanded).toBe(false);
    expect(field.describe()[0]).toContain("simulated");
  });
});
