import { formatVolume, type KeeperUnits } from "../units/index.ts";
import type { AbsenceSpan, Due, DueKind, Outlook, OutlookRow } from "./absence.ts";
import { capital } from "./sentence.ts";

/** Every sentence about an absence. */

export interface OutlookWords {
  /** One line, to be read first. */
  readonly verdict: string;
  /** What runs out or falls due before somebody is back, and what to do now. */
  readonly asks: readonly string[];
  /** What lasts. */
  readonly lasts: readonly string[];
}

/** How a time so many hours from now is called: `in 3 days`, or by its date where a clock is known. */
export type NameTime = (hours: number) => string;

const HOURS_A_DAY = 24;

export const inDays: NameTime = (hours) => (hours < 1 ? "now" : `in ${spellHours(hours)}`);

const spellHours = (hours: number): string =>
  hours < 2 * HOURS_A_DAY ? plural(hours, "hour") : plural(hours / HOURS_A_DAY, "day");

/** Whole ones, cut and not rounded: what lasts for 5.9 days lasts for five. */
const plural = (amount: number, unit: string): string => {
  const whole = Math.floor(amount + 1e-9);
  return `${whole} ${unit}${whole === 1 ? "" : "s"}`;
};

export function describeOutlook(outlook: Outlook, units: KeeperUnits, name: NameTime = inDays): OutlookWords {
  const asking = groupRows(outlook.rows.filter(({ remedy }) => remedy !== "nothing"));
  const lasting = groupRows(outlook.rows.filter(({ remedy }) => remedy === "nothing"));
  return {
    verdict: verdictWords(outlook, asking.length),
    asks: asking.map((row) => `${standingWords(row, units, name)} ${remedyWords(row, outlook, units, name)}`),
    lasts: lasting.map((row) => standingWords(row, units, name)),
  };
}

function verdictWords({ verdict, rows }: Outlook, count: number): string {
  if (verdict === "nothing") return "Nothing runs out or falls due before you are back.";
  const things = count === 1 ? "One thing runs out or falls due" : `${count} things run out or fall due`;
  const sitter = rows.filter(({ remedy }) => remedy === "sitter").map(({ due }) => NOUNS[due.kind]);
  switch (verdict) {
    case "sitter":
      return `${things} before you are back, and somebody must come meanwhile, for ${joinWords(sitter)}.`;
    case "stays-due":
      return `${things} before you are back; not all can be done so that it lasts, and what falls due then waits for you.`;
    default:
      return `${things} before you are back; all can be done before you leave.`;
  }
}

const NOUNS: Readonly<Record<DueKind, string>> = {
  lock: "a lock",
  reservoir: "the reservoir",
  measurement: "a measurement of the salinity",
  calibration: "a calibration",
  proof: "a proof",
  cartridge: "the cartridge",
};

interface Grouped extends OutlookRow {
  readonly names: readonly string[];
}

/** What stands alike, such as proofs of one day, is one line. */
function groupRows(rows: readonly OutlookRow[]): readonly Grouped[] {
  const groups = new Map<string, Grouped>();
  for (const row of rows) {
    const { kind, of, earliestH, renewedH } = row.due;
    const key = [kind, row.remedy, earliestH === null ? "" : Math.ceil(earliestH / HOURS_A_DAY), renewedH].join();
    const before = groups.get(key);
    const names = [...(before?.names ?? []), ...(of === null ? [] : [of])];
    groups.set(key, { ...(before ?? row), names });
  }
  return [...groups.values()];
}

function standingWords({ due, names }: Grouped, units: KeeperUnits, name: NameTime): string {
  const which = joinWords(names);
  const isDue = due.inH === 0;
  switch (due.kind) {
    case "lock":
      return `${capital(which)} is locked.`;
    case "reservoir":
      return reservoirWords(due, units, name);
    case "measurement":
      return isDue
        ? "The salinity is to be measured by hand: until then less is poured, or nothing."
        : `The salinity is to be measured by hand ${spanWords(due, name)}: after that less is poured, or nothing.`;
    case "calibration":
      return `The calibration of the ${which} ${isDue ? "is due" : `falls due ${spanWords(due, name)}`}.`;
    case "proof":
      return isDue ? `To be proven: ${which}.` : `Due to be proven again ${spanWords(due, name)}: ${which}.`;
    case "cartridge":
      return "When the cartridge of the source water is spent nobody can tell beforehand.";
  }
}

function reservoirWords(due: Due, units: KeeperUnits, name: NameTime): string {
  const left = due.litres?.left ?? null;
  if (left === null) return "Nobody has told how much the reservoir holds.";
  const holds = `The reservoir holds ${formatVolume(left, units)}`;
  return due.inH === 0 ? `${holds}.` : `${holds} and is empty ${spanWords(due, name)}.`;
}

/** When it is expected, and when at the earliest where that is another day. */
function spanWords({ inH, earliestH }: Due, name: NameTime): string {
  if (inH === null || earliestH === null) return "at a time that nobody can tell";
  const [expected, earliest] = [name(inH), name(earliestH)];
  return expected === earliest ? expected : `${expected}, at the earliest ${earliest}`;
}

function remedyWords(row: Grouped, { fromH, toH }: Outlook, units: KeeperUnits, name: NameTime): string {
  const { kind, renewedH, litres } = row.due;
  const again = renewedH === null ? "" : name(fromH + renewedH);
  const isEnough = row.remedy === "before-leaving";
  switch (kind) {
    case "lock":
      return "Find its cause and clear it before you leave.";
    case "reservoir": {
      const lasts = renewedH === null ? "" : `: that lasts ${spellHours(renewedH)} at least`;
      const full = `Fill it to ${formatVolume(litres?.full ?? 0, units)} before you leave${lasts}.`;
      if (isEnough) return full;
      const times = Math.ceil((toH - fromH) / (renewedH ?? 1)) - 1;
      return `${full} Have it refilled ${plural(times, "time")}, first ${again}, no later.`;
    }
    case "measurement":
      return isEnough
        ? "Measure and enter it before you leave."
        : `Measure and enter it before you leave, and have somebody with a meter do so again ${again}, no later.`;
    case "calibration":
      return isEnough
        ? "Calibrate before you leave."
        : `Calibrate before you leave. It falls due again ${again}; its doubt grows, and it waits for you.`;
    case "proof":
      return isEnough
        ? "Prove before you leave."
        : `Prove before you leave. It falls due again ${again}, and waits for you.`;
    case "cartridge":
      return "Have fresh water stand ready for whoever refills.";
  }
}

/** What is answered to whoever tells of an absence or of its end. */
export const ABSENCE_ANSWERS = {
  noted: ({ fromH, toH }: AbsenceSpan): string =>
    `Noted: away ${fromH < 1 ? "from now on" : `from ${spellHours(fromH)} from now on`}, back ${spellHours(toH)} from ` +
    "now. Until then reminders rest that need you; alarms stay as they are.",
  over: "Welcome back: reminders are sent again.",
  none: "No absence stands that could end.",
  standing: (hasBegun: boolean, endsInH: number | null): string =>
    `An absence ${hasBegun ? "stands" : "is planned"} already, ${
      endsInH === null ? "until somebody says that it is over" : `over ${inDays(endsInH)}`
    }: end that one first.`,
  from: (mostDays: number): string => `An absence begins from now to ${mostDays} days from now.`,
  backwards: "It ends before it begins: the end must come later than the beginning.",
  lasts: (mostDays: number): string => `An absence lasts from 1 hour to ${mostDays} days.`,
} as const;

function joinWords(words: readonly string[]): string {
  const last = words.at(-1);
  if (words.length < 2) return last ?? "";
  return `${words.slice(0, -1).join(", ")} and ${last}`;
}
