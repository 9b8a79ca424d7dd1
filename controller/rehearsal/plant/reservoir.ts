import type { Plumbing } from "./plumbing.ts";
import { SALT_G_PER_L } from "./water.ts";

/** What hands do to the reservoir. The tube's water counts as the reservoir's: they have one salinity. */

/** Fresh water in; what goes over its rim is returned: it is on the floor. */
export function refillReservoir(plumbing: Plumbing, litres: number): number {
  const overL = Math.max(0, plumbing.reservoirL + litres - plumbing.reservoirRimL);
  plumbing.reservoirL += litres - overL;
  return overL;
}

export function drainReservoir(plumbing: Plumbing): void {
  const heldL = plumbing.reservoirL + plumbing.tubeL;
  if (heldL > 0) plumbing.reservoirSaltG *= plumbing.tubeL / heldL;
  plumbing.reservoirL = 0;
}

export function fillReservoir(plumbing: Plumbing): void {
  plumbing.reservoirL = Math.max(plumbing.reservoirL, plumbing.reservoirFullL);
}

/** All its water exchanged for water of this salinity. */
export function saltReservoir(plumbing: Plumbing, salinity: number): void {
  plumbing.reservoirSaltG = (plumbing.reservoirL + plumbing.tubeL) * salinity * SALT_G_PER_L;
}
