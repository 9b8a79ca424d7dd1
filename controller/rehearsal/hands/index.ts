import type { ScanRecord } from "../../../shared/contract/index.ts";
import type { Settings } from "../../../shared/settings/index.ts";
import type { Tank } from "../plant/tank.ts";
import { act } from "./act.ts";
import type { Hand } from "./kinds.ts";
import { type Told, tell } from "./tell.ts";

export { type Hand, handSchema, timesOf } from "./kinds.ts";
export type { Ask, Told } from "./tell.ts";

/** Acts on the water, and returns what the keeper tells the controller. */
export const doHand = (hand: Hand, tank: Tank, settings: Settings, last: ScanRecord | null): Told =>
  tell(hand, act(hand, tank, settings), last);
