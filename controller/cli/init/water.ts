import { CONTACT_PARTS, type ContactPart, PART_WORDS } from "../../../shared/contract/parts.ts";
import { boxBudget } from "../../../shared/settings/index.ts";
import { portOfPin } from "../../../shared/settings/wiring.ts";
import { typed } from "../typed.ts";
import { CONTACT_FACTS } from "../wiring/contacts.ts";
import { askSwitches, BOARD, pinQuestion } from "./board.ts";
import type { Dialogue, Question } from "./dialogue.ts";
import type { Draft } from "./draft.ts";
import { askFan } from "./fan.ts";
import { custom, line, number, numberAt, yesOrNo } from "./questions.ts";

/** Pins that suit most: the high float on another port than the working float, and one of each port left open. */
const USUAL_PINS: Readonly<Record<ContactPart, string>> = {
  "working-float": "2",
  "high-float": "A2",
  "low-float": "6",
  "reservoir-float": "4",
  "floor-sensor": "5",
  "mains-sensor": "3",
  "return-sensor": "A3",
};

/** The contacts, each on its pin. Which contact is no choice: a broken wire must read as the safe side. */
export async function askContacts({ ask }: Dialogue, draft: Draft): Promise<void> {
  if (draft.boards[BOARD] === undefined) return;
  for (const part of CONTACT_PARTS) {
    const facts = CONTACT_FACTS[part];
    const closedWhen = facts.safe === "on" ? "off" : "on";
    const question = pinQuestion(
      {
        id: `inputs.${part}.pin`,
        asks: `Pin of the ${PART_WORDS[part]}, or none`,
        usual: USUAL_PINS[part],
        why:
          `${PART_WORDS[part]}: from the pin to ground, with the contact that is closed when ${facts.when[closedWhen]}. ` +
          `A broken wire then reads ${facts[facts.safe]}: ${facts.means[facts.safe]}.`,
      },
      draft,
      true,
    );
    const pin = await ask(part === "high-float" ? onAnotherPort(question, draft) : question);
    if (pin !== null) draft.inputs[part] = { board: BOARD, pin, closedWhen };
  }
  if (draft.inputs["low-float"] === undefined) return;
  draft.tank.lowFloatMm = await ask(
    numberAt("tank.lowFloatMm", "mm", {
      asks: "Height of the low float against the working mark, below it and so negative",
      usual: "-60",
      why: "The working mark is the level at which the working float just reads full. The low float hangs above the top of whatever must stay under water, such as a heater.",
    }),
  );
}

/** The high float shares no port of the board with the working float. */
function onAnotherPort(question: Question<number | null>, { inputs }: Draft): Question<number | null> {
  const { "working-float": working } = inputs;
  if (working === undefined || !("pin" in working) || typeof working.pin !== "number") return question;
  const port = portOfPin(working.pin);
  const expected = `a pin outside of ${8 * port} to ${8 * port + 7}: the board reads these eight as one port, and the working float is there`;
  return {
    ...question,
    read: (answer) => {
      const understood = question.read(answer);
      const taken = "value" in understood && understood.value !== null && portOfPin(understood.value) === port;
      return taken ? { expected } : understood;
    },
  };
}

/** Top-off: its switches, and the litres that are measured at the box. */
export async function askTopOff(dialogue: Dialogue, draft: Draft): Promise<void> {
  if (draft.boards[BOARD] === undefined) return;
  if (!draft.inputs["working-float"] || !draft.inputs["high-float"]) {
    dialogue.say(
      "\nTop-off needs a working float and a high float of its own: without both it stays out of this file.",
    );
    return;
  }
  const wanted = await dialogue.ask(
    yesOrNo({
      id: "top-off",
      asks: "Shall Evenbrine pour fresh water",
      usual: "yes",
      why: "It needs a low-voltage pump, a relay, a water guard in series, and the high float in series on a contact of its own.",
    }),
  );
  if (!wanted) return;
  await askSwitches(dialogue, draft, "top-off-pump");
  await askHeights(dialogue, draft);
  await askFlow(dialogue, draft);
  await askFan(dialogue, draft);
  await askReservoir(dialogue, draft);
}

async function askHeights({ ask, say }: Dialogue, draft: Draft): Promise<void> {
  const { tank } = draft;
  say(
    "\nHeights are measured from the working mark: the level of the last chamber at which the working float just reads " +
      "full, with the return pump running.",
  );
  tank.lastChamberM2 = await ask(
    custom(
      {
        id: "tank.lastChamberM2",
        asks: "Length and width of the last chamber inside, in mm, such as 250 x 80",
        why: "All evaporation shows there: its surface tells how much water a millimetre is.",
      },
      chamberArea,
    ),
  );
  tank.floatHysteresisMm = await ask(
    numberAt("tank.floatHysteresisMm", "mm", {
      asks: "Between the working float's low and full",
      usual: "5",
      why: "Its own play, from its data sheet or measured with a ruler. A pour fills so much.",
    }),
  );
  tank.pumpOffLevelMm = await ask(
    numberAt("tank.pumpOffLevelMm", "mm", {
      asks: "Rise of the last chamber above the working mark when the return pump stops",
      why: "Stop the return pump for five minutes and measure: the display drains into the rear.",
    }),
  );
  const least = Math.floor((tank.pumpOffLevelMm as number) + 1);
  tank.highFloatMm = await ask(
    number(
      {
        id: "tank.highFloatMm",
        asks: "Height of the high float above the working mark",
        why: "Above that level, or it would be wet whenever the return pump stops; and below the rim.",
      },
      "mm",
      Math.max(5, least),
      300,
    ),
  );
}

function chamberArea(answer: string): { value: number } | { expected: string } {
  const [, length, width] = answer.match(/^(\d+(?:\.\d+)?)\s*[x×*]\s*(\d+(?:\.\d+)?)(?:\s*mm)?$/i) ?? [];
  const squareMetres = Number(((Number(length) * Number(width)) / 1e6).toPrecision(4));
  return squareMetres >= 0.002 && squareMetres <= 1
    ? { value: squareMetres }
    : { expected: "two lengths in millimetres, such as 250 x 80, that make 0.002 to 1 m²" };
}

async function askFlow({ ask }: Dialogue, draft: Draft): Promise<void> {
  const ml = await ask(
    number(
      {
        id: "topOff.provenFlow",
        asks: "Water that the top-off pump pours into a jug in 30 s",
        why:
          "Measure it through the tube at its final height, twice: the two agree within a tenth. Every litre is counted " +
          "by this.",
      },
      "mL",
      25,
      5000,
    ),
  );
  draft.topOff.provenFlowLPerMin = Number(((ml * 2) / 1000).toFixed(4));
  draft.topOff.evaporationLPerDay = await ask(
    numberAt("topOff.evaporationLPerDay", "L a day", {
      asks: "Evaporation",
      why:
        `Pour by hand for a week and count; \`${typed("bench evaporation")}\` gives a first estimate. More than this is ` +
        "called unexplained, so correct it when you know better.",
    }),
  );
}

async function askReservoir({ ask, say }: Dialogue, draft: Draft): Promise<void> {
  draft.tank.freeVolumePumpOffL = await ask(
    numberAt("tank.freeVolumePumpOffL", "L", {
      asks: "Free volume from the level with the return pump off up to the rim",
      why: "Open surface in m² times free height in mm. This is what may run in before the floor is wet.",
    }),
  );
  draft.tank.freeVolumeWeirBlockedL = await ask(
    numberAt("tank.freeVolumeWeirBlockedL", "L", {
      asks: "Free volume of the display with the return pump on and its weir blocked",
      why:
        "A clogged weir lets the return pump fill the display until it sucks air: take the display's free litres less " +
        "what the pump can still move.",
    }),
  );
  const { tank, targets, topOff } = draft;
  const { largestReservoirL, because } = boxBudget({
    tank,
    targets,
    topOff: { reservoirL: 1, ...topOff },
  } as unknown as Budgeted);
  const most = largestReservoirL.toFixed(1);
  say(`\nThe box takes at most ${most} L of fresh water at worst (${because}).`);
  for (;;) {
    topOff.reservoirL = await ask(
      numberAt("topOff.reservoirL", "L", {
        asks: "Litres in a full reservoir",
        why: `No fault can pour more than the reservoir holds, so its size is the last barrier. Up to ${most} L is safe.`,
      }),
    );
    if (topOff.reservoirL <= largestReservoirL) return;
    const keeps = await ask(
      yesOrNo({
        id: "topOff.reservoirAccepted",
        asks: `More than ${most} L can flood or dilute the box. Keep ${topOff.reservoirL} L all the same`,
      }),
    );
    if (!keeps) continue;
    topOff.largeReservoirAccepted = await ask(
      line(
        { id: "topOff.largeReservoirAccepted", asks: "Why, in your own words", why: "It is recorded and shown." },
        "a reason of at least 10 characters",
        (words) => words.length >= 10,
      ),
    );
    return;
  }
}

type Budgeted = Parameters<typeof boxBudget>[0];
