import { CONTACT_PARTS, type ContactPart, PART_WORDS } from "../../../shared/contract/parts.ts";
import { portOfPin } from "../../../shared/settings/wiring.ts";
import { buildList, buildYesOrNo, expected, type Question } from "../conversation/question.ts";
import { CONTACT_FACTS } from "../wiring/contacts.ts";
import { buildPin, type Drives } from "./board.ts";
import { boardName, contactAsItIs } from "./existing.ts";
import type { Sitting } from "./sitting.ts";

/** Pins that suit most: the high float on another port than the working float, and one of each port left open. */
export const USUAL_PINS: Readonly<Record<ContactPart, string>> = {
  "working-float": "2",
  "high-float": "A2",
  "low-float": "6",
  "reservoir-float": "4",
  "floor-sensor": "5",
  "mains-sensor": "3",
  "return-sensor": "A3",
};

/** How each is called in a list. */
const NAMES: Readonly<Record<string, ContactPart>> = {
  working: "working-float",
  high: "high-float",
  low: "low-float",
  reservoir: "reservoir-float",
  floor: "floor-sensor",
  mains: "mains-sensor",
  return: "return-sensor",
};
export const nameOfContact = (part: ContactPart): string =>
  Object.keys(NAMES).find((name) => NAMES[name] === part) as string;

/** Without these two nothing is poured. */
const NEEDED: readonly ContactPart[] = ["working-float", "high-float"];

/** The contacts, each on its pin. Which contact is no choice: a broken wire must read as the safe side. */
export async function askContacts(sitting: Sitting, { pump }: Drives): Promise<void> {
  const fitted = await askFitted(sitting, pump);
  if (fitted.length === 0) return;
  const usual = fitted.map((part) => `${PART_WORDS[part]} ${USUAL_PINS[part]}`).join(", ");
  const areUsual = await sitting.ask(
    buildYesOrNo({
      id: "usualPins",
      asks: `Do they hang on the usual pins (${usual})`,
      usual: "yes",
      why: "Each hangs between its pin and ground, with the contact that reads the safe side when a wire breaks: the wiring sheet shows which. No is answered pin by pin.",
    }),
  );
  for (const part of fitted) await wireContact(sitting, part, areUsual);
}

async function askFitted({ ask }: Sitting, pump: boolean): Promise<readonly ContactPart[]> {
  const names = Object.keys(NAMES).filter((name) => !pump || !NEEDED.includes(NAMES[name] as ContactPart));
  const asks = pump
    ? "Working float and high float are needed. Which others are fitted"
    : "Which floats and sensors are fitted";
  const chosen = await ask(
    buildList(
      {
        id: "contacts",
        asks,
        usual: "all",
        why:
          "low: a float that falls dry before the heater does. reservoir: in the fresh water, against a dry pump. floor: " +
          "water where none belongs. mains: whether there is power at the pumps. return: whether the return pump runs, " +
          "without which nobody finds a float that is stuck.",
      },
      names,
    ),
  );
  const parts = chosen.map((name) => NAMES[name] as ContactPart);
  return CONTACT_PARTS.filter((part) => (pump && NEEDED.includes(part)) || parts.includes(part));
}

async function wireContact(sitting: Sitting, part: ContactPart, isUsual: boolean): Promise<void> {
  const facts = CONTACT_FACTS[part];
  const closedWhen = facts.safe === "on" ? "off" : "on";
  const usual = USUAL_PINS[part];
  const question = buildPin(
    {
      id: `inputs.${part}.pin`,
      asks: `Pin of the ${PART_WORDS[part]}`,
      usual,
      why:
        `From the pin to ground, with the contact that is closed when ${facts.when[closedWhen]}. A broken wire then reads ` +
        `${facts[facts.safe]}: ${facts.means[facts.safe]}.`,
    },
    sitting,
  );
  const checked = part === "high-float" ? onAnotherPort(question, sitting) : question;
  const understood = checked.read(usual);
  // What stands in the way of a usual pin is asked about, not passed over.
  const pin = isUsual && "value" in understood ? understood.value : await sitting.ask(checked);
  const wiring = { board: boardName(sitting), pin, closedWhen };
  sitting.draft.inputs[part] = contactAsItIs(sitting, part, wiring) ?? wiring;
}

/** The high float shares no port of the board with the working float. */
function onAnotherPort(question: Question<number>, { draft }: Sitting): Question<number> {
  const working = draft.inputs["working-float"] as { readonly pin?: number } | undefined;
  if (working?.pin === undefined) return question;
  const port = portOfPin(working.pin);
  return {
    ...question,
    read: (answer) => {
      const understood = question.read(answer);
      const isTaken = "value" in understood && portOfPin(understood.value) === port;
      return isTaken
        ? expected(
            `a pin outside of ${8 * port} to ${8 * port + 7}: the board reads these eight as one port, and the working ` +
              "float is there",
          )
        : understood;
    },
  };
}
