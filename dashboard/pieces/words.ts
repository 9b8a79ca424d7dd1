import { REASONS } from "../../shared/contract/reasons.ts";
import type { Doubt } from "../../shared/contract/signal.ts";

/** How what was measured, when, and why it is doubted is said to a person. */

/** Rounded to `decimals`; the uncertainty is rounded up, since a value must never look surer than it is. */
export function valueWords(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return /^-0(\.0+)?$/.test(text) ? text.slice(1) : text.replace("-", "−");
}

export function uncertaintyWords(uncertainty: number, decimals: number): string {
  const step = 10 ** decimals;
  // The small allowance keeps 0.9 from becoming 1.0 by the way a computer writes 0.9.
  return (Math.ceil(uncertainty * step - 1e-6) / step).toFixed(decimals);
}

export function ageWords(ageMs: number): string {
  const seconds = Math.round(ageMs / 1000);
  if (seconds < 5) return "just now";
  if (seconds < 90) return `${seconds} s ago`;
  if (seconds < 90 * 60) return `${Math.round(seconds / 60)} min ago`;
  if (seconds < 36 * 3600) return `${Math.round(seconds / 3600)} h ago`;
  return `${Math.round(seconds / 86_400)} days ago`;
}

export function leftWords(leftMs: number): string {
  const seconds = Math.max(0, Math.ceil(leftMs / 1000));
  if (seconds < 60) return `${seconds} s`;
  const minutes = Math.floor(seconds / 60);
  if (minutes < 60) return `${minutes} min ${String(seconds % 60).padStart(2, "0")} s`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}

/** Time of day, with the day where it is not the same day as `nowMs`. */
export function timeWords(atMs: number, nowMs: number | null): string {
  const time = CLOCK.format(atMs);
  return nowMs === null || DAY.format(atMs) !== DAY.format(nowMs) ? `${DAY.format(atMs)}, ${time}` : time;
}

const CLOCK = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" });
const DAY = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short" });

const DOUBTS: Record<Doubt, string> = {
  "not-yet": "the probe has reported nothing yet",
  "no-answer": "the probe does not answer",
  garbled: "the answer came cut short or damaged",
  "not-a-number": "the probe answered with something that is no number",
  "open-circuit": "the wire is open",
  "short-circuit": "the wire is shorted",
  "power-on-value": "the probe gives the value it has when just powered",
  "all-zero": "the line to the probe gives nothing but zeros",
  disconnected: "the board or the line is gone",
  stale: "no new reading for too long",
  "out-of-range": "the reading is outside what is possible",
  stuck: "the reading does not move at all",
  spike: "the reading jumped and came back",
  rate: "it changes faster than water can; the probe may be out of the water",
  disagrees: "the thermometers disagree",
  single: "there is nothing to compare it with",
  bubbles: "the return pump has just started; bubbles disturb the probe",
  extrapolated: "it is outside the range the equation was made for",
  "not-fitted": "no such probe is fitted",
};

const KNOWN_DOUBTS: ReadonlyMap<string, string> = new Map(Object.entries(DOUBTS));
const KNOWN_REASONS: ReadonlyMap<string, string> = new Map(Object.entries(REASONS));

/** A doubt by its name; a sentence stays the sentence it is. */
export const doubtWords = (doubt: string): string => KNOWN_DOUBTS.get(doubt) ?? doubt;

/** One reason, or several after each other with commas; a sentence stays the sentence it is. */
export function reasonWords(text: string): readonly string[] {
  if (text === "") return [];
  const names = text.split(",").map((name) => name.trim());
  const sentences = names.map((name) => KNOWN_REASONS.get(name));
  return sentences.every((sentence) => sentence !== undefined) ? sentences : [text];
}
