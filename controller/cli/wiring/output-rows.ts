import { GUARD_OF, OUTPUT_PARTS, type OutputPart, PART_WORDS } from "../../../shared/contract/parts.ts";
import type { OutputWiring, Settings } from "../../../shared/settings/index.ts";
import { pinWords } from "./pins.ts";
import type { Row } from "./row.ts";

interface SwitchFacts {
  readonly place: string;
  readonly welded: string;
  readonly seen: string;
}

const SWITCHES: Readonly<Record<OutputPart, SwitchFacts>> = {
  "top-off-pump": {
    place: "normally open contact in the pump's supply",
    welded: "water guard stops the pump",
    seen: "off: the pump rests; jug: mL/s twice",
  },
  "water-guard": {
    place: "second normally open contact in the pump's supply",
    welded: "unseen, relay alone is left; monthly test",
    seen: "open it by hand: the pump stops",
  },
  "heater-1": {
    place: "normally open contact in the heater's line, by an electrician",
    welded: "heat guard and own thermostat cut",
    seen: "off: the heater's lamp is dark",
  },
  "heat-guard": {
    place: "second normally open contact in the heater's line, by an electrician",
    welded: "unseen, relay alone is left; monthly test",
    seen: "open it: the heater goes off",
  },
  "heater-2": {
    place: "normally open contact in the second heater's line, by an electrician",
    welded: "its heat guard and own thermostat cut",
    seen: "off: its lamp is dark",
  },
  "heat-guard-2": {
    place: "second normally open contact in the second heater's line, by an electrician",
    welded: "unseen, relay alone is left; monthly test",
    seen: "open it: the second heater goes off",
  },
};

const GUARDS: readonly OutputPart[] = Object.values(GUARD_OF);

/** A row for each output that the settings name. */
export const outputRows = (settings: Settings): Row[] =>
  OUTPUT_PARTS.flatMap((part) => {
    const wiring = settings.outputs[part];
    return wiring ? [outputRow(part, wiring, settings)] : [];
  });

function outputRow(part: OutputPart, wiring: OutputWiring, { boards }: Settings): Row {
  const board = boards[wiring.board];
  const isGuard = GUARDS.includes(part);
  const pulsed = isGuard && board?.kind === "firmata" && board.firmware === "guard";
  const closes = pulsed ? "closed only while the pin pulses" : `closed while the pin is ${wiring.energisedLevel}`;
  return {
    key: part,
    words: PART_WORDS[part],
    board: wiring.board,
    terminal: pinWords(wiring.pin),
    drawing: pulsed ? "guard" : "relay",
    wiring: `${SWITCHES[part].place}; ${closes}${sensedWords(wiring)}`,
    broken: "coil dead: off",
    shorted: `contact welded: ${SWITCHES[part].welded}`,
    safe: "open: off",
    seen: SWITCHES[part].seen,
  };
}

function sensedWords({ sensed }: OutputWiring): string {
  if (sensed === undefined) return "";
  return `; power behind it ${sensed.closedWhen === "on" ? "closes" : "opens"} pin ${sensed.pin} of ${sensed.board}`;
}
