import { GUARD_OF, type OUTPUT_PARTS, PART_WORDS } from "../../../shared/contract/parts.ts";
import { GUARD_PINS, isGuardInput, REST_OPTIONS } from "../../../shared/settings/index.ts";
import { openPinsBeside } from "../../../shared/settings/open-pins.ts";
import {
  buildChoice,
  buildQuestion,
  buildText,
  buildYesOrNo,
  expected,
  type Question,
  type Understood,
  type Words,
} from "../conversation/question.ts";
import type { Draft } from "./draft.ts";
import { boardName } from "./existing.ts";
import type { Sitting } from "./sitting.ts";

/** What Evenbrine shall drive decides what else is asked. */
export interface Drives {
  readonly pump: boolean;
  readonly heater: boolean;
}

export async function askDrives({ ask }: Sitting): Promise<Drives> {
  const pump = await ask(
    buildYesOrNo({
      id: "drives.pump",
      asks: "Shall Evenbrine pour fresh water (top-off)",
      usual: "yes",
      why: "It needs a low-voltage pump, a relay, a water guard in series, a working float, and a high float with a second contact in series.",
    }),
  );
  const heater = await ask(
    buildYesOrNo({
      id: "drives.heater",
      asks: "Shall Evenbrine switch a heater",
      usual: "yes",
      tells:
        "Mains and salt water kill: relay and heat guard are wired by a licensed electrician, behind residual-current " +
        "protection. The heater keeps its own thermostat, and a small base heater stays outside of Evenbrine.",
    }),
  );
  return { pump, heater };
}

/** Whether floats and relays have a board to hang on, and which. */
export async function askBoard(sitting: Sitting, drives: Drives): Promise<boolean> {
  const { ask, draft } = sitting;
  const isNeeded = drives.pump || drives.heater;
  const hasBoard =
    isNeeded ||
    (await ask(
      buildYesOrNo({
        id: "board",
        asks: "Are there floats or sensors on an input board, to be watched",
        usual: "no",
        why: "They hang on a small board with Firmata firmware. Without one Evenbrine watches thermometers and probes.",
      }),
    ));
  if (!hasBoard) return false;
  const port = await askPort(sitting, "board.port", "Serial port of the input board");
  const firmware = await ask(
    buildChoice(
      {
        id: "board.firmware",
        asks: "Which firmware is on it",
        usual: "guard",
        why:
          "Standard firmware holds its outputs for ever when this computer dies. The guard firmware, which " +
          "wiring-notes/guard shows how to flash, lets pump and heater go after two seconds.",
      },
      ["guard", "standard"],
    ),
  );
  draft.boards[boardName(sitting)] = { kind: "firmata", port, firmware };
  return true;
}

export async function askPort({ ask, draft, plugged }: Sitting, id: string, asks: string): Promise<string> {
  const taken = Object.values(draft.boards).map(({ port }) => port);
  const free = plugged.ports.filter((port) => !taken.includes(port));
  return ask(
    buildText(
      {
        id,
        asks,
        why: free.length > 0 ? `Plugged in now: ${free.join(", ")}.` : "Nothing was found plugged in.",
        ...(free[0] === undefined ? {} : { usual: free[0] }),
      },
      "the path of a serial port that nothing else in this file uses, such as /dev/ttyACM0",
      (answer) => /^(\/|COM\d)/i.test(answer) && !taken.includes(answer),
    ),
  );
}

/** A pin by its number, or by its analog name. A board with a wire beyond the pins of an Uno is a Mega. */
export function buildPin(words: Words, sitting: Sitting, isAnalog = false): Question<number> {
  const { draft } = sitting;
  const guarded = hasGuardFirmware(sitting);
  const isMega = pinsOf(draft).some(({ pin }) => pin > UNO.lastAnalog);
  const isUno = guarded || (!isMega && isAnalogWired(draft));
  const { firstAnalog, lastAnalog } = isMega ? MEGA : UNO;
  const analogNames = `A0 to A${lastAnalog - firstAnalog}`;
  const most = isUno ? UNO.lastAnalog : MEGA.lastAnalog;
  const expects = isAnalog
    ? `a free analog pin, ${analogNames}`
    : `a free pin, ${guarded ? "2 to 7, 12" : `from 2 to ${most}`} or ${analogNames}`;
  return buildQuestion(words, expects, (answer): Understood<number> => {
    const [, analog, digits] = answer.match(/^(?:pin\s*)?(a?)(\d{1,2})$/i) ?? [];
    if (digits === undefined) return expected(expects);
    const pin = analog ? firstAnalog + Number(digits) : Number(digits);
    const isThere = analog || isAnalog ? pin >= firstAnalog && pin <= lastAnalog : pin >= 2 && pin <= most;
    if (!isThere || (guarded && !isGuardInput(pin, draft.outputs["heater-2"] !== undefined))) return expected(expects);
    const owner = ownerOf(draft, pin);
    if (owner !== undefined) return expected(`another pin: the ${owner} has ${pin}`);
    if (!guarded && isLastOpen(draft, pin)) {
      return expected(`another pin: standard firmware needs one of each eight unconnected, and ${pin} is the last`);
    }
    return { value: pin, keeps: answer };
  });
}

const UNO = { firstAnalog: 14, lastAnalog: 19 } as const;
const MEGA = { firstAnalog: 54, lastAnalog: 69 } as const;

const isAnalogWired = ({ inputs }: Draft): boolean =>
  Object.values(inputs).some((wiring) => "thermistor" in wiring || "supervised" in wiring);

export const hasGuardFirmware = (sitting: Sitting): boolean =>
  sitting.draft.boards[boardName(sitting)]?.firmware === "guard";

/** Standard firmware reports eight pins by one of them that stays open. */
function isLastOpen(draft: Draft, pin: number): boolean {
  const wired = pinsOf(draft).map((taken) => taken.pin);
  return openPinsBeside(pin, new Set([...wired, pin])).length === 0;
}

export const ownerOf = (draft: Draft, pin: number): string | undefined =>
  pinsOf(draft).find((taken) => taken.pin === pin)?.owner;

/** Every pin that is taken, with who has it: also by what senses power behind a contact. */
function pinsOf({ inputs, outputs }: Draft): readonly { readonly pin: number; readonly owner: string }[] {
  return Object.entries<Wired>({ ...inputs, ...outputs }).flatMap(([part, { pin, sensed }]) => {
    const words = part === "tank-button" ? "button at the tank" : PART_WORDS[part as keyof typeof PART_WORDS];
    const own = pin === undefined ? [] : [{ pin, owner: words }];
    return sensed === undefined ? own : [...own, { pin: sensed.pin, owner: `sensor behind the ${words}` }];
  });
}

interface Wired {
  readonly pin?: number;
  readonly sensed?: { readonly pin: number };
}

/** Relay and guard of the pump, or of a heater. The guard firmware has pins of its own for them. */
export async function askSwitches(sitting: Sitting, relay: keyof typeof GUARD_OF): Promise<void> {
  const { ask, say, draft } = sitting;
  const guarded = hasGuardFirmware(sitting);
  for (const part of [relay, GUARD_OF[relay]]) {
    const words = PART_WORDS[part];
    const usual = `${GUARD_PINS[part]}`;
    const question = { id: `outputs.${part}.pin`, asks: `Pin of the ${words}`, usual, why: SWITCH_WHY[part] };
    const pin = guarded ? GUARD_PINS[part] : await ask(buildPin(question, sitting));
    if (guarded) say(`The guard firmware has the ${words} on pin ${pin}. ${SWITCH_WHY[part]}`);
    draft.outputs[part] = { board: boardName(sitting), pin, energisedLevel: "high" };
  }
}

const SWITCH_WHY = {
  "top-off-pump": "Its relay's normally open contact stands in the low-voltage supply of the pump.",
  "water-guard": "A second contact in series: when one of the two welds, the other still stops the pump.",
  "heater-1": "Its relay's normally open contact is wired by a licensed electrician under your local code.",
  "heat-guard": "A second contact in series with the heater's relay, wired by the same electrician.",
  "heater-2": "A relay of its own, wired by the same electrician: what welds in one heater's line leaves the other.",
  "heat-guard-2": "A second contact in series with the second heater's relay, wired by the same electrician.",
} as const satisfies Record<(typeof OUTPUT_PARTS)[number], string>;

/** Modules that close on a low pin; a guard of the guard firmware is closed by a pulse, and never by a level. */
export async function askLevels(sitting: Sitting): Promise<void> {
  const { ask, say, draft } = sitting;
  const guarded = hasGuardFirmware(sitting);
  for (const part of Object.keys(draft.outputs) as (keyof typeof SWITCH_WHY)[]) {
    if (guarded && !(part in REST_OPTIONS)) continue;
    const energisedLevel = await ask(
      buildChoice(
        {
          id: `outputs.${part}.energisedLevel`,
          asks: `Which level of the pin closes the ${PART_WORDS[part]}`,
          usual: "high",
          why: "At power-on a pin may be low before anything has spoken: better are modules that close on high.",
        },
        ["high", "low"],
      ),
    );
    draft.outputs[part] = { ...draft.outputs[part], energisedLevel };
    if (energisedLevel === "high" || !guarded) continue;
    say(`Then build the guard firmware with ${REST_OPTIONS[part as keyof typeof REST_OPTIONS]}.`);
  }
}
