import * as c from "../../../../shared/chemistry/index.ts";
import type { Quantity } from "../../../../shared/units/index.ts";
import * as u from "../../../../shared/units/index.ts";
import type { Choice } from "../../values/kind.ts";
import * as kinds from "../../values/kinds.ts";
import {
  allow,
  allowChoice,
  ask,
  choose,
  defineCalculator,
  makeResult,
  presume,
  refuseOutside,
} from "../calculator.ts";
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

export const ammonia = defineCalculator({
  name: "ammonia",
  purpose: "how much of the total ammonia is the un-ionised, harmful part",
  asks: {
    ph: ask(kinds.plain, "pH of the water"),
    scale: choose(phScale, "the scale of that pH"),
    temp: ask(kinds.temperature, "of the water"),
    salinity: ask(kinds.salinity, "of the water"),
    total: allow(kinds.milligramsPerLitre, "total ammonia, to calculate the un-ionised part of it"),
    basis: allowChoice(ammoniaBasis, "what that total is counted as"),
  },
  calculate: ({ ph, scale, temp, salinity, total, basis }) => {
    const onTotal = scale === "total";
    const share = onTotal
      ? c.unionisedAmmoniaTotal(c.phTotal(ph), salinity, temp)
      : c.unionisedAmmoniaNbs(c.phNbs(ph), salinity, temp);
    if (share === null) return refuseOutside("the equation", `SP 0 to ${onTotal ? 40 : 42}, −2 to 40 °C, pH 0 to 14`);
    if (total !== undefined && basis === undefined) return { refused: `${ammoniaBasis.question} Add --basis.` };
    const harmful = total === undefined || basis === undefined ? [] : [share * asNitrogen(total, basis)];
    return {
      results: [
        makeResult("un-ionised share", share * 100, "%", 2),
        ...harmful.map((amount) => makeResult("un-ionised ammonia", amount, "mg/L as N", 3)),
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

/** Both figures are common practice: what a dose usually is, and where so much ammonia holds the bacteria back. */
const COMMON_DOSE_MG_N_PER_L = 2;
const STALLING_MG_N_PER_L = 5;

function warnOfStrength(rise: c.MilligramsPerLitreN): string[] {
  if (rise <= COMMON_DOSE_MG_N_PER_L + 1e-9) return [];
  const stalls =
    rise >= STALLING_MG_N_PER_L ? " So much holds back the bacteria that it should feed: the cycle may stall." : "";
  return [
    `${rise.toFixed(1)} mg/L as N is more than the 2 mg/L of common practice: is the basis right, and the volume?${stalls}`,
  ];
}

export const ammoniaDose = defineCalculator({
  name: "ammonia-dose",
  purpose: "ammonium chloride to feed the bacteria of an empty tank",
  asks: {
    volume: ask(kinds.volume, "net volume of the water"),
    rise: ask(kinds.milligramsPerLitre, "how far the total ammonia shall rise"),
    basis: choose(ammoniaBasis, "what that figure is counted as"),
    purity: presume(kinds.share, "of the ammonium chloride", "100%"),
  },
  calculate: ({ volume, rise, basis, purity }) => {
    const target = asNitrogen(rise, basis);
    const dose = c.ammoniumChlorideDose(volume, target, purity);
    if (dose === null) return refuseOutside("a dose", "amounts of 0 or more, purity above 0 and up to 100 %");
    return {
      results: [
        makeResult("ammonium chloride", dose, "g", 3),
        makeResult("rise of total ammonia", target, "mg/L as N", 3),
        makeResult("the same as NH3", c.nh3FromNitrogen(target), "mg/L", 3),
        makeResult("the same as NH4", c.nh4FromNitrogen(target), "mg/L", 3),
      ],
      why: [MOLAR_MASSES],
      cautions: [
        "no animals in the tank while dosing.",
        "ammonium chloride irritates eyes and skin and is harmful if swallowed; keep it from children and food, and never near bleach or strong alkali.",
        ...warnOfStrength(target),
      ],
    };
  },
});

export const nitrogen = defineCalculator({
  name: "nitrogen",
  purpose: "one amount as nitrogen and as the ions that carry it",
  asks: {
    amount: ask(kinds.milligramsPerLitre, "as the test shows it"),
    basis: choose(anyBasis, "what it is counted as"),
  },
  calculate: ({ amount, basis }) => {
    if (!(amount >= 0 && amount < Infinity)) return refuseOutside("a concentration", "0 or more");
    const N = asNitrogen(amount, basis);
    return {
      results: [
        makeResult("as nitrogen", N, "mg/L as N", 4),
        makeResult("as ammonia", c.nh3FromNitrogen(N), "mg/L as NH3", 4),
        makeResult("as ammonium", c.nh4FromNitrogen(N), "mg/L as NH4", 4),
        makeResult("as nitrite", c.no2FromNitrogen(N), "mg/L as NO2", 4),
        makeResult("as nitrate", c.no3FromNitrogen(N), "mg/L as NO3", 4),
      ],
      why: [MOLAR_MASSES],
    };
  },
});

export const nitrification = defineCalculator({
  name: "nitrification",
  purpose: "what nitrification of an amount of ammonia uses up and makes",
  asks: {
    ammonia: ask(kinds.milligramsPerLitre, "all that is dosed, added up"),
    basis: choose(ammoniaBasis, "what it is counted as"),
  },
  calculate: ({ ammonia: amount, basis }) => {
    const N = asNitrogen(amount, basis);
    const [alkalinity, nitrate, oxygen] = [c.alkalinityUsed(N), c.nitrateMade(N), c.oxygenUsed(N)];
    if (alkalinity === null || nitrate === null || oxygen === null)
      return refuseOutside("the stoichiometry", "0 or more");
    const meq = u.milliequivalentsFromCaCO3(alkalinity);
    return {
      results: [
        makeResult("alkalinity used", meq, "meq/L", 3),
        makeResult("the same", u.dkhFromMilliequivalents(meq), "dKH", 2),
        makeResult("the same", alkalinity, "mg/L as CaCO3", 1),
        makeResult("nitrate made", c.no3FromNitrogen(nitrate), "mg/L as NO3", 1),
        makeResult("the same", nitrate, "mg/L as N", 2),
        makeResult("oxygen used", oxygen, "mg/L", 1),
      ],
      why: [STOICHIOMETRY],
      notes: ["Nitrate is at most 2.4 % more, if no nitrogen stayed in the bacteria."],
    };
  },
});

export const oxygen = defineCalculator({
  name: "oxygen",
  purpose: "oxygen in water at equilibrium with air",
  asks: {
    salinity: ask(kinds.salinity, "of the water"),
    temp: ask(kinds.temperature, "of the water"),
    measured: allow(kinds.oxygen, "oxygen measured, to calculate its saturation"),
  },
  calculate: ({ salinity, temp, measured }) => {
    const [perLitre, perKilogram] = [
      c.oxygenSaturationMgPerL(salinity, temp),
      c.oxygenSaturationUmolPerKg(salinity, temp),
    ];
    if (perLitre === null || perKilogram === null)
      return refuseOutside("the equations", `${SEA_RANGE}, not below 0 °C`);
    if (measured !== undefined && !(measured >= 0)) return refuseOutside("an oxygen content", "0 or more");
    return {
      results: [
        makeResult("oxygen at saturation", perLitre, "mg/L", 3),
        makeResult("the same, by weight of water", perKilogram, "µmol/kg", 2),
        ...(measured === undefined
          ? []
          : [makeResult("saturation of this water", (measured / perLitre) * 100, "%", 1)]),
      ],
      why: [BENSON_KRAUSE, GARCIA_GORDON],
    };
  },
});
