import { evaporationBand, metresPerSecond } from "../../../shared/chemistry/index.ts";
import { celsius, fraction, litresPerHour, practicalSalinityValue, squareMetres } from "../../../shared/units/index.ts";
import {
  buildChoice,
  buildQuestion,
  expected,
  type Question,
  type Understood,
  type Words,
} from "../conversation/question.ts";
import { typed } from "../typed.ts";
import { readSpoken } from "../values/keeper.ts";
import { buildQuantity } from "../values/questions.ts";
import { allowLater, buildSurface, spanAt } from "./quantities.ts";
import type { Sitting } from "./sitting.ts";

/** Heights and litres of the box: by a ruler wherever one can tell, and what needs water may wait for it. */
export async function askMeasures(sitting: Sitting): Promise<boolean> {
  const when = await sitting.ask(
    buildChoice(
      {
        id: "measures",
        asks: "Heights and litres: with a ruler now, or later",
        usual: "now",
        tells:
          "Heights are measured from the working mark: the level of the last chamber at which the working float just reads " +
          "full, with the return pump running.",
        why:
          "Wires need none of them. What needs water in the box can be left for later one by one; until all are there the " +
          `file can be wired by but not run, and \`${typed("init")}\` asks for what is missing.`,
      },
      ["now", "later"],
    ),
  );
  if (when === "later") return false;
  await askSurfaces(sitting);
  await askHeights(sitting);
  await askLowFloat(sitting);
  await askFlow(sitting);
  await askEvaporation(sitting);
  await askFreeVolumes(sitting);
  return true;
}

async function askSurfaces(sitting: Sitting): Promise<void> {
  const { ask, draft } = sitting;
  const spoken = sitting.spoken();
  draft.tank.lastChamberM2 = await ask(
    buildSurface(
      {
        id: "tank.lastChamberM2",
        asks: "Length and width of the last chamber inside",
        why: "All evaporation shows there: its surface tells how much water a millimetre is.",
      },
      spoken,
      spanAt("tank.lastChamberM2"),
    ),
  );
  draft.tank.surfaceM2 = await ask(
    buildSurface(
      {
        id: "tank.surfaceM2",
        asks: "Length and width of the whole box inside, display and rear chambers",
        why: "Its open water is what evaporates.",
      },
      spoken,
      spanAt("tank.surfaceM2"),
    ),
  );
}

async function askHeights(sitting: Sitting): Promise<void> {
  const { ask, draft } = sitting;
  const { length } = sitting.spoken();
  draft.tank.floatHysteresisMm = await ask(
    buildQuantity(
      {
        id: "tank.floatHysteresisMm",
        asks: "Between the working float's low and full",
        usual: length.format(5),
        why: "Its own play, from its data sheet or measured with a ruler. A pour fills so much.",
      },
      length,
      spanAt("tank.floatHysteresisMm"),
    ),
  );
  const rise = await ask(
    allowLater(
      buildQuantity(
        {
          id: "tank.pumpOffLevelMm",
          asks: "Rise of the last chamber above the working mark when the return pump stops",
          why: "Needs water in: stop the return pump for five minutes and measure, for the display drains into the rear. Proving measures it again.",
        },
        length,
        spanAt("tank.pumpOffLevelMm"),
      ),
    ),
  );
  if (rise !== null) draft.tank.pumpOffLevelMm = rise;
  draft.tank.highFloatMm = await ask(
    buildQuantity(
      {
        id: "tank.highFloatMm",
        asks: "Height of the high float above the working mark",
        why: "Above the level with the return pump off, or it would be wet whenever that stops; and below the rim.",
      },
      length,
      { least: Math.max(5, Math.floor((rise ?? 0) + 1)), most: 300 },
    ),
  );
}

/** How far the low float hangs below the working mark; the settings have heights above it. */
export async function askLowFloat({ ask, draft, spoken }: Sitting): Promise<void> {
  if (draft.inputs["low-float"] === undefined) return;
  const { length } = spoken();
  const { least, most } = spanAt("tank.lowFloatMm");
  draft.tank.lowFloatMm = -(await ask(
    buildQuantity(
      {
        id: "tank.lowFloatMm",
        asks: "How far below the working mark hangs the low float",
        usual: length.format(60),
        why: "Above the top of whatever must stay under water, such as a heater.",
      },
      length,
      { least: -most, most: -least },
    ),
  ));
}

async function askFlow(sitting: Sitting): Promise<void> {
  const { draft, ask } = sitting;
  const expects = "25 to 5000 mL in 30 s, or the litres an hour of its label such as 90 L/h";
  const question = buildQuestion(
    {
      id: "topOff.provenFlow",
      asks: "Water that the top-off pump pours into a jug in 30 s, in mL; or its label in L/h",
      why: "Through the tube at its final height, twice: the two agree within a tenth. Every litre is counted by this. A label promises more than a tube gives; proving measures it.",
    },
    expects,
    (answer): Understood<number> => {
      const label = /\/\s*(h|hour|d)\b/i.test(answer) ? readSpoken(sitting.spoken().litresPerDay, answer) : null;
      const jug = label === null ? readSpoken({ ...sitting.spoken().volume, bare: "mL" }, answer) : null;
      const read = label ?? jug;
      if (read === null || "refused" in read) return expected(expects);
      const flow = label === null ? read.value * 2 : read.value / 60;
      return flow >= 0.05 && flow <= 10 ? { value: Number(flow.toFixed(4)), keeps: read.keeps } : expected(expects);
    },
  );
  const flow = await ask(allowLater(question));
  if (flow !== null) draft.topOff.provenFlowLPerMin = flow;
}

async function askEvaporation(sitting: Sitting): Promise<void> {
  const { ask, draft, say } = sitting;
  const spoken = sitting.spoken();
  const { least, most } = spanAt("topOff.evaporationLPerDay");
  const question = buildQuantity(
    {
      id: "topOff.evaporationLPerDay",
      asks: "Evaporation a day",
      why:
        "Pour by hand for a week and count. `estimate` takes the least that a surface as large loses in a room of 50 % " +
        `humidity (\`${typed("bench evaporation")}\` shows how). What is poured beyond it is called unexplained, so correct it when you know better.`,
    },
    spoken.litresPerDay,
    { least: least / 24, most: most / 24 },
  );
  const perHour = await ask(allowLater(allowEstimate(question, sitting)));
  if (perHour === null) return;
  const litresPerDay = Number((perHour * 24).toPrecision(3));
  draft.topOff.evaporationLPerDay = litresPerDay;
  say(`Counted as ${spoken.volume.format(litresPerDay)} a day.`);
}

function allowEstimate(question: Question<number>, { draft, spoken }: Sitting): Question<number> {
  const band = evaporationBand({
    surface: squareMetres(draft.tank.surfaceM2 as number),
    waterC: celsius(draft.targets.temperatureC as number),
    SP: practicalSalinityValue(draft.targets.salinity as number),
    airC: celsius(22),
    humidity: fraction(0.5),
    airSpeed: metresPerSecond(0.1),
  });
  if (band === null) return question;
  const estimate = litresPerHour(Math.max(0.05, band.lowest) / 24);
  return {
    ...question,
    asks: `${question.asks}; or estimate`,
    expects: `${question.expects}; or estimate, which takes ${spoken().litresPerDay.format(estimate)}`,
    read: (answer) =>
      answer.toLowerCase() === "estimate" ? { value: estimate, keeps: "estimate" } : question.read(answer),
  };
}

/** Litres, or a height by which they follow from the surface: that can be measured in a dry box. */
async function askFreeVolumes(sitting: Sitting): Promise<void> {
  const { ask, draft } = sitting;
  const surfaceM2 = draft.tank.surfaceM2 as number;
  const off = await ask(
    allowLater(
      buildFreeVolume(
        sitting,
        {
          id: "tank.freeVolumePumpOffL",
          asks: "Free space up to the rim with the return pump off, as a height or in litres",
          why:
            "This is what may run in before the floor is wet. In a dry box: from the lower edge of the weir's openings, to " +
            "which the display drains, up to the rim. The surface of the whole box makes litres of it.",
        },
        surfaceM2,
      ),
    ),
  );
  if (off !== null) draft.tank.freeVolumePumpOffL = off;
  const blocked = await askWeirBlocked(sitting);
  if (blocked !== null) draft.tank.freeVolumeWeirBlockedL = blocked;
}

/** In litres, where they are known; else with a ruler: the display's free litres less what the pump can still move. */
async function askWeirBlocked(sitting: Sitting): Promise<number | null> {
  const { ask, draft } = sitting;
  const { volume, length } = sitting.spoken();
  const { least, most } = spanAt("tank.freeVolumeWeirBlockedL");
  const litres = buildQuantity(
    {
      id: "tank.freeVolumeWeirBlockedL",
      asks: "Free space of the display with the return pump on and its weir blocked",
      usual: "ruler",
      why:
        "A clogged weir lets the return pump fill the display until it sucks air. `ruler` asks for the lengths that tell " +
        "how much that is; they can be measured in a dry box.",
    },
    volume,
    { least, most },
  );
  const answer = await ask(
    allowLater({
      ...litres,
      asks: `${litres.asks}; or ruler`,
      expects: `${litres.expects}; or ruler`,
      read: (typed): Understood<number | "ruler"> =>
        typed.toLowerCase() === "ruler" ? { value: "ruler", keeps: "ruler" } : litres.read(typed),
    } as Question<number | "ruler">),
  );
  if (answer !== "ruler") return answer;
  const displayM2 = await ask(
    buildSurface(
      {
        id: "display.surface",
        asks: "Length and width of the display alone, inside",
        why: "A clogged weir fills the display only.",
      },
      sitting.spoken(),
      { least: 0.01, most: draft.tank.surfaceM2 as number },
    ),
  );
  const heightMm = await ask(
    buildQuantity(
      {
        id: "display.freeHeight",
        asks: "Free height of the display with the return pump on",
        why: "In a dry box: the display runs about 15 mm above the lower edge of its weir (common practice).",
      },
      length,
      { least: 0, most: 300 },
    ),
  );
  const depthMm = await ask(
    buildQuantity(
      {
        id: "display.pumpDepth",
        asks: "From the working mark down to the return pump's intake",
        why: "So much of the last chamber can still be moved into the display before the pump sucks air.",
      },
      length,
      { least: 0, most: 600 },
    ),
  );
  const litresLeft = displayM2 * heightMm - (draft.tank.lastChamberM2 as number) * depthMm;
  return Number(Math.min(most, Math.max(least, litresLeft)).toPrecision(3));
}

/** Litres, or a height: of a surface in m² a millimetre is a litre. */
function buildFreeVolume(sitting: Sitting, words: Words, surfaceM2: number): Question<number> {
  const { volume, length } = sitting.spoken();
  const { least, most } = spanAt(words.id);
  const example = length.bare === "in" ? "1.2 in" : "30 mm";
  const expects = `a height such as ${example}, or litres such as ${volume.format(10)}: ${volume.format(least)} to ${volume.format(most)}`;
  return buildQuestion(words, expects, (answer): Understood<number> => {
    const asVolume = /[a-z]/i.test(answer) ? readSpoken(volume, answer) : null;
    const asHeight = readSpoken(length, answer);
    const isVolume = asVolume !== null && "value" in asVolume;
    if (!isVolume && "refused" in asHeight) {
      return asVolume?.refused ? { refused: asVolume.refused } : expected(expects);
    }
    const litres = isVolume ? asVolume.value : surfaceM2 * (asHeight as { value: number }).value;
    const value = Number(litres.toPrecision(3));
    const { keeps } = (isVolume ? asVolume : asHeight) as { keeps: string };
    return value >= least && value <= most ? { value, keeps } : expected(expects);
  });
}
