/**
 * "Three times in an hour" without a list of moments: every event adds a window, time drains it at full speed, and more
 * than two windows are three events within one. Two events at once, as a ripple makes them, stay two. Saturates at three
 * windows.
 */
export const addEvent = (amountMs: number, windowMs: number): number => Math.min(3 * windowMs, amountMs + windowMs);

export const drain = (amountMs: number, elapsedMs: number): number => Math.max(0, amountMs - elapsedMs);

export const isThrice = (amountMs: number, windowMs: number): boolean => amountMs > 2 * windowMs;
