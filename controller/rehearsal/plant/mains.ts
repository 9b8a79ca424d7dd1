/** The mains at the tank. The controller and its board live on a supply of their own. */
export interface Mains {
  lost: boolean;
  flapping: boolean;
}

export const createMains = (): Mains => ({ lost: false, flapping: false });

const FLAP_MS = 10_000;

/** Flapping: ten seconds with, ten without. */
export function powerThere(mains: Mains, nowMs: number): boolean {
  if (mains.lost) return false;
  return !mains.flapping || Math.floor(nowMs / FLAP_MS) % 2 === 0;
}
