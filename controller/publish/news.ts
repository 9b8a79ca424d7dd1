/**
 * Whether a new text on a topic is worth a message, `sinceMs` after the last one. A box at rest is a quiet tree: what
 * only counts on is told every few seconds, and so is a wobble of the last digit. Everything else is told at once.
 */
export function isNews(topic: string, before: string, now: string, sinceMs: number): boolean {
  if (before === now) return false;
  if (topic.endsWith("/clock")) return sinceMs >= CLOCK_EVERY_MS;
  // Beginning or ceasing to be known is news on every topic.
  if (before === "" || now === "") return true;
  if (COUNTING_ON.test(topic)) return sinceMs >= COUNTING_EVERY_MS;
  if (FIXED_MOMENT.test(topic)) return Math.abs(Date.parse(now) - Date.parse(before)) > MOMENT_WITHIN_MS;
  if (isLastDigit(before, now)) return sinceMs >= COUNTING_EVERY_MS;
  return true;
}

/** From the clock a page knows that the controller lives. */
export const CLOCK_EVERY_MS = 1_000;
export const COUNTING_EVERY_MS = 5_000;
/** Two clocks measured the same moment: how far apart it may come out. */
const MOMENT_WITHIN_MS = 2_000;

/** Moves by itself as time goes on. */
const COUNTING_ON =
  /\/(measured-at|uncertainty|last-value|times-in-hour|due|budget-left|reservoir-days|duty|count|worst-ms|lateness-p99-ms|lateness-worst-ms|estimate-mm)$/;
/** Is reckoned anew in every scan and stands still. */
const FIXED_MOMENT = /\/(since|until)$/;

/** Plain decimals of the same kind that differ by no more than one in the last place. */
function isLastDigit(before: string, now: string): boolean {
  const decimals = /^-?\d+\.(\d+)$/.exec(now)?.[1]?.length;
  if (decimals === undefined || !/^-?\d+\.\d+$/.test(before)) return false;
  return Math.abs(Number(now) - Number(before)) < 1.5 * 10 ** -decimals;
}
