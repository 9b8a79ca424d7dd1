// Against the two tables in tests/reference. seawater-open.csv was computed with Debian's python3-gsw 3.6.16 (GSW-C,
// TEOS-10), eos80-open.csv with a hand-coded EOS-80 that reproduces the check values of UNESCO 44. Neither knows us.
import { describe, expect, it } from "vitest";
import {
  absoluteSalinity,
  conductivityFromSalinity,
  densityEos80,
  densityTeos10,
  heatCapacity,
  practicalSalinity,
  salinityFromAbsolute,
  salinityFromSpecificGravity,
  specificGravity,
} from "../../shared/seawater/index.ts";
import {
  celsius,
  celsiusFromFahrenheit,
  decibars,
  fahrenheit,
  gramsPerKilogram,
  millisiemensPerCm,
  practicalSalinityValue,
  specificGravityValue,
} from "../../shared/units/index.ts";
import { readTable } from "../reference/table.ts";

const seawater = readTable("seawater-open.csv").map((row) => ({
  t: celsius(Number(row.t90_C)),
  p: decibars(Number(row.p_dbar)),
  C: millisiemensPerCm(Number(row.conductivity_mS_cm)),
  SP: practicalSalinityValue(Number(row.SP)),
  SA: gramsPerKilogram(Number(row.SA_g_kg)),
  rho: Number(row.rho_t_exact_p0_kg_m3),
  rhoPolynomial: Number(row.rho_kg_m3),
  cp: Number(row.cp_J_kgK),
}));
/** One row rounds to SP 42.0000001, just beyond the scale; it belongs to the test of the range. */
const inside = seawater.filter((row) => row.SP <= 42);
const surface = inside.filter((row) => row.p === 0);

describe("the TEOS-10 table", () => {
  it("rows: 200, 199 within the scale, 185 at the surface", () => {
    expect([seawater.length, inside.length, surface.length]).toEqual([200, 199, 185]);
  });

  it("conductivity of each row: practical salinity within 1e-9, below 2 by the library's joined Hill equation", () => {
    for (const { C, t, p, SP } of inside) {
      // The table prints ten decimals, so half of the last one is the table's.
      expect(Math.abs(practicalSalinity(C, t, p)! - SP)).toBeLessThanOrEqual(1e-9);
    }
  });

  it("row 1e-7 beyond SP 42: refused", () => {
    const beyond = seawater.filter((row) => row.SP > 42);
    expect(beyond.map(({ C, t, p }) => practicalSalinity(C, t, p))).toEqual([null]);
  });

  it("salinity of each row from 2 up: conductivity within 1e-9", () => {
    for (const { C, t, p, SP } of inside.filter((row) => row.SP >= 2)) {
      expect(Math.abs(conductivityFromSalinity(SP, t, p)! - C)).toBeLessThanOrEqual(1e-9);
    }
  });

  it("salinity of each row: absolute and back within 2e-10", () => {
    for (const { SP, SA } of inside) {
      expect(Math.abs(absoluteSalinity(SP)! - SA)).toBeLessThanOrEqual(2e-10);
      expect(Math.abs(salinityFromAbsolute(SA)! - SP)).toBeLessThanOrEqual(2e-10);
    }
  });

  it("each row: density within 1e-6 kg/m³ of the Gibbs function, within 2e-3 of the 75-term polynomial", () => {
    for (const { SA, t, rho } of inside) expect(Math.abs(densityTeos10(SA, t)! - rho)).toBeLessThanOrEqual(1e-6);
    for (const { SA, t, rhoPolynomial } of surface) {
      expect(Math.abs(densityTeos10(SA, t)! - rhoPolynomial)).toBeLessThanOrEqual(2e-3);
    }
  });

  it("each surface row: heat capacity within 1e-8 J/(kg K)", () => {
    for (const { SA, t, cp } of surface) expect(Math.abs(heatCapacity(SA, t)! - cp)).toBeLessThanOrEqual(1e-8);
  });

  it("each row: EOS-80 density within 0.01 kg/m³", () => {
    for (const { SP, t, rho } of inside) expect(Math.abs(densityEos80(SP, t)! - rho)).toBeLessThanOrEqual(0.01);
  });
});

const eos80 = readTable("eos80-open.csv");

/** "20/4", "60F/60F", "t/25": the two temperatures of a scale, t being the row's own. */
function reference(scale: string, t: number) {
  const side = (text: string) => {
    if (text === "t") return celsius(t);
    return text.endsWith("F") ? celsiusFromFahrenheit(fahrenheit(Number(text.slice(0, -1)))) : celsius(Number(text));
  };
  const [sample, water] = scale.split("/");
  return { sampleC: side(sample!), waterC: side(water!) };
}

describe("the EOS-80 table", () => {
  it("each of 100 rows: density of sea and pure water within 1e-8 kg/m³", () => {
    expect(eos80).toHaveLength(100);
    for (const row of eos80) {
      const t = celsius(Number(row.t90_C));
      const S = practicalSalinityValue(Number(row.S));
      expect(Math.abs(densityEos80(S, t)! - Number(row.rho_kg_m3))).toBeLessThanOrEqual(1e-8);
      const pure = densityEos80(practicalSalinityValue(0), t)!;
      expect(Math.abs(pure - Number(row.rho_pure_t_kg_m3))).toBeLessThanOrEqual(1e-8);
    }
  });

  it("each row on its 11 scales: specific gravity within 1e-11", () => {
    const scales = Object.keys(eos80[0]!).filter((column) => column.startsWith("SG_"));
    expect(scales).toHaveLength(11);
    for (const row of eos80) {
      for (const column of scales) {
        const [, sample, water] = column.split("_");
        const scale = reference(`${sample}/${water}`, Number(row.t90_C));
        const sg = specificGravity(practicalSalinityValue(Number(row.S)), scale)!;
        expect(Math.abs(sg - Number(row[column]))).toBeLessThanOrEqual(1e-11);
      }
    }
  });

  it("reading of each row: salinity within 1e-7; two readings above SP 42: refused", () => {
    const beyond = eos80.filter((row) => Number(row.inv_S) > 42);
    expect(beyond).toHaveLength(2);
    for (const row of eos80) {
      const reading = specificGravityValue(Number(row.inv_SG));
      const S = salinityFromSpecificGravity(reading, reference(row.inv_scale!, Number(row.t90_C)));
      if (beyond.includes(row)) expect(S).toBeNull();
      else expect(Math.abs(S! - Number(row.inv_S))).toBeLessThanOrEqual(1e-7);
    }
  });
});
