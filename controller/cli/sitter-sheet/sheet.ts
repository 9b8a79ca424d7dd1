import type { Settings } from "../../../shared/settings/index.ts";
import { formatTemperature, formatVolume } from "../../../shared/units/index.ts";
import { SITTER_ALARMS } from "../../alarms/index.ts";
import { alignColumns } from "../status/status.ts";

/** Everything that stands on the sheet, in words; how it is drawn or printed is not its business. */
export interface SitterSheet {
  readonly tank: string;
  readonly cautions: readonly string[];
  /** How the box is: from the running controller, or lines to be filled in. */
  readonly state: readonly string[];
  readonly call: readonly string[];
  readonly refill: readonly string[];
  /** What the alarm is called, and the first thing to do. */
  readonly alarms: readonly (readonly [title: string, action: string])[];
  readonly leave: readonly string[];
  /** Lines to write down what was done. */
  readonly diary: readonly string[];
}

export interface SheetAsked {
  readonly settings: Settings;
  /** One sentence and rows of a table; null = no controller was there to ask. */
  readonly seen: {
    readonly sentence: string;
    readonly rows: readonly (readonly string[])[];
    readonly date: string;
  } | null;
  /** Whom to call, as it was given. */
  readonly call: readonly string[];
}

const BLANK = "_______________________________";

export function sheetOf({ settings, seen, call }: SheetAsked): SitterSheet {
  const { tank, topOff, targets, units } = settings;
  const hasTopOff = Object.keys(settings.boards).length === 0 || settings.outputs["top-off-pump"] !== undefined;
  return {
    tank: tank.name,
    cautions: [
      "Mains and salt water kill. Unplug everything at the box before hands go in; with water on the floor switch off at the breaker first.",
      "This is not a certified safety device. Never drink this water; some corals are poisonous: touch none of them.",
    ],
    state:
      seen === null
        ? [`On ${BLANK} the water had ______ and a salinity of ______.`, "Right: level at its mark."]
        : [`${seen.date}: ${seen.sentence}`, ...alignColumns(seen.rows)],
    call: call.length > 0 ? [...call, BLANK] : [BLANK, BLANK, BLANK],
    refill: hasTopOff
      ? [
          `Fill the reservoir with the prepared fresh water to ${formatVolume(topOff.reservoirL, units)}, never above that, and never the tank itself.`,
          "No tap water, no salt water. Then enter the litres on the page, or write them down at the foot of this sheet.",
        ]
      : [`Evaporated water is put back with fresh water only, slowly, up to the mark.`],
    alarms: SITTER_ALARMS.filter(({ id }) => hasTopOff || !id.startsWith("reservoir-")).map(
      ({ id, title, whatToDo }) => [
        title,
        id.startsWith("reservoir-")
          ? "Look for water on the floor first. Then refill, as said above."
          : firstAction(whatToDo),
      ],
    ),
    leave: [
      "Whatever else it says: call; at once when the water is not right.",
      `Right is ${formatTemperature(targets.temperatureC, units)} and a salinity of ${targets.salinity}.`,
      "Do not touch: floats and tubes (unless said above), relay box, plugs marked by the keeper, settings, salt, medicine.",
      "Do not clear a lock, and do not feed or dose more than was agreed.",
    ],
    diary: Array.from({ length: 8 }, () => `Date ______________  litres ________  what else ${BLANK}`),
  };
}

/** What is said in so few letters is half an action: the next sentence belongs to it. */
const HALF_SAID = 31;

/** The condition's own first action. */
function firstAction(whatToDo: string): string {
  const [first = "", second] = whatToDo.split(/(?<=\.) /);
  return first.length > HALF_SAID || second === undefined ? first : `${first} ${second}`;
}
