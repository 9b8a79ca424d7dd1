// 20,000 random waters through our equations and through Debian's python3-gsw, the reference implementation of TEOS-10.
// The same points in every run; SEED=… draws others.
import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";
import { oxygenSaturationUmolPerKg } from "../../shared/chemistry/index.ts";
import {
  absoluteSalinity,
  conductivityFromSalinity,
  densityEos80,
  densityTeos10,
  heatCapacity,
  practicalSalinity,
} from "../../shared/seawater/index.ts";
import {
  celsius,
  decibars,
  gramsPerKilogram,
  millisiemensPerCm,
  practicalSalinityValue,
} from "../../shared/units/index.ts";
import { describeWith } from "../system/rig/tools.ts";

const POINTS = 20_000;
const here = fileURLToPath(new URL(".", import.meta.url));

/** Mulberry32: a small generator whose whole state is the seed. */
function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Half of the points are tanks, a quarter brackish, the rest anywhere in the range; some under pressure. */
function draw(random: () => number): [C: number, t: number, p: number, SP: number] {
  const where = random();
  const t = where < 0.5 ? 18 + 14 * random() : -2 + 42 * random();
  const C = where < 0.5 ? 35 + 30 * random() : where < 0.75 ? 0.02 + 5 * random() : 90 * random();
  const SP = where < 0.5 ? 28 + 12 * random() : where < 0.75 ? 0.05 + 2.5 * random() : 42 * random();
  return [C, t, random() < 0.8 ? 0 : 1000 * random(), SP];
}

describeWith(["gsw"], "beside the reference library", () => {
  it(`${POINTS} random waters: salinity within 1e-9, density within 1e-6`, { timeout: 120_000 }, () => {
    const seed = Number(process.env.SEED ?? 1983);
    console.info(`live comparison with python3-gsw: SEED=${seed}`);
    const random = generator(seed);
    const points = Array.from({ length: POINTS }, () => draw(random));
    const input = points.map((point) => point.join(" ")).join("\n");
    const python = execFileSync("/usr/bin/python3", [`${here}reference-answers.py`], {
      input,
      encoding: "utf8",
      maxBuffer: 1e8,
    });
    const answers = python.trim().split("\n");
    expect(answers).toHaveLength(POINTS);

    const worst = { SP: 0, C: 0, SA: 0, rho: 0, rhoEos80: 0, cp: 0, O2: 0 };
    let compared = 0;
    for (const [index, [C, t, p, SP]] of points.entries()) {
      const [gswSP, gswC, gswSA, rho, cp, O2] = answers[index]!.split(" ").map(Number) as [
        number,
        number,
        number,
        number,
        number,
        number,
      ];
      const [tC, salinity] = [celsius(t), practicalSalinityValue(SP)];
      const ours = practicalSalinity(millisiemensPerCm(C), tC, decibars(p));
      // The library goes on where the scale ends; we refuse, and nowhere else.
      if (ours === null) expect(Number.isNaN(gswSP) || gswSP > 42).toBe(true);
      else {
        compared += 1;
        worst.SP = Math.max(worst.SP, Math.abs(ours - gswSP));
      }
      worst.C = Math.max(worst.C, Math.abs(conductivityFromSalinity(salinity, tC, decibars(p))! - gswC));
      worst.SA = Math.max(worst.SA, Math.abs(absoluteSalinity(salinity)! - gswSA));
      worst.rho = Math.max(worst.rho, Math.abs(densityTeos10(gramsPerKilogram(gswSA), tC)! - rho));
      worst.rhoEos80 = Math.max(worst.rhoEos80, Math.abs(densityEos80(salinity, tC)! - rho));
      worst.cp = Math.max(worst.cp, Math.abs(heatCapacity(gramsPerKilogram(gswSA), tC)! - cp));
      worst.O2 = Math.max(worst.O2, Math.abs(oxygenSaturationUmolPerKg(salinity, tC)! - O2));
    }
    console.info(`largest differences of ${compared} salinities and ${POINTS} of the rest: ${JSON.stringify(worst)}`);
    expect(compared).toBeGreaterThan(POINTS / 2);
    expect(worst.SP).toBeLessThanOrEqual(1e-9);
    expect(worst.C).toBeLessThanOrEqual(1e-9);
    expect(worst.SA).toBeLessThanOrEqual(1e-12);
    expect(worst.rho).toBeLessThanOrEqual(1e-6);
    expect(worst.rhoEos80).toBeLessThanOrEqual(0.012);
    expect(worst.cp).toBeLessThanOrEqual(1e-6);
    expect(worst.O2).toBeLessThanOrEqual(1e-9);
  });
});
