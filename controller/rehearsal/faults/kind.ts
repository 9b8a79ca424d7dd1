import { INPUT_PARTS, OUTPUT_PARTS } from "../../../shared/contract/index.ts";
import type { Tank } from "../plant/tank.ts";

/** Parts that a scenario may name. Those of a second heater are there only where the settings name one. */
export const SCENARIO_PARTS = [...INPUT_PARTS, ...OUTPUT_PARTS, "return-pump", "board"] as const;
export type ScenarioPart = (typeof SCENARIO_PARTS)[number];

/** One kind of fault: where it fits, what its value may be, and what it does to the tank or to the controller. */
export interface FaultKind {
  readonly kind: string;
  /** What it breaks; left out = the tank and its parts. */
  readonly of?: "controller";
  /** Parts that it is right for. */
  readonly parts: readonly ScenarioPart[];
  /** True when the kind alone says what is broken, so that a part need not be named. */
  readonly partImplied: boolean;
  readonly value: FaultValue;
  /** One plain sentence for SCENARIOS and for the schema. */
  readonly says: string;
  readonly begin: (world: World, fault: Fault) => void;
  /** What `untilH` does; null = it happens at one moment and has no end. */
  readonly end: ((world: World, fault: Fault) => void) | null;
}

export type FaultValue =
  | { readonly of: "nothing" }
  | { readonly of: "choice"; readonly choices: readonly string[] }
  | {
      readonly of: "number";
      readonly least: number;
      readonly most: number;
      readonly otherwise: number;
      readonly unit: string;
    };

/** A fault as it happens: part and value filled in. */
export interface Fault {
  readonly kind: string;
  /** `box` where no single part is to blame. */
  readonly part: ScenarioPart | "box";
  readonly value: number;
  readonly choice: string;
}

/** What a fault can reach. On a live rehearsal the controller is real and not ours to kill. */
export interface World {
  readonly tank: Tank;
  readonly controller: ControllerFaults | null;
}

/** Faults of the board and of the computer need a board and a computer. */
export const reachesBareParts = ({ parts, of }: FaultKind): boolean => of !== "controller" && !parts.includes("board");

export interface ControllerFaults {
  kill(forMs: number): void;
  killInNextPour(forMs: number): void;
  loseMemory(): void;
  useOldMemory(hours: number): void;
  jumpClock(byMs: number): void;
}

export const NO_VALUE: FaultValue = { of: "nothing" };

export const number = (least: number, most: number, otherwise: number, unit: string): FaultValue => ({
  of: "number",
  least,
  most,
  otherwise,
  unit,
});
