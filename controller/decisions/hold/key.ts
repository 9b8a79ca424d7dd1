import type { Key } from "../machine.ts";
import type { HoldMemory } from "./hold.ts";

export const HOLD: Key<HoldMemory, null> = { name: "hold" };
