import * as c from "../../../../shared/chemistry/index.ts";
import type { Quantity } from "../../../../shared/units/index.ts";
import * as u from "../../../../shared/units/index.ts";
import { asked, calculator, chosen, chosenIf, optional, outside, preset, result } from "../calculator.ts";
import type { Choice } from "../kind.ts";
import * as kinds from "../kinds.ts";
import {
  BENSON_KRAUSE,
  CLEGG_WHITFIELD,
  GARCIA_GORDON,
  JOHANSSON_WEDBORG,
  MOLAR_MASSES,
  SEA_RANGE,
  STOICHIOMETRY,
} from "../sources.ts";

type AmmoniaBasis = "N" | "NH3" | "NH4";

const ammoniaBasis: Choice<AmmoniaBasis> = {
  what: "basis of an ammonia figure",
  words: ["N", "NH3", "NH4"],
  question: "Counted as what: as nitrogen, as NH3 or as NH4? Test kits differ, and the three are 22 and 29 % apart.",
};

const anyBasis: Choice<AmmoniaBasis | "NO2" | "NO3"> = {
  what: "basis of a nitrogen figure",
  words: ["N", "NH3", "NH4", "NO2", "NO3"],
  question: "Counted as what: as nitrogen (N), or as the NH3, NH4, NO2 or NO3 that carries it?",
};

const phScale: Choice<"total" | "nbs"> = {
  what: "pH scale",
  words: ["total", "nbs"],
  question:
    "pH on which scale: the total scale of sea-water buffers, or that of a meter set in ordinary (NBS) buffers?",
};

/** mg/L on any basis to mg/L as N. */
function asNitrogen(amount: Quantity<"mg/L">, basis: AmmoniaBasis | "NO2" | "NO3"): c.MilligramsPerLitreN {
  switch (basis) {
    case "N":
      return c.milligramsPerLitreN(amount);
    case "NH3":
      return c.nitrogenFromNH3(c.milligramsPerLitreNH3(amount));
    case "NH4":
      return c.nitrogenFromNH4(c.milligramsPerLitreNH4(amount));
    case "NO2":
      return c.nitrogenFromNO2(c.milligramsPerLitreNO2(amount));
    case "NO3":
      return c.nitrogenFromNO3(c.milligramsPerLitreNO3(amount));
  }
}

export const ammonia = calculator({
  name: "ammonia",
  purpose: "how much of the total ammonia is the un-ionised, harmful part",
  asks: {
    ph: asked(kinds.plain, "pH of the water"),
    scale: chosen(phScale, "the scale of that pH"),
    temp: asked(kinds.temperature, "of the water"),
    salinity: asked(kinds.salinity, "of the water"),
    total: optional(kinds.milligramsPerLitre, "total ammonia, to reckon the un-ionised part of it"),
    basis: chosenIf(ammoniaBasis, "what that total is counted as"),
  },
  reckon: ({ ph, scale, temp, salinity, total, basis }) => {
    const onTotal = scale === "total";
    const share = onTotal
      ? c.unionisedAmmoniaTotal(c.phTotal(ph), salinity, temp)
      : c.unionisedAmmoniaNbs(c.phNbs(ph), salinity, temp);
    if (share === null) return outside("the equation", `SP 0 to ${onTotal ? 40 : 42}, −2 to 40 °C, pH 0 to 14`);
    if (total !== undefined && basis === undefined) return { refused: `${ammoniaBasis.question} Add --basis.` };
    const harmful = total === undefined || basis === undefined ? [] : [share * asNitrogen(total, basis)];
    return {
      results: [
        result("un-ionised share", share * 100, "%", 2),
        ...harmful.map((amount) => result("un-ionised ammonia", amount, "mg/L as N", 3)),
      ],
      why: [onTotal ? CLEGG_WHITFIELD : JOHANSSON_WEDBORG],
      notes: [
        onTotal
          ? "For pH on the total scale; a meter set in ordinary (NBS) buffers reads some 0.13 higher in sea water."
          : "For a meter set in ordinary (NBS) buffers; on the total scale the same water reads some 0.13 lower.",
      ],
    };
  },
});

export const ammoniaDose = calculator({
  name: "ammonia-dose",
  purpose: "ammonium chloride to feed the bacteria of an empty tank",
  asks: {
    volume: asked(kinds.volume, "net volume of the water"),
    rise: asked(kinds.milligramsPerLitre, "how far the total ammonia shall rise"),
    basis: chosen(ammoniaBasis, "what that figure is counted as"),
    purity: preset(kinds.share, "of the ammonium chloride", "100%"),
  },
  reckon: ({ volume, rise, basis, purity }) => {
    const target = asNitrogen(rise, basis);
    const dose = c.ammoniumChlorideDose(volume, target, purity);
    if (dose === null) return outside("a dose", "amounts of 0 or more, purity above 0 and up to 100 %");
    return {
      results: [
        result("ammonium chloride", dose, "g", 3),
        result("rise of total ammonia", target, "mg/L as N", 3),
        result("the same as NH3", c.nh3FromNitrogen(target), "mg/L", 3),
        result("the same as NH4", c.nh4FromNitrogen(target), "mg/L", 3),
      ],
      why: [MOLAR_MASSES],
      cautions: [
        "no animals in the tank while dosing.",
        "ammonium chloride irritates eyes and skin and is harmful if swallowed; keep it from children and food, and never near bleach or strong alkali.",
      ],
    };
  },
});

export const nitrogen = calculator({
  name: "nitrogen",
  purpose: "one amount as nitrogen and as the ions that carry it",
  asks: {
    amount: asked(kinds.milligramsPerLitre, "as the test shows it"),
    basis: chosen(anyBasis, "what it is counted as"),
  },
  reckon: ({ amount, basis }) => {
    if (!(amount >= 0 && amount < Infinity)) return outside("a concentration", "0 or more");
    const N = asNitrogen(amount, basis);
    return {
      results: [
        result("as nitrogen", N, "mg/L as N", 4),
        result("as ammonia", c.nh3FromNitrogen(N), "mg/L as NH3", 4),
        result("as ammonium", c.nh4FromNitrogen(N), "mg/L as NH4", 4),
        result("as nitrite", c.no2FromNitrogen(N), "mg/L as NO2", 4),
        result("as nitrate", c.no3FromNitrogen(N), "mg/L as NO3", 4),
      ],
      why: [MOLAR_MASSES],
    };
  },
});

export const nitrification = calculator({
  name: "nitrification",
  purpose: "what nitrification of an amount of ammonia uses up and makes",
  asks: {
    ammonia: asked(kinds.milligramsPerLitre, "all that is dosed, added up"),
    basis: chosen(ammoniaBasis, "what it is counted as"),
  },
  reckon: ({ ammonia: amount, basis }) => {
    const N = asNitrogen(amount, basis);
    const [alkalinity, nitrate, oxygen] = [c.alkalinityUsed(N), c.nitrateMade(N), c.oxygenUsed(N)];
    if (alkalinity === null || nitrate === null || oxygen === null) return outside("the stoichiometry", "0 or more");
    const meq = u.milliequivalentsFromCaCO3(alkalinity);
    return {
      results: [
        result("alkalinity used", meq, "meq/L", 3),
        result("the same", u.dkhFromMilliequivalents(meq), "dKH", 2),
        result("the same", alkalinity, "mg/L as CaCO3", 1),
        result("nitrate made", c.no3FromNitrogen(nitrate), "mg/L as NO3", 1),
        result("the same", nitrate, "mg/L as N", 2),
        result("oxygen used", oxygen, "mg/L", 1),
      ],
      why: [STOICHIOMETRY],
      notes: ["Nitrate is at most 2.4 % more, if no nitrogen stayed in the bacteria."],
    };
  },
});

export const oxygen = calculator({
  name: "oxygen",
  purpose: "oxygen in water at equilibrium with air",
  asks: {
    salinity: asked(kinds.salinity, "of the water"),
    temp: asked(kinds.temperature, "of the water"),
    measured: optional(kinds.oxygen, "oxygen measured, to reckon its saturation"),
  },
  reckon: ({ salinity, temp, measured }) => {
    const [perLitre, perKilogram] = [
      c.oxygenSaturationMgPerL(salinity, temp),
      c.oxygenSaturationUmolPerKg(salinity, temp),
    ];
    if (perLitre === null || perKilogram === null) return outside("the equations", `${SEA_RANGE}, not below 0 °C`);
    if (measured !== undefined && !(measured >= 0)) return outside("an oxygen content", "0 or more");
    return {
      results: [
        result("oxygen at saturation", perLitre, "mg/L", 3),
        result("the same, by weight of water", perKilogram, "µmol/kg", 2),
        ...(measured === undefined ? [] : [result("saturation of this water", (measured / perLitre) * 100, "%", 1)]),
      ],
      why: [BENSON_KRAUSE, GARCIA_GORDON],
    };
  },
});
