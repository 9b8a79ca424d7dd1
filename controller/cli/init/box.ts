import type { KeeperUnits } from "../../../shared/units/index.ts";

import {
  buildChoice,
  buildQuestion,
  buildText,
  expected,
  type Question,
  type Understood,
} from "../conversation/question.ts";
import { typed } from "../typed.ts";
import { readSpoken } from "../values/keeper.ts";
import { buildQuantityAt, readLengths, spanAt } from "./quantities.ts";
import type { Sitting } from "./sitting.ts";

const UNITS: Readonly<Record<"metric" | "us" | "uk", KeeperUnits>> = {
  metric: { temperature: "°C", volume: "L", length: "mm" },
  us: { temperature: "°F", volume: "US gal", length: "in" },
  uk: { temperature: "°C", volume: "UK gal", length: "in" },
};

/** The box itself, and what it should be like. */
export async function askBox(sitting: Sitting): Promise<void> {
  const { ask, say, draft } = sitting;
  const units = await ask(
    buildChoice(
      {
        id: "units",
        asks: "Which units",
        usual: "metric",
        why: "metric: °C, litres, millimetres; us: °F, US gallons, inches; uk: °C, UK gallons, inches. An answer may carry any other unit, such as 37 usgal or 77 F.",
      },
      ["metric", "us", "uk"],
    ),
  );
  draft.units = UNITS[units];
  const name = await ask(
    buildText(
      {
        id: "tank.name",
        asks: "What is the tank called",
        usual: "Reef box",
        why: "Its name on every page and message.",
      },
      "1 to 60 characters",
      (answer) => answer.length >= 1 && answer.length <= 60,
    ),
  );
  draft.tank.id = createId(name);
  draft.tank.name = name;
  say(`On the network, and as a folder on disk, it is called ${draft.tank.id}.`);
  draft.tank.netVolumeL = await ask(volumeQuestion(sitting));
  const { temperature } = sitting.spoken();
  draft.targets.temperatureC = await ask(
    buildQuantityAt("targets.temperatureC", temperature, {
      asks: "Temperature to hold",
      usual: temperature.format(25),
      why: `Reef tanks are kept at ${temperature.format(24)} to ${temperature.format(27)} (common practice); steady matters more than exact.`,
    }),
  );
  draft.targets.salinity = await ask(salinityQuestion(sitting));
}

/** Share of a filled box that rock and sand take: common practice, 5 to 15 %. */
const DISPLACED = 0.1;

/** Litres, or the inside of the box by a ruler: no water is needed to answer. */
function volumeQuestion(sitting: Sitting): Question<number> {
  const { volume, length } = sitting.spoken();
  const { least, most } = spanAt("tank.netVolumeL");
  const example = length.bare === "in" ? "29 x 19 x 16 in" : "730 x 480 x 400 mm";
  const expects = `${volume.format(least)} to ${volume.format(most)}, or length x width x height of the water, such as ${example}`;
  return buildQuestion(
    {
      id: "tank.netVolumeL",
      asks: `Water in display and rear chambers, in ${volume.bare}; or length x width x height of the water`,
      why:
        "Rock, sand and the air above count against the glass: best is what a meter or marked buckets showed at the first " +
        "fill. From three lengths a tenth is taken off for rock and sand (common practice: 5 to 15 %). Litres, salt and " +
        "heat are all worked out from it.",
    },
    expects,
    (answer): Understood<number> => {
      const lengths = readLengths(answer, 3, sitting.spoken());
      const read = lengths === null ? readSpoken(volume, answer) : null;
      if (read !== null && "refused" in read) {
        return read.refused === "" ? expected(expects) : { refused: `${read.refused} Expected ${expects}` };
      }
      const [a = 0, b = 0, c = 0] = lengths?.mm ?? [];
      const value = read === null ? Math.round((a * b * c * (1 - DISPLACED)) / 1e5) / 10 : read.value;
      if (value < least || value > most) return expected(expects);
      return { value, keeps: lengths?.keeps ?? read?.keeps ?? answer };
    },
  );
}

function salinityQuestion(sitting: Sitting): Question<number> {
  const question = buildQuantityAt("targets.salinity", sitting.spoken().plain, {
    asks: "Practical salinity to hold",
    usual: "35",
    why: "Natural sea water has about 35, which is what a refractometer calls 35 ppt.",
  });
  return {
    ...question,
    read: (answer) =>
      /^1[.,]0\d+$/.test(answer)
        ? { refused: `that is a specific gravity: \`${typed("bench salinity-from-sg")}\` turns it into salinity` }
        : question.read(answer.replace(/\s*(sp|psu|ppt|‰)$/i, "")),
  };
}

/** A name that fits into a topic. */
export function createId(name: string): string {
  const plain = name
    .normalize("NFKD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+/, "");
  return plain.slice(0, 32).replace(/-+$/, "") || "reef-box";
}
