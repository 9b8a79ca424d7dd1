import { z } from "zod";

/** The time that the controller goes by; null = its clock was never set. */
export type Clock = number | null;

/** Of a day without a time: its first minute, or its last. */
export type OfDay = "first" | "last";

export type Moment = { readonly hours: number } | { readonly refused: string };

const HOUR_MS = 3_600_000;
const UNIT_HOURS = { hour: 1, day: 24, week: 168 } as const;

export const MOMENTS_EXPECTED = "“now”, “in 14 days” (hours, days, weeks), 2027-01-31, or “2027-01-31 18:30”";

/** No controller of this program ever ran before: an earlier clock starts at nothing with every power cut. */
const NEVER_BEFORE_MS = Date.UTC(2025, 0, 1);

/** What a clock says that stands on a topic. */
export function readClock(text: string): Clock {
  const atMs = Date.parse(text);
  return Number.isNaN(atMs) || atMs < NEVER_BEFORE_MS ? null : atMs;
}

/** A moment as it was typed, in hours from now. */
export function readMoment(typed: string, ofDay: OfDay, clock: Clock): Moment {
  const text = typed.trim().toLowerCase();
  if (text === "now") return { hours: 0 };
  const relative = /^in (\d{1,4}) (hour|day|week)s?$/.exec(text);
  if (relative !== null) return { hours: Number(relative[1]) * UNIT_HOURS[relative[2] as keyof typeof UNIT_HOURS] };
  const local = readLocal(text, ofDay);
  if (local === null) return { refused: `“${typed}” will not do: expected ${MOMENTS_EXPECTED}.` };
  if (clock === null) {
    return {
      refused: "The controller's clock was never set, so it knows no dates: say “now” or “in 14 days” instead.",
    };
  }
  const isToday =
    ofDay === "first" && local <= clock && dayOf(local) === dayOf(clock) && z.iso.date().safeParse(text).success;
  return { hours: isToday ? 0 : (local - clock) / HOUR_MS };
}

/** Dates and times are those of this computer's place; null = there is no such day or time. */
function readLocal(text: string, ofDay: OfDay): number | null {
  if (z.iso.date().safeParse(text).success) return Date.parse(`${text}T${ofDay === "first" ? "00:00:00" : "23:59:00"}`);
  const at = text.replace(/[ t]/, "T");
  return z.iso.datetime({ local: true, offset: false }).safeParse(at).success && !at.endsWith("z")
    ? Date.parse(at)
    : null;
}

const dayOf = (atMs: number): string => new Date(atMs).toDateString();

/** A moment as it stands on a topic, for a person at this place; what is no moment stays as it is. */
export function nameMoment(iso: string): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return iso;
  const words = { weekday: "short", day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" } as const;
  return new Intl.DateTimeFormat("en-GB", words).format(at);
}

/** How a time so many hours from now is called where the clock is known. */
export function nameDay(hours: number, clock: number): string {
  if (hours < 1) return "now";
  const words = new Intl.DateTimeFormat("en-GB", { weekday: "short", day: "numeric", month: "long" });
  return `on ${words.format(new Date(clock + hours * HOUR_MS))}`;
}
