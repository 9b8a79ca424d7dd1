import * as c from "../../../../shared/chemistry/index.ts";
import * as w from "../../../../shared/seawater/index.ts";
import * as u from "../../../../shared/units/index.ts";
import { asked, calculator, optional, outside, preset, type Refusal, result } from "../calculator.ts";
import * as kinds from "../kinds.ts";
import { EOS80, MASS_BALANCE, SEA_RANGE, STANDARD_SALT } from "../sources.ts";

const BAG_RANGE = `${SEA_RANGE}, 1 to 1.6 g of product for a gram of dry salt`;
const SALT_CAUTION =
  "salt goes into the water, not water onto the salt; it warms as it dissolves and its dust irritates.";

/** The bag is known by its factor, or by its grams per litre of finished sea water at SP 35 and 25 °C. */
const bagAsks = {
  factor: optional(kinds.plain, "grams of product for one gram of dry salt, from `reckon salt-bag`"),
  bag: optional(kinds.gramsPerLitre, "or the bag's grams per litre of finished sea water, at SP 35"),
};

function factorOf(given: {
  readonly factor: number | undefined;
  readonly bag: u.GramsPerLitre | undefined;
}): { readonly factor: c.HydrateFactor } | Refusal {
  if (given.factor !== undefined) return { factor: c.hydrateFactor(given.factor) };
  if (given.bag === undefined) {
    return {
      refused: "Which salt? Bags differ by a fifth: add --bag 38g/L as it prints, or --factor from reckon salt-bag.",
    };
  }
  const factor = c.hydrateFactorFromGramsPerLitre(given.bag, u.practicalSalinityValue(35), u.celsius(25));
  return factor === null ? outside("a bag of sea salt", "32 to 57 g/L") : { factor };
}

export const saltMix = calculator({
  name: "salt-mix",
  purpose: "salt to weigh out for new sea water",
  asks: {
    volume: optional(kinds.volume, "of finished sea water"),
    water: optional(kinds.volume, "or of the pure water that it is stirred into"),
    salinity: asked(kinds.salinity, "wanted"),
    temp: preset(kinds.temperature, "of the water", "25C"),
    ...bagAsks,
  },
  reckon: (given) => {
    if ((given.volume === undefined) === (given.water === undefined)) {
      return { refused: "Is that the finished sea water or the pure water before? Add either --volume or --water." };
    }
    const bag = factorOf(given);
    if ("refused" in bag) return bag;
    const { salinity, temp } = given;
    const salt =
      given.volume === undefined
        ? c.saltForPureWater(given.water!, temp, salinity, bag.factor)
        : c.saltForSeaWater(given.volume, temp, salinity, bag.factor);
    const perLitre = c.gramsPerLitreOfMix(bag.factor, salinity, temp);
    if (salt === null || perLitre === null) return outside("a mix", BAG_RANGE);
    return {
      results: [
        result("salt", salt, "g", 1),
        result("for each litre of sea water", perLitre, "g/L", 2),
        result("product for a gram of dry salt", bag.factor, "g", 4),
      ],
      why: [MASS_BALANCE, STANDARD_SALT, EOS80],
      notes: ["Mix, measure the salinity, and let `reckon salt-bag` learn the bag from what came out."],
      cautions: [SALT_CAUTION],
    };
  },
});

export const saltBag = calculator({
  name: "salt-bag",
  purpose: "learn how much of a bag is dry salt, from a batch that was measured",
  asks: {
    salt: asked(kinds.mass, "of product that went in"),
    water: asked(kinds.volume, "of pure water that it went into"),
    temp: preset(kinds.temperature, "of that water", "25C"),
    measured: asked(kinds.salinity, "that came out"),
  },
  reckon: ({ salt, water, temp, measured }) => {
    const factor = c.hydrateFactorFromBatch(u.gramsFromKilograms(salt), water, temp, measured);
    const perLitre = factor === null ? null : c.gramsPerLitreOfMix(factor, u.practicalSalinityValue(35), u.celsius(25));
    if (factor === null || perLitre === null) return outside("a batch of sea salt", BAG_RANGE);
    return {
      results: [
        result("product for a gram of dry salt", factor, "g", 4),
        result("dry salt in the product", c.drySaltShare(factor) * 100, "%", 1),
        result("for a litre of SP 35 at 25 °C", perLitre, "g/L", 2),
      ],
      why: [MASS_BALANCE, STANDARD_SALT],
    };
  },
});

const changeAsks = {
  volume: asked(kinds.volume, "net volume of the water"),
  from: asked(kinds.salinity, "that it has"),
  to: asked(kinds.salinity, "that it shall have"),
  temp: preset(kinds.temperature, "of the water", "25C"),
};
const SLOWLY = "Common practice: no more than 1 in salinity a day while animals are in the tank.";

export const addSalt = calculator({
  name: "add-salt",
  purpose: "salt that raises the salinity of a tank",
  asks: { ...changeAsks, ...bagAsks },
  reckon: (given) => {
    const bag = factorOf(given);
    if ("refused" in bag) return bag;
    const salt = c.saltToRaise(given.volume, given.temp, given.from, given.to, bag.factor);
    if (salt === null) return outside("adding salt", `${BAG_RANGE}, and upwards only`);
    return {
      results: [result("salt", salt, "g", 1)],
      why: [MASS_BALANCE, EOS80],
      notes: [SLOWLY],
      cautions: ["dissolve it outside the tank first.", SALT_CAUTION],
    };
  },
});

export const exchange = calculator({
  name: "exchange",
  purpose: "water to exchange so that the salinity of a tank changes",
  asks: { ...changeAsks, with: asked(kinds.salinity, "of the new water, 0SP for fresh") },
  reckon: ({ volume, from, to, temp, with: newSP }) => {
    const density = w.densityEos80(from, temp);
    const mass = density === null ? null : u.kilograms((volume * density) / 1000);
    const kilograms = mass === null ? null : c.massToExchange(mass, from, to, newSP);
    if (density === null || kilograms === null) {
      return {
        refused: "New water of that salinity cannot bring the tank there; it must lie beyond the one that is wanted.",
      };
    }
    return {
      results: [
        result("take out", (kilograms / density) * 1000, "L", 2),
        result("put back, the same weight", kilograms, "kg", 2),
      ],
      why: [MASS_BALANCE, EOS80],
      notes: [SLOWLY],
    };
  },
});

export const addFresh = calculator({
  name: "add-fresh",
  purpose: "fresh water that lowers the salinity of a tank, taking nothing out",
  asks: { volume: changeAsks.volume, from: changeAsks.from, to: changeAsks.to },
  reckon: ({ volume, from, to }) => {
    const added = c.freshToAdd(volume, from, to);
    if (added === null) return outside("adding fresh water", "SP 0 to 42, and downwards only");
    return { results: [result("fresh water", added, "L", 2)], why: [MASS_BALANCE], notes: [SLOWLY] };
  },
});

export const topOffSalt = calculator({
  name: "top-off-salt",
  purpose: "salt water to top off with, in place of fresh, to raise the salinity",
  asks: {
    volume: changeAsks.volume,
    from: changeAsks.from,
    to: changeAsks.to,
    with: asked(kinds.salinity, "of the water to top off with"),
  },
  reckon: ({ volume, from, to, with: topOff }) => {
    const litres = c.saltWaterToTopOff(volume, from, to, topOff);
    if (litres === null) return outside("topping off with salt water", "SP 0 to 42, and upwards only");
    return { results: [result("salt water in place of fresh", litres, "L", 2)], why: [MASS_BALANCE], notes: [SLOWLY] };
  },
});

export const evaporated = calculator({
  name: "evaporated",
  purpose: "salinity after water has evaporated and nothing was put back",
  asks: {
    volume: asked(kinds.volume, "before"),
    salinity: asked(kinds.salinity, "before"),
    lost: asked(kinds.volume, "that evaporated"),
  },
  reckon: ({ volume, salinity, lost }) => {
    const SP = c.salinityAfterEvaporation(volume, salinity, lost);
    if (SP === null) return outside("evaporation", "less than the whole volume, and up to SP 100");
    return {
      results: [result("practical salinity", SP, "SP", 2), result("rise", SP - salinity, "SP", 2)],
      why: [MASS_BALANCE],
    };
  },
});

export const newWater = calculator({
  name: "new-water",
  purpose: "salinity of the new water that sets the tank right in one water change",
  asks: {
    from: changeAsks.from,
    to: changeAsks.to,
    share: asked(kinds.share, "of the water that is changed"),
  },
  reckon: ({ from, to, share }) => {
    const SP = c.newWaterSalinity(from, to, share);
    if (SP === null)
      return { refused: "No water can do that in one change of that size; change more, or in several steps." };
    return {
      results: [result("practical salinity of the new water", SP, "SP", 2)],
      why: [MASS_BALANCE],
      notes: [SLOWLY],
    };
  },
});
