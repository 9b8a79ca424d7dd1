import { GUARD_OF, type OUTPUT_PARTS, PART_WORDS } from "../../../shared/contract/parts.ts";
import { openPinsBeside } from "../../../shared/settings/open-pins.ts";
import { GUARD_PINS, REST_OPTIONS } from "../wiring/advice.ts";
import type { Dialogue, Question, Understood } from "./dialogue.ts";
import type { Draft, PluggedIn } from "./draft.ts";
import { choice, custom, line, number, yesOrNo } from "./questions.ts";

/** The name of the input board in the settings. */
export const BOARD = "io";

/** Whether floats and relays have a board to hang on, and which. */
export async function askBoard({ ask }: Dialogue, draft: Draft, { ports }: PluggedIn): Promise<void> {
  const hasBoard = await ask(
    yesOrNo({
      id: "board",
      asks: "Does an input board hang on a serial port",
      usual: "yes",
      why:
        "Floats and relays hang on a small board with Firmata firmware. Without one Evenbrine only watches " +
        "thermometers and probes.",
    }),
  );
  if (!hasBoard) return;
  const port = await askPort({ ask }, draft, ports, "board.port", "Port of the board");
  const firmware = await ask(
    choice(
      {
        id: "board.firmware",
        asks: "Which firmware is on it",
        usual: "guard",
        why:
          "Standard firmware holds its outputs for ever when this computer dies. The guard firmware of the wiring notes " +
          "lets pump and heater go after two seconds.",
      },
      ["guard", "standard"],
    ),
  );
  draft.boards[BOARD] = { kind: "firmata", port, firmware };
}

export async function askPort(
  { ask }: Pick<Dialogue, "ask">,
  draft: Draft,
  ports: readonly string[],
  id: string,
  asks: string,
): Promise<string> {
  const taken = Object.values(draft.boards).map(({ port }) => port);
  const free = ports.filter((port) => !taken.includes(port));
  const why = free.length > 0 ? `Plugged in now: ${free.join(", ")}.` : "Nothing was found plugged in.";
  return ask(
    line(
      { id, asks, why, ...(free[0] === undefined ? {} : { usual: free[0] }) },
      "the path of a serial port that nothing else in this file uses, such as /dev/ttyACM0",
      (answer) => /^(\/|COM\d)/i.test(answer) && !taken.includes(answer),
    ),
  );
}

/** A pin by its number, or by its analog name on an Uno; `none` where the part is not fitted. */
export function pinQuestion(
  words: Omit<Question<unknown>, "read">,
  draft: Draft,
  mayBeNone: boolean,
): Question<number | null> {
  return custom<number | null>(words, (answer): Understood<number | null> => {
    if (mayBeNone && /^none$/i.test(answer)) return { value: null };
    const expected = `the number of a free pin, ${allowed(draft)}${mayBeNone ? ", or none" : ""}`;
    const [, analog, digits] = answer.match(/^(?:pin\s*)?(a?)(\d{1,2})$/i) ?? [];
    if (digits === undefined) return { expected };
    const pin = analog ? 14 + Number(digits) : Number(digits);
    if (analog && pin > 19) return { expected };
    const owner = ownerOf(draft, pin);
    if (owner !== undefined) return { expected: `another pin: the ${owner} has ${pin}` };
    if (isLastOpen(draft, pin)) {
      return { expected: `another pin: standard firmware needs one of each eight unconnected, and ${pin} is the last` };
    }
    return isAllowed(draft, pin) ? { value: pin } : { expected };
  });
}

export const hasGuardFirmware = (draft: Draft): boolean => draft.boards[BOARD]?.firmware === "guard";

const allowed = (draft: Draft): string =>
  hasGuardFirmware(draft) ? "2 to 7, 12 or A0 to A5 with the guard firmware" : "from 2 to 69, or A0 to A5 of an Uno";

/** With guard firmware pins 8 to 11 are its outputs and 13 its lamp. */
const isAllowed = (draft: Draft, pin: number): boolean =>
  hasGuardFirmware(draft) ? (pin >= 2 && pin <= 7) || pin === 12 || (pin >= 14 && pin <= 19) : pin >= 2 && pin <= 69;

/** Standard firmware reports eight pins by one of them that stays open. */
function isLastOpen(draft: Draft, pin: number): boolean {
  if (hasGuardFirmware(draft)) return false;
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
export async function askSwitches({ ask, say }: Dialogue, draft: Draft, relay: keyof typeof GUARD_OF): Promise<void> {
  const guarded = hasGuardFirmware(draft);
  const guard = GUARD_OF[relay];
  for (const part of [relay, guard]) {
    const words = PART_WORDS[part];
    const usual = `${GUARD_PINS[part]}`;
    const pin = guarded
      ? GUARD_PINS[part]
      : await ask(
          pinQuestion(
            { id: `outputs.${part}.pin`, asks: `Pin of the ${words}`, usual, why: SWITCH_WHY[part] },
            draft,
            false,
          ),
        );
    if (guarded) say(`\nThe guard firmware has the ${words} on pin ${pin}. ${SWITCH_WHY[part]}`);
    const pulsed = guarded && part === guard;
    draft.outputs[part] = {
      board: BOARD,
      pin,
      energisedLevel: pulsed ? "high" : await askLevel({ ask, say }, part, guarded),
    };
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

async function askLevel(
  { ask, say }: Dialogue,
  part: keyof typeof SWITCH_WHY,
  guarded: boolean,
): Promise<"high" | "low"> {
  const level = await ask(
    choice(
      {
        id: `outputs.${part}.energisedLevel`,
        asks: `Which level of the pin closes the ${PART_WORDS[part]}`,
        usual: "high",
        why: "Choose modules that close on high: at power-on a pin may be low before anything has spoken.",
      },
      ["high", "low"],
    ),
  );
  if (level === "low" && guarded && part in REST_OPTIONS) {
    say(`Then build the guard firmware with ${REST_OPTIONS[part as keyof typeof REST_OPTIONS]}.`);
  }
  return level;
}

/** Standard firmware holds its outputs: who opens them when this computer dies must be said. */
export async function askWhoLetsGo({ ask }: Dialogue, draft: Draft): Promise<void> {
  if (Object.keys(draft.outputs).length === 0 || hasGuardFirmware(draft)) return;
  const answer = await ask(
    choice(
      {
        id: "letsGo",
        asks: "What opens pump and heater when this computer dies",
        usual: "attended",
        why:
          "With standard firmware they stay as they are. Either a switch of its own opens them (a timer relay that must " +
          "be fed), or somebody stays beside the box and all goes off after a while.",
      },
      ["attended", "switch"],
    ),
  );
  if (answer === "switch") {
    draft.independentGuard = await ask(
      line(
        { id: "independentGuard", asks: "Which switch, in your own words" },
        "a sentence of at least 10 characters that somebody else understands",
        (words) => words.length >= 10,
      ),
    );
    return;
  }
  draft.attendedMinutes = Math.round(
    await ask(
      number(
        { id: "attendedMinutes", asks: "How long does somebody stay after each start", usual: "60" },
        "min",
        10,
        240,
      ),
    ),
  );
}
