import { REASONS } from "../../shared/contract/index.ts";
import { ALARM_WORDS } from "../alarms/index.ts";
import { type Damage, EXPECTATIONS, type Expectation, type ExpectedTrip } from "./expectations.ts";
import { FAULT_KINDS } from "./faults/table.ts";
import type { Scenario } from "./scenario.ts";

/** SCENARIOS.md, made from the scenarios and from what must come of them. */
export function scenariosPage(scenarioOf: (file: string) => Scenario): string {
  const chapters = EXPECTATIONS.flatMap(({ title, rows }) => [
    `## ${title}`,
    "",
    ...table(
      HEADINGS,
      rows.map((row) => cellsOf(row, scenarioOf(row.scenario))),
    ),
    "",
  ]);
  return `${[...PREFACE, ...chapters, ...kindLines()].join("\n")}\n`;
}

const PREFACE = [
  "# Scenarios",
  "",
  "Made from `scenarios/*.json` and `expectations.ts`: do not edit this page, but those, and write it anew with",
  "`UPDATE_PAGES=1 npm test -- tests/rehearsal/scenarios-page.test.ts`. Every row is a test.",
  "",
  "All run on the default tank: 140 L, a reservoir of 10 L, which is more than the box can take and is accepted by name so",
  "that the worst can be seen. _Greatest damage_ is what the scan may let happen: water on the floor, salinity away from 35,",
  "kelvin away from 25 °C. _Bare parts alone_ is the same tank with a float that switches the pump by a relay and a",
  "thermostat that switches the heater. What a board or a computer would do does not happen to bare parts.",
  "This is simulated water: it shows how the program decides, not that a real box is safe.",
  "",
  "Run one with `npm run evenbrine -- rehearse controller/rehearsal/scenarios/NAME.json`; add `--beside-bare-parts` and",
  "`--plot out.svg` to see it.",
  "",
];

const HEADINGS = ["scenario", "shows", "what stops it", "who tells", "greatest damage", "bare parts alone"];

function cellsOf({ scenario, shows, trip, alarm, damage, bare }: Expectation, { name, hours }: Scenario): string[] {
  return [
    `**${scenario}** ${name}, ${hours} h`,
    shows,
    tripWords(trip),
    alarm === null ? "nobody: no alarm" : alarmWords(alarm),
    damageWords(damage),
    damageWords(bare),
  ];
}

/** Columns of one width, as the formatter of the house lays them out. */
function table(headings: readonly string[], rows: readonly (readonly string[])[]): string[] {
  const widths = headings.map((heading, place) =>
    Math.max(heading.length, 3, ...rows.map((cells) => (cells[place] as string).length)),
  );
  const line = (cells: readonly string[], fill: string) =>
    `| ${cells.map((cell, place) => cell.padEnd(widths[place] as number, fill)).join(" | ")} |`;
  return [
    line(headings, " "),
    line(
      headings.map(() => ""),
      "-",
    ),
    ...rows.map((cells) => line(cells, " ")),
  ];
}

function tripWords({ kind, reasons }: ExpectedTrip): string {
  if (kind === "none") return "nothing: it goes on";
  if (kind === "any") return "nothing is locked";
  const why = reasons.map((reason) => `\`${reason}\` ${REASONS[reason]}`).join(" ");
  return kind === "locks" ? `locked: ${why}` : `stopped: ${why}`;
}

function alarmWords(id: string): string {
  const words = ALARM_WORDS.find((each) => each.id === id);
  if (words === undefined) throw new Error(`no alarm ${id}`);
  return `${words.title} (\`${id}\`, ${words.priority})`;
}

function damageWords({ floorL, salinity, kelvin }: Damage): string {
  const floor = floorL === 0 ? "dry floor" : `**${floorL.toFixed(1)} L on the floor**`;
  return `${floor}, ±${salinity.toFixed(1)}, ±${kelvin.toFixed(1)} K`;
}

const kindLines = (): string[] => [
  "## Kinds of fault",
  "",
  ...table(
    ["kind", "what it does"],
    FAULT_KINDS.map(({ kind, says }) => [`\`${kind}\``, says]),
  ),
];
