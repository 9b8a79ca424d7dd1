import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { type Damage, EXPECTATIONS, type Expectation } from "../../controller/rehearsal/expectations.ts";
import { type Report, rehearse, rehearseBareParts } from "../../controller/rehearsal/index.ts";
import { SETTINGS } from "./still-tank.ts";
import { scenarioOf } from "./told-scenario.ts";

/**
 * A scenario of the house against its row: what tripped, what was locked and nothing else, who was told, the greatest
 * damage, and the same tank with bare parts. What harm is tolerable is *common practice*. Beside it the fingerprint of
 * its report: whoever changes no rule changes none. `UPDATE_PAGES=1` keeps the new ones.
 */
const SEED = Number(process.env.SEED ?? 1);
const FINGERPRINTS_FILE = join(import.meta.dirname, "fingerprints.json");

/** Enough of them to notice most of what a change may break, and quick. */
export const TWELVE: readonly string[] = [
  "quiet-day",
  "water-change",
  "working-float-stuck-dry",
  "high-float-wet",
  "siphon",
  "pump-welded",
  "reservoir-empty",
  "heater-welded",
  "heater-dead",
  "thermometer-open",
  "memory-lost",
  "killed-mid-pour",
];

/** Lives every scenario for which `wanted` is true, chapter by chapter. */
export function describeScenarios(wanted: (scenario: string) => boolean): void {
  const chapters = EXPECTATIONS.map(({ title, rows }) => [title, rows.filter((row) => wanted(row.scenario))] as const);
  describe.each(chapters.filter(([, rows]) => rows.length > 0))("%s", (_, rows) => {
    it.each(rows.map((row) => [row.scenario, row] as const))("%s: trip, lock, alarm and damage of its row", liveRow);
  });
}

function liveRow(name: string, row: Expectation): void {
  const options = { seed: SEED, settings: SETTINGS };
  const report = rehearse(scenarioOf(name), { ...options, scans: "adaptive" });
  expect(report.violations, `seed ${SEED}`).toEqual([]);
  expectTrips(report, row);
  expectAlarm(report, row);
  const damage = damageOf(report);
  for (const figure of FIGURES) expect(damage[figure], figure).toBeLessThanOrEqual(row.damage[figure]);
  // The fingerprint and the figures of the bare parts are told for the first seed.
  if (SEED !== 1) return;
  expectFingerprint(name, report);
  const bare = damageOf({ truth: rehearseBareParts(scenarioOf(name), options) });
  for (const figure of FIGURES) {
    expect(bare[figure], `bare ${figure}`).toBeLessThanOrEqual(row.bare[figure] + 1e-9);
    expect(bare[figure], `bare ${figure}`).toBeGreaterThan(row.bare[figure] - 0.101);
  }
}

const FIGURES = ["floorL", "salinity", "kelvin"] as const;

const damageOf = ({ truth }: Pick<Report, "truth">): Damage => ({
  floorL: truth.spilledL,
  salinity: Math.max(truth.salinityMax - 35, 35 - truth.salinityMin),
  kelvin: Math.max(truth.temperatureMaxC - 25, 25 - truth.temperatureMinC),
});

function expectTrips(report: Report, { trip }: Expectation): void {
  const locked = [...new Set(report.lockouts.map(({ reason }) => reason))];
  expect(locked).toEqual(trip.kind === "locks" ? trip.reasons : []);
  const tripped = report.trips.map(({ reason }) => reason);
  if (trip.kind === "none") expect(tripped).toEqual([]);
  else expect(tripped).toEqual(expect.arrayContaining([...trip.reasons]));
}

function expectAlarm(report: Report, { alarm }: Expectation): void {
  const raised = report.alarms.map(({ id }) => id);
  if (alarm === null) expect(raised).toEqual([]);
  else expect(raised).toContain(alarm);
}

function expectFingerprint(name: string, report: Report): void {
  const kept = JSON.parse(readFileSync(FINGERPRINTS_FILE, "utf8")) as Record<string, string>;
  // What is counted of alarms and holds for the reader of a report is not looked at: they are in it already.
  const { throttledH: _hours, asks: _asks, episodes: _episodes, ...lasting } = report;
  const fingerprint = createHash("sha256").update(JSON.stringify(lasting)).digest("hex").slice(0, 16);
  if (process.env.UPDATE_PAGES === "1") {
    const sorted = Object.entries({ ...kept, [name]: fingerprint }).sort(([a], [b]) => (a < b ? -1 : 1));
    writeFileSync(FINGERPRINTS_FILE, `${JSON.stringify(Object.fromEntries(sorted), null, 2)}\n`);
    return;
  }
  expect(fingerprint, "fingerprint of the report").toBe(kept[name]);
}
