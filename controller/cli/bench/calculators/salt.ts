import * as c from "../../../../shared/chemistry/index.ts";
import * as w from "../../../../shared/seawater/index.ts";
import * as u from "../../../../shared/units/index.ts";
import * as kinds from "../../values/kinds.ts";
import { allow, ask, defineCalculator, makeResult, presume, type Refusal, refuseOutside } from "../calculator.ts";
import { EOS80, MASS_BALANCE, SEA_RANGE, STANDARD_SALT } from "../sources.ts";

const BAG_RANGE = `${SEA_RANGE}, 1 to 1.6 g of product for a gram of dry salt`;
const SALT_CAUTION =
  "salt goes into the water, not water onto the salt; it warms as it dissolves and its dust irritates.";

/** The bag is known by its factor, or by its grams per litre of finished sea water at SP 35 and 25 °C. */
const bagAsks = {
  factor: allow(kinds.plain, "grams of product for one gram of dry salt, from `bench salt-bag`"),
  bag: allow(kinds.gramsPerLitre, "or the bag's grams per litre of finished sea water, at SP 35"),
};

function factorOf(given: {
  readonly factor: number | undefined;
  readonly bag: u.GramsPerLitre | undefined;
}): { readonly factor: c.HydrateFactor } | Refusal {
  if (given.factor !== undefined) return { factor: c.hydrateFactor(given.factor) };
  if (given.bag === undefined) {
    return {
      refused: "Which salt? Bags differ by a fifth: add --bag 38g/L as it prints, or --factor from bench salt-bag.",
    };
  }
  const factor = c.hydrateFactorFromGramsPerLitre(given.bag, u.practicalSalinityValue(35), u.celsius(25));
  return factor === null ? refuseOutside("a bag of sea salt", "32 to 57 g/L") : { factor };
}

export const saltMix = defineCalculator({
  name: "salt-mix",
  purpose: "salt to weigh out for new sea water",
  asks: {
    volume: allow(kinds.volume, "of finished sea water"),
    water: allow(kinds.volume, "or of the pure water that it is stirred into"),
    salinity: ask(kinds.salinity, "wanted"),
    temp: presume(kinds.temperature, "of the water", "25C"),
    ...bagAsks,
  },
  calculate: (given) => {
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
    if (salt === null || perLitre === null) return refuseOutside("a mix", BAG_RANGE);
    return {
      results: [
        makeResult("salt", salt, "g", 1),
        makeResult("for each litre of sea water", perLitre, "g/L", 2),
        makeResult("product for a gram of dry salt", bag.factor, "g", 4),
      ],
      why: [MASS_BALANCE, STANDARD_SALT, EOS80],
      notes: ["Mix, measure the salinity, and let `bench salt-bag` learn the bag from what came out."],
      cautions: [SALT_CAUTION],
    };
  },
});

export const saltBag = defineCalculator({
  name: "salt-bag",
  purpose: "learn how much of a bag is dry salt, from a batch that was measured",
  asks: {
    salt: ask(kinds.mass, "of product that went in"),
    water: ask(kinds.volume, "of pure water that it went into"),
    temp: presume(kinds.temperature, "of that water", "25C"),
    measured: ask(kinds.salinity, "that came out"),
  },
  calculate: ({ salt, water, temp, measured }) => {
    const factor = c.hydrateFactorFromBatch(u.gramsFromKilograms(salt), water, temp, measured);
    const perLitre = factor === null ? null : c.gramsPerLitreOfMix(factor, u.practicalSalinityValue(35), u.celsius(25));
    if (factor === null || perLitre === null) return refuseOutside("a batch of sea salt", BAG_RANGE);
    return {
      results: [
        makeResult("product for a gram of dry salt", factor, "g", 4),
        makeResult("dry salt in the product", c.drySaltShare(factor) * 100, "%", 1),
        makeResult("for a litre of SP 35 at 25 °C", perLitre, "g/L", 2),
      ],
      why: [MASS_BALANCE, STANDARD_SALT],
    };
  },
});

const changeAsks = {
  volume: ask(kinds.volume, "net volume of the water"),
  from: ask(kinds.salinity, "that it has"),
  to: ask(kinds.salinity, "that it shall have"),
  temp: presume(kinds.temperature, "of the water", "25C"),
};
const SLOWLY = "Common practice: no more than 1 in salinity a day while animals are in the tank.";
const MOST_A_DAY_SP = 1;

/** A change that animals feel is said as one, with the days that it wants. */
function warnOfHaste(from: u.PracticalSalinity, to: u.PracticalSalinity): string[] {
  const change = Math.abs(to - from);
  if (change <= MOST_A_DAY_SP) return [];
  const days = Math.ceil(change / MOST_A_DAY_SP - 1e-9);
  return [
    `${change.toFixed(1)} in salinity at once is beyond what is common: with animals in the tank take ${days} days.`,
  ];
}

/** Common practice: 10 to 25 % of the water in one change. */
const COMMON_SHARE = 0.25;

const warnOfSize = (share: number): string[] =>
  share <= COMMON_SHARE + 1e-9
    ? []
    : [
        `${(share * 100).toFixed(0)} % of the water in one change is beyond the 10 to 25 % of common practice: take several, or match temperature and salinity with care.`,
      ];

export const addSalt = defineCalculator({
  name: "add-salt",
  purpose: "salt that raises the salinity of a tank",
  asks: { ...changeAsks, ...bagAsks },
  calculate: (given) => {
    const bag = factorOf(given);
    if ("refused" in bag) return bag;
    const salt = c.saltToRaise(given.volume, given.temp, given.from, given.to, bag.factor);
    if (salt === null) return refuseOutside("adding salt", `${BAG_RANGE}, and upwards only`);
    return {
      results: [makeResult("salt", salt, "g", 1)],
      why: [MASS_BALANCE, EOS80],
      notes: [SLOWLY],
      cautions: ["dissolve it outside the tank first.", SALT_CAUTION, ...warnOfHaste(given.from, given.to)],
    };
  },
});

export const exchange = defineCalculator({
  name: "exchange",
  purpose: "water to exchange so that the salinity of a tank changes",
  asks: { ...changeAsks, with: ask(kinds.salinity, "of the new water, 0SP for fresh") },
  calculate: ({ volume, from, to, temp, with: newSP }) => {
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
        makeResult("take out", (kilograms / density) * 1000, "L", 2),
        makeResult("put back, the same weight", kilograms, "kg", 2),
      ],
      why: [MASS_BALANCE, EOS80],
      notes: [SLOWLY],
      cautions: [...warnOfHaste(from, to), ...warnOfSize(kilograms / mass!)],
    };
  },
});

export const addFresh = defineCalculator({
  name: "add-fresh",
  purpose: "fresh water that lowers the salinity of a tank, taking nothing out",
  asks: { volume: changeAsks.volume, from: changeAsks.from, to: changeAsks.to },
  calculate: ({ volume, from, to }) => {
    const added = c.freshToAdd(volume, from, to);
    if (added === null) return refuseOutside("adding fresh water", "SP 0 to 42, and downwards only");
    return {
      results: [makeResult("fresh water", added, "L", 2)],
      why: [MASS_BALANCE],
      notes: [SLOWLY],
      cautions: warnOfHaste(from, to),
    };
  },
});

export const topOffSalt = defineCalculator({
  name: "top-off-salt",
  purpose: "salt water to top off with, in place of fresh, to raise the salinity",
  asks: {
    volume: changeAsks.volume,
    from: changeAsks.from,
    to: changeAsks.to,
    with: ask(kinds.salinity, "of the water to top off with"),
  },
  calculate: ({ volume, from, to, with: topOff }) => {
    const litres = c.saltWaterToTopOff(volume, from, to, topOff);
    if (litres === null) return refuseOutside("topping off with salt water", "SP 0 to 42, and upwards only");
    return {
      results: [makeResult("salt water in place of fresh", litres, "L", 2)],
      why: [MASS_BALANCE],
      notes: [SLOWLY],
      cautions: warnOfHaste(from, to),
    };
  },
});

export const evaporated = defineCalculator({
  name: "evaporated",
  purpose: "salinity after water has evaporated and nothing was put back",
  asks: {
    volume: ask(kinds.volume, "before"),
    salinity: ask(kinds.salinity, "before"),
    lost: ask(kinds.volume, "that evaporated"),
  },
  calculate: ({ volume, salinity, lost }) => {
    const SP = c.salinityAfterEvaporation(volume, salinity, lost);
    if (SP === null) return refuseOutside("evaporation", "less than the whole volume, and up to SP 100");
    return {
      results: [makeResult("practical salinity", SP, "SP", 2), makeResult("rise", SP - salinity, "SP", 2)],
      why: [MASS_BALANCE],
    };
  },
});

/** More changes than this are a plan of another kind. */
const MOST_CHANGES = 30;

export const newWater = defineCalculator({
  name: "new-water",
  purpose: "salinity of the new water that sets the tank right, in one water change or as many as it takes",
  asks: {
    from: changeAsks.from,
    to: changeAsks.to,
    share: ask(kinds.share, "of the water that is changed"),
    strongest: presume(
      kinds.salinity,
      "that you mix; far above 40SP salts no longer dissolve well or can be measured",
      "40SP",
    ),
  },
  calculate: ({ from, to, share, strongest }) => {
    const atOnce = from + (to - from) / share;
    const mixed = (count: number) => c.newWaterSalinity(from, to, share, count);
    const isMixable = (SP: number | null) => SP !== null && SP <= strongest;
    const changes = Array.from({ length: MOST_CHANGES }, (_, index) => index + 1).find((count) =>
      isMixable(mixed(count)),
    );
    if (changes === undefined) {
      return {
        refused: `No water up to ${strongest.toFixed(0)}SP brings the tank there in ${MOST_CHANGES} changes of that size; change more at once.`,
      };
    }
    const results = [makeResult("practical salinity of the new water", mixed(changes)!, "SP", 2)];
    if (changes > 1) results.unshift(makeResult("changes of that size", changes, "", 0));
    return {
      results,
      why: [MASS_BALANCE],
      notes: [...(changes > 1 ? [splitWords(atOnce, strongest)] : []), SLOWLY],
      cautions: [...warnOfHaste(from, to), ...warnOfSize(share)],
    };
  },
});

const splitWords = (atOnceSP: number, strongestSP: number): string =>
  atOnceSP < 0
    ? "Not even pure water does it in one change, so it is split: each change with water of that salinity."
    : `In one change it would take ${atOnceSP.toFixed(0)} SP, and ${strongestSP.toFixed(0)} SP is the strongest that you mix, so it is split: each change with water of that salinity.`;
