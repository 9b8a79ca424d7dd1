import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { describe, expect, test } from "vitest";

/**
 * The pulse driver that the guard firmware's page shows, with the values that stand there: a charge pump of two diodes.
 * The gate of its transistor is up only while the pin pulses, and down in time when the pin stands still on either side.
 */

const ROOM = resolve(import.meta.dirname, "../../wiring-notes/guard");
const PAGE = readFileSync(resolve(ROOM, "README.md"), "utf8");
const PICTURE = readFileSync(resolve(ROOM, "pulse-driver.svg"), "utf8");

/** First number of a row of the parts list, in the unit that stands behind it. */
function numberOf(part: string, unit: string): number {
  const [, value] = PAGE.match(new RegExp(`^\\| ${part} \\| ([\\d.]+) ${unit}`, "m")) ?? [];
  if (value === undefined) throw new Error(`${part} is not in the parts list`);
  return Number(value);
}

interface Parts {
  readonly pumpF: number;
  readonly holdF: number;
  readonly ohms: number;
}

const AS_DRAWN: Parts = {
  pumpF: (numberOf("C1, C2", "nF") * 1e-9) / 2,
  holdF: numberOf("C3", "µF") * 1e-6,
  ohms: (numberOf("R1, R2", "kΩ") * 1e3) / 2,
};
const scaled = (pump: number, hold: number, ohms: number): Parts => ({
  pumpF: AS_DRAWN.pumpF * pump,
  holdF: AS_DRAWN.holdF * hold,
  ohms: AS_DRAWN.ohms * ohms,
});
/** Parts as bought: ten in a hundred off to either side. */
const CORNERS = [0.9, 1.1].flatMap((pump) =>
  [0.9, 1.1].flatMap((hold) => [0.9, 1.1].map((ohms) => scaled(pump, hold, ohms))),
);

interface Charge {
  readonly pumpV: number;
  readonly gateV: number;
}

/** Small-signal silicon: 2.5 nA, emission coefficient 1.75, at 25 °C (from memory). */
const diodeA = (volts: number): number => 2.5e-9 * (Math.exp(Math.min(volts / (1.75 * 0.02585), 38)) - 1);
const PIN_OHMS = 50;
/** Pin and capacitors settle in 5 µs: what is longer than twice of that would swing. */
const STEP_S = 4e-6;

function run(parts: Parts, seconds: number, pinV: (s: number) => number, from: Charge = { pumpV: 0, gateV: 0 }) {
  let { pumpV, gateV } = from;
  /** Of each millisecond. */
  const gate: number[] = [];
  let mostV = gateV;
  for (let step = 0; step < seconds / STEP_S; step++) {
    if (step % 250 === 0) gate.push(gateV);
    const drive = pinV(step * STEP_S) - pumpV;
    // The node between the diodes: where what comes in through the capacitors goes out through the diodes.
    let [low, high] = [-6, 6];
    for (let halving = 0; halving < 26; halving++) {
      const node = (low + high) / 2;
      if ((drive - node) / PIN_OHMS > diodeA(node - gateV) - diodeA(-node)) low = node;
      else high = node;
    }
    pumpV += ((drive - low) / PIN_OHMS / parts.pumpF) * STEP_S;
    gateV += ((diodeA(low - gateV) - gateV / parts.ohms) / parts.holdF) * STEP_S;
    mostV = Math.max(mostV, gateV);
  }
  return { gate, mostV, pumpV, gateV };
}

const square =
  (hertz: number) =>
  (seconds: number): number =>
    (seconds * hertz) % 1 < 0.5 ? 5 : 0;
/** As the firmware makes it. */
const PULSE = square(500);

describe("pulse driver of the guard firmware's page", { timeout: 120_000 }, () => {
  test.each([AS_DRAWN, ...CORNERS])("$pumpF F, $holdF F, $ohms Ω: up by the pulse, down on either side", (parts) => {
    const on = run(parts, 0.15, PULSE);
    expect(on.gateV).toBeGreaterThan(3.3);
    for (const still of [0, 5]) {
      expect(run(parts, 0.25, () => still, on).gate.findIndex((gateV) => gateV < 0.8)).toBeGreaterThan(0);
    }
    expect(run(parts, 0.03, () => 5).mostV).toBeLessThan(0.6);
  });

  test("C1 or C2 shorted: down all the same", () => {
    const parts = scaled(2, 1, 1);
    const on = run(parts, 0.15, PULSE);
    expect(run(parts, 0.4, () => 5, on).gateV).toBeLessThan(0.8);
  });

  test("R1 or R2 broken: down within half a second", () => {
    const parts = scaled(1, 1, 2);
    const on = run(parts, 0.15, PULSE);
    expect(run(parts, 0.5, () => 5, on).gateV).toBeLessThan(0.8);
  });

  test("boot loader that blinks the lamp ten times a second: not up", () => {
    expect(run(AS_DRAWN, 0.6, square(10)).mostV).toBeLessThan(0.8);
  });

  test("page and picture: the same values", () => {
    for (const words of ["C1 220 nF", "C2 220 nF", "C3 1 µF", "R1, R2: 220 kΩ each"]) expect(PICTURE).toContain(words);
    expect([numberOf("C1, C2", "nF"), numberOf("C3", "µF"), numberOf("R1, R2", "kΩ")]).toEqual([220, 1, 220]);
    expect(PAGE).toContain("(pulse-driver.svg)");
  });
});
