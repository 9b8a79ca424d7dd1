import * as c from "../../../../shared/chemistry/index.ts";
import * as w from "../../../../shared/seawater/index.ts";
import * as u from "../../../../shared/units/index.ts";
import type { Choice } from "../../values/kind.ts";
import * as kinds from "../../values/kinds.ts";
import { ask, choose, defineCalculator, makeResult, presume, refuseOutside } from "../calculator.ts";
import { cycleStory } from "../cycle-story.ts";
import { EOS80, GEOMETRY, JOHANSSON_WEDBORG, KINETICS } from "../sources.ts";

export const weight = defineCalculator({
  name: "weight",
  purpose: "what a tank weighs and how hard it presses on its footprint; never whether a floor bears it",
  asks: {
    length: ask(kinds.length, "outside"),
    width: ask(kinds.length, "outside"),
    height: ask(kinds.length, "outside"),
    glass: ask(kinds.length, "thickness of the panes"),
    headspace: presume(kinds.length, "from the water to the brim", "30mm"),
    rock: presume(kinds.mass, "of rock", "0kg"),
    sand: presume(kinds.mass, "of sand", "0kg"),
    stand: presume(kinds.mass, "of the stand", "0kg"),
    equipment: presume(kinds.mass, "of everything else", "0kg"),
    salinity: presume(kinds.salinity, "of the water", "35SP"),
    temp: presume(kinds.temperature, "of the water", "25C"),
  },
  calculate: ({ length, width, height, glass, headspace, rock, sand, stand, equipment, salinity, temp }) => {
    const measures = { length, width, height, glass };
    const [panes, gross, density] = [c.glassMass(measures), c.grossVolume(measures), w.densityEos80(salinity, temp)];
    const rockAndSand = u.kilograms(rock + sand);
    const displaced = c.displacement(rockAndSand);
    if (panes === null || gross === null || density === null || displaced === null) {
      return refuseOutside("these measures", "a box with an inside, masses of 0 or more, SP 0 to 42, −2 to 40 °C");
    }
    const empty = ((length - 2 * glass) * (width - 2 * glass) * headspace) / 1e6;
    const net = u.litres(gross - displaced - empty);
    const load = { waterL: net, waterDensity: density, glass: panes, rockAndSand, stand, equipment };
    const total = c.totalMass(load);
    const pressure = total === null ? null : c.footprintPressure(total, u.rectangle(length, width));
    if (total === null || pressure === null)
      return refuseOutside("these measures", "room left for water, masses of 0 or more");
    return {
      results: [
        makeResult("volume to the brim", gross, "L", 1),
        makeResult("net volume of water", net, "L", 1),
        makeResult("glass, without partitions", panes, "kg", 1),
        makeResult("all together", total, "kg", 0),
        makeResult("the same", u.poundsFromKilograms(total), "lb", 0),
        makeResult("pressure on the footprint", pressure, "kPa", 2),
      ],
      why: [GEOMETRY, EOS80],
      notes: [
        "Ordinary rooms are designed for 1.5 to 2 kPa spread over the floor (common practice): a tank presses several times that on its own spot.",
      ],
      cautions: ["a sum, not a verdict: ask a structural engineer whether your floor bears it, and where."],
    };
  },
});

const seed: Choice<keyof typeof c.SEED> = {
  what: "seed of bacteria",
  words: ["nothing", "liveRock", "bottled"],
  question: "Which bacteria to start with: nothing, liveRock or bottled?",
};

export const cycle = defineCalculator({
  name: "cycle",
  purpose: "a likely story of a new tank's first weeks, day by day of bacteria that grow",
  asks: {
    seed: choose(seed, "where the bacteria come from"),
    dose: presume(kinds.milligramsPerLitre, "total ammonia of each dose, as N", "2mg/L"),
    temp: presume(kinds.temperature, "of the water", "26C"),
    ph: presume(kinds.plain, "pH of a meter set in NBS buffers", "8.2"),
    salinity: presume(kinds.salinity, "of the water", "35SP"),
    oxygen: presume(kinds.oxygen, "dissolved", "6.4mg/L"),
  },
  calculate: ({ seed: start, dose, temp, ph, salinity, oxygen }) => {
    const unionised = c.unionisedAmmoniaNbs(c.phNbs(ph), salinity, temp);
    const conditions = unionised === null ? null : { t90C: temp, oxygen, unionised };
    const story = conditions === null ? null : cycleStory(c.SEED[start], c.milligramsPerLitreN(dose), conditions);
    if (story === null) return refuseOutside("the kinetics", "5 to 40 °C, SP 0 to 42, doses of 0.25 to 10 mg/L");
    if (story.doneDay === null) {
      return {
        refused: `After ${story.days} days the story has no end: bacteria grow too slowly at this temperature, pH or oxygen.`,
      };
    }
    return {
      results: [
        makeResult("ammonia first under 0.25 mg/L", story.ammoniaClearDay ?? story.doneDay, "d", 0),
        makeResult("highest nitrite", story.nitritePeak, "mg/L as N", 1),
        makeResult("ready, by the 24-hour test", story.doneDay, "d", 0),
        makeResult("doses until then", story.doses, "", 0),
        makeResult("nitrate by then", c.no3FromNitrogen(story.nitrate), "mg/L as NO3", 0),
      ],
      why: [KINETICS, JOHANSSON_WEDBORG],
      notes: ["A model set to common practice; the tank decides. Test, and wait for two clear tests."],
      cautions: ["no animals in the tank while dosing."],
    };
  },
});
