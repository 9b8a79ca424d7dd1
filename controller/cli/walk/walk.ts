import type { Visit } from "../at-tank/visit.ts";
import type { Hands } from "./hands.ts";
import type { Talk } from "./talk.ts";

/** Somebody at the tank, with the running controller, on their way along the parts. */
export interface Walk {
  readonly visit: Visit;
  readonly talk: Talk;
  readonly hands: Hands;
  /** Kept with every proof and calibration. */
  readonly by: string;
}
