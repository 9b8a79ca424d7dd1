import type { HeaterPart } from "../../../shared/contract/parts.ts";
import type { Key } from "../machine.ts";
import type { HeatFacts } from "./facts.ts";
import type { HeatVerdict } from "./machine.ts";
import type { HeatDurable, HeatVolatile } from "./memory.ts";
import type { TurnsMemory } from "./turns.ts";

/** What the heat of one heater has decided, and what it saw. */
export interface HeatDecided extends HeatVerdict {
  readonly facts: HeatFacts;
}

export type HeatKey = Key<HeatDurable, HeatVolatile, HeatDecided>;

export const HEAT: Readonly<Record<HeaterPart, HeatKey>> = {
  "heater-1": { name: "heater-1" },
  "heater-2": { name: "heater-2" },
};

export const TURNS: Key<null, TurnsMemory> = { name: "turns" };
