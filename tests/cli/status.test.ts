import { describe, expect, it } from "vitest";
import { statusLines } from "../../controller/cli/status/status.ts";
import { METRIC } from "../../shared/units/index.ts";

const CALM: Readonly<Record<string, string>> = {
  "box/sentence": "All is well: 25.1 °C.",
  "temperature/value": "25.06",
  "temperature/uncertainty": "0.3",
  "salinity/value": "34.91",
  "salinity/uncertainty": "0.82",
  "level/state": "at-mark",
  "level/from-mm": "-5",
  "level/to-mm": "0",
  "top-off/reservoir": "3.2",
  "top-off/reservoir-days": "2.1",
  "top-off/state": "resting",
  "top-off/why": "The water is at its mark.",
  "heat/state": "off",
  "heat/why": "The temperature is inside its band.",
};
const of = (changed: Readonly<Record<string, string>> = {}) => ({
  text: (place: string) => ({ ...CALM, ...changed })[place] ?? "",
});

describe("status", () => {
  it("calm box: one sentence, then a table of six rows with doubt and reason", () => {
    const [sentence, empty, ...rows] = statusLines(of(), METRIC);
    expect([sentence, empty]).toEqual(["All is well: 25.1 °C.", ""]);
    expect(rows).toEqual([
      "Temperature  25.1 ± 0.3 °C",
      "Salinity     34.9 ± 0.8",
      "Level        at its mark    between -5 mm and 0 mm from the working mark",
      "Reservoir    3.2 L          2.1 days",
      "Top-off      resting        The water is at its mark.",
      "Heat         off            The temperature is inside its band.",
    ]);
  });

  // 25.06 °C are 77.1 °F, a doubt of 0.3 K is 0.5 °F; 3.2 L / 3.785411784 = 0.85 US gal (definitions of the units).
  it("°F and gallons chosen: sentence and table in them", () => {
    const text = statusLines(of(), { temperature: "°F", volume: "US gal", length: "in" }).join("\n");
    expect(text).toMatch(/^All is well: 77\.2 °F\./);
    expect(text).toMatch(/^Temperature +77\.1 ± 0\.5 °F$/m);
    expect(text).toMatch(/^Reservoir +0\.8 US gal/m);
    expect(text).not.toContain("°C");
  });

  it("unknown temperature, locked top-off, a hold: the last value, the lock's reason, until when", () => {
    const changed = {
      "temperature/value": "",
      "temperature/doubt": "disconnected",
      "temperature/last-value": "24.9",
      "top-off/state": "locked",
      "top-off/latch": "There is water on the floor.",
      "hold/active": "true",
      "hold/until": new Date(2026, 1, 3, 17, 5).toISOString(),
    };
    const text = statusLines(of(changed), METRIC).join("\n");
    expect(text).toMatch(/^Temperature +unknown +disconnected; last 24\.9 °C$/m);
    expect(text).toMatch(/^Top-off +locked +There is water on the floor\.$/m);
    expect(text).toMatch(/^Hold +until 17:05$/m);
  });

  it("nothing told yet: says so, every row unknown", () => {
    const [sentence, , ...rows] = statusLines({ text: () => "" }, METRIC);
    expect(sentence).toBe("The controller has said nothing yet.");
    expect(rows.every((row) => /unknown/.test(row))).toBe(true);
  });
});
