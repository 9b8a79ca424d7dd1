import {
  type BoxBudget,
  boxBudget,
  LARGE_RESERVOIR_ASKS,
  type LargeReservoir,
  type Settings,
} from "../../../shared/settings/index.ts";
import { allowWord, buildChoice, buildText, buildYesOrNo, expected } from "../conversation/question.ts";
import { buildQuantity } from "../values/questions.ts";
import { hasGuardFirmware } from "./board.ts";
import { spanAt } from "./quantities.ts";
import type { Sitting } from "./sitting.ts";

const NEEDS = ["freeVolumePumpOffL", "freeVolumeWeirBlockedL"] as const;

/** No fault can pour more than the reservoir holds, so its size is the last barrier; more only with means of its own. */
export async function askReservoir(sitting: Sitting): Promise<void> {
  const { draft, say, ask } = sitting;
  if (NEEDS.some((path) => draft.tank[path] === undefined)) {
    say("\nThe reservoir is asked for when both free spaces are known: they bound it.");
    return;
  }
  const budget = judgeBox(sitting);
  const { volume } = sitting.spoken();
  const most = Math.floor(budget.largestReservoirL * 10) / 10;
  const { least, most: largest } = spanAt("topOff.reservoirL");
  say(`\nThe box takes at most ${volume.format(most)} of fresh water at worst: ${budget.because}.`);
  if (most < least) {
    say("That is less than any reservoir holds. Free space has to be made first: the reservoir stays to be measured.");
    return;
  }
  const mayBeLarge = hasGuardFirmware(sitting);
  const question = buildQuantity(
    {
      id: "topOff.reservoirL",
      asks: "Water in a full reservoir",
      why:
        `No fault can pour more than the reservoir holds. A larger one asks for ${LARGE_RESERVOIR_ASKS}.` +
        `${mayBeLarge ? "" : " This file has no guard firmware on the board of the pump."}`,
    },
    volume,
    { least, most },
  );
  const litres = await ask(mayBeLarge ? allowWord(question, "larger") : question);
  draft.topOff.reservoirL = litres ?? (await askLargeReservoir(sitting, most, largest));
}

/** Of a box with these volumes; the reservoir itself is not looked at. */
const judgeBox = ({ draft: { tank, targets } }: Sitting): BoxBudget =>
  boxBudget({ tank, targets, topOff: { reservoirL: 1, evaporationLPerDay: 1 } } as unknown as Settings);

async function askLargeReservoir(sitting: Sitting, plainL: number, mostL: number): Promise<number> {
  const { ask, say, draft } = sitting;
  const { volume } = sitting.spoken();
  say(
    `\nMore than ${volume.format(plainL)} can flood or dilute the box, unless everything of this stands and stays: ` +
      `${LARGE_RESERVOIR_ASKS}. Whatever of it is lost makes the reservoir too large.`,
  );
  const noSiphon = await ask(
    buildChoice(
      {
        id: "topOff.largeReservoir.noSiphon",
        asks: "What keeps it from running by itself",
        why: "air-gap: the tube ends in air above the highest level. pump-that-blocks: the pump lets nothing through while it stands still; the siphon test shows it.",
      },
      ["air-gap", "pump-that-blocks"],
    ),
  );
  const inSeries = buildYesOrNo({
    id: "topOff.largeReservoir.highFloatInSeries",
    asks: "Does the high float's own second contact stand in the supply of the pump, and was it seen to stop it",
    why: "wiring-notes/high-float.md shows it.",
  });
  await ask({
    ...inSeries,
    read: (answer) => {
      const understood = inSeries.read(answer);
      return "value" in understood && !understood.value
        ? expected("yes: without it only a smaller reservoir is accepted; `back` leads to it")
        : understood;
    },
  });
  const displayGuard = await ask(
    buildChoice(
      {
        id: "topOff.largeReservoir.displayGuard",
        asks: "What sees or carries off water that a clogged weir keeps in the display",
        why: "display-float: a float at the display's rim in series with the pump. overflow: a pipe that leads where water may go. no-weir: nothing between display and rear chambers can clog.",
      },
      ["display-float", "overflow", "no-weir"],
    ),
  );
  const because = await ask(
    buildText(
      { id: "topOff.largeReservoir.because", asks: "Why so much, in your own words", why: "It is recorded and shown." },
      "10 to 300 characters",
      (words) => words.length >= 10 && words.length <= 300,
    ),
  );
  draft.topOff.largeReservoir = { because, noSiphon, highFloatInSeries: true, displayGuard } satisfies LargeReservoir;
  return ask(
    buildQuantity(
      {
        id: "topOff.largeReservoir.litres",
        asks: "Water in the full reservoir",
        why: "Take what fills your absences and no more: days times evaporation.",
      },
      volume,
      { least: plainL, most: mostL },
    ),
  );
}
