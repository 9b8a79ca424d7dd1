/**
 * "Three times in an hour" without a list of moments: every event adds two thirds of the window, time drains the rest
 * at full speed, and four thirds of the window is three events in it. Saturates at two windows.
 */
export const addEvent = (amountMs: number, windowMs: number): number =>
  Math.min(2 * windowMs, amountMs + Math.round((2 * windowMs) / 3));

export const drain = (amountMs: number, elapsedMs: number): number => Math.max(0, amountMs - elapsedMs);

export const isThrice = (amountMs: number, windowMs: number): boolean => 3 * amountMs >= 4 * windowMs - 3;
