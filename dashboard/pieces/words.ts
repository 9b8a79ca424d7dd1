/** How numbers and times are said to a person. Reasons and doubts come as sentences from the controller. */

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
