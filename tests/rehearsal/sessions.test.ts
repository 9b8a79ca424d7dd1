import { describe, expect, it } from "vitest";
import { followSession, NO_READS, newSession, steadiness } from "../../controller/decisions/calibration/session.ts";
import { rehearsalField } from "../../controller/rehearsal/index.ts";
import { createConductivityProbe, measure } from "../../controller/rehearsal/plant/conductivity-probe.ts";
import { createRandom } from "../../controller/rehearsal/plant/random.ts";
import { convert, createThermometer } from "../../controller/rehearsal/plant/thermometer.ts";
import { type Memory, provenMemory } from "../../controller/scan/memory.ts";
import { step } from "../../controller/scan/step.ts";
import type { Image, Request, ScanRecord, Session } from "../../shared/contract/index.ts";
import { elapsed } from "../elapsed.ts";
import { SETTINGS } from "./still-tank.ts";

/** Sessions at probes that are as noisy as real ones (trade facts §10): quiet water counts, moving water never does. */

const SEEDS = Array.from({ length: 50 }, (_, index) => index + 1);
const SCAN_MS = 250;

/** The whole scan on the simulated tank, which goes on living meanwhile. */
class Rehearsed {
  readonly #field: ReturnType<typeof rehearsalField>;
  #memory: Memory = provenMemory(SETTINGS);
  #start: Image["start"] = { memory: "sound", offMs: 0 };
  record: ScanRecord | null = null;

  constructor(seed: number) {
    this.#field = rehearsalField(seed, SETTINGS, { startH: (7 * seed) % 24 });
  }

  forS(seconds: number, ...requests: readonly Request[]): this {
    for (let scan = 0; scan < (seconds * 1000) / SCAN_MS; scan++) {
      this.#field.advance(SCAN_MS);
      const { sequence } = this.#memory.durable;
      const asked = scan === 0 ? requests : [];
      const image: Image = {
        ...this.#field.look(0),
        elapsedMs: SCAN_MS,
        start: this.#start,
        durableSequence: sequence,
        disk: "working",
        requests: asked,
      };
      const { memory, commands, record } = step(this.#memory, image, SETTINGS);
      this.#memory = memory;
      this.#start = null;
      this.record = record;
      this.#field.command(commands, 0);
    }
    return this;
  }
}

const hold: Request = { kind: "hold", id: "hold", at: "tank", minutes: 60 };
const calibrate = (id: string, step: object): Request => ({ kind: "calibrate", id, at: "tank", ...step }) as Request;

/** Thermometers first: the bubbles of the start are gone by the time of the cell. */
const WANTED = [
  ["thermometer-1", 120],
  ["thermometers", 120],
  ["conductivity", 60],
] as const satisfies readonly (readonly [Session, number])[];

describe("calibration session in the simulated tank's quiet water", () => {
  it("fifty seeds, three sessions: steady after the needed time, and in twenty looks after it", () => {
    const late: string[] = [];
    for (const seed of SEEDS) {
      const tank = new Rehearsed(seed).forS(60, hold);
      for (const [session, neededS] of WANTED) {
        tank.forS(neededS + 1, calibrate(`begin ${session}`, { step: "begin", session }));
        const isSteady = () => tank.record?.calibration.session?.steady === true;
        if (!isSteady() || Array.from({ length: 20 }, () => tank.forS(7)).some(() => !isSteady())) {
          late.push(`${session}, seed ${seed}`);
        }
        tank.forS(1, calibrate(`abandon ${session}`, { step: "abandon" }));
      }
    }
    expect(late).toEqual([]);
  }, 60_000);
});

/** The share of looks, one a second, at which the session calls it steady. */
function steadyShare(session: Session, seconds: number, reads: (second: number) => object): number {
  let memory = newSession(session, null, NO_READS);
  let steady = 0;
  for (let second = 0; second < seconds; second++) {
    memory = followSession(memory, { ...NO_READS, ...reads(second) }, elapsed(1000)) as typeof memory;
    if (steadiness(memory).steady) steady += 1;
  }
  return steady / seconds;
}

function thermometerIn(seed: number, celsiusAt: (second: number) => number): (second: number) => object {
  const random = createRandom(seed);
  const thermometer = createThermometer(celsiusAt(0), 0.1, "water");
  return (second) => {
    convert(thermometer, celsiusAt(second), 22, 1, random);
    return { firstC: thermometer.reportedC, cellC: thermometer.reportedC };
  };
}

function cellIn(seed: number, salinityAt: (second: number) => number): (second: number) => object {
  const random = createRandom(seed);
  const probe = createConductivityProbe(1);
  return (second) => {
    measure(probe, { salinity: salinityAt(second), waterC: 25, roomC: 22, returnOnForS: null }, 1, random);
    return { cellMsPerCm: probe.reported.conductivityMsPerCm, cellC: probe.reported.temperatureC };
  };
}

describe("calibration session in moving water", () => {
  it("±6 K/h, fifty seeds: never steady; −1.4 K/h: in more than 0.7 of the looks", () => {
    for (const seed of SEEDS) {
      const moving = (kPerH: number) =>
        steadyShare(
          "thermometer-1",
          720,
          thermometerIn(seed, (second) => 24 + (kPerH * second) / 3600),
        );
      expect([seed, moving(6), moving(-6)]).toEqual([seed, 0, 0]);
      expect(moving(-1.4)).toBeGreaterThan(0.7);
    }
  });

  it("cell rising 1 % a minute, fifty seeds: never steady; at rest: in more than 0.79 of the looks", () => {
    for (const seed of SEEDS) {
      const rinsed = (second: number) => 33 * (1 + (0.01 * second) / 60);
      expect([seed, steadyShare("conductivity", 300, cellIn(seed, rinsed))]).toEqual([seed, 0]);
      expect(
        steadyShare(
          "conductivity",
          300,
          cellIn(seed, () => 35),
        ),
      ).toBeGreaterThan(0.79);
    }
  });

  it("cell at rest, its thermometer warming 15 K/h: never steady", () => {
    for (const seed of SEEDS) {
      const warming = thermometerIn(seed, (second) => 20 + (15 * second) / 3600);
      const quiet = cellIn(seed, () => 35);
      expect(steadyShare("conductivity", 300, (second) => ({ ...quiet(second), ...warming(second) }))).toBe(0);
    }
  });

  it("one step of 1 K after 200 s: not steady, less than 15 s watched", () => {
    const taken = thermometerIn(1, (second) => (second < 200 ? 25 : 24));
    let memory = newSession("thermometer-1", null, NO_READS);
    for (let second = 0; second < 215; second++) {
      memory = followSession(memory, { ...NO_READS, ...taken(second) }, elapsed(1000)) as typeof memory;
      if (second === 199) expect(steadiness(memory).steady).toBe(true);
    }
    expect(steadiness(memory)).toMatchObject({ steady: false, neededMs: 120_000 });
    expect(steadiness(memory).forMs).toBeLessThan(15_000);
  });
});

describe("calibration session in a weak standard", () => {
  it("1.4 mS/cm changing by 3 % in two minutes: never steady; at rest: in more than 0.7 of the looks", () => {
    const reads = (second: number) => ({ cellMsPerCm: 1.4 * (1 + (0.03 * second) / 120), cellC: 25 });
    expect(steadyShare("conductivity", 240, reads)).toBe(0);
    expect(steadyShare("conductivity", 240, () => ({ cellMsPerCm: 1.4, cellC: 25 }))).toBeGreaterThan(0.7);
  });
});
