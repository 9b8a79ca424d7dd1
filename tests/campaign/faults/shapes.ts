import type { ScenarioPart } from "../../../controller/rehearsal/faults/kind.ts";
import { faultKind } from "../../../controller/rehearsal/faults/table.ts";
import type { Chance } from "../chance.ts";

export interface FaultShape {
  readonly kind: string;
  readonly part: ScenarioPart | undefined;
  readonly choice: string | undefined;
}

export interface RawFault {
  readonly atH: number;
  readonly kind: string;
  readonly part?: ScenarioPart;
  readonly value?: number | string;
  readonly untilH?: number;
}

/** Latest beginning, so that harm has time to come. */
const LATEST_H = 120;
const LONGEST_H = 160;

/** A fault of this shape by chance, and with it what it needs to show at all: a start for what becomes of a memory. */
export function faultOf({ kind, part, choice }: FaultShape, chance: Chance): RawFault[] {
  const atH = chance.of(0.15) ? chance.between(0, 2) : chance.between(2, LATEST_H);
  const value = choice ?? amountOf(kind, part, chance);
  const ends = faultKind(kind).end !== null && chance.of(0.55);
  const fault: RawFault = {
    atH,
    kind,
    ...(part === undefined ? {} : { part }),
    ...(value === undefined ? {} : { value }),
    ...(ends ? { untilH: Math.min(LONGEST_H, Math.round((atH + chance.spread(0.05, 100)) * 1000) / 1000) } : {}),
  };
  if (!NEED_A_START.includes(kind)) return [fault];
  const forS = kind === "clock-jump" ? chance.between(60, 600) : chance.between(1, 60);
  const kill: RawFault = { atH, kind: "controller-killed", value: forS };
  return kind === "clock-jump" ? [kill, { ...fault, atH: atH + 0.005 }] : [fault, kill];
}

/** These show only at the next start of the controller: it is killed with them, for a minute or so. */
const NEED_A_START: readonly string[] = ["memory-lost", "memory-old", "clock-jump"];

/** Within the bounds of the format, and within what can happen to a box; now and then far beyond. */
function amountOf(kind: string, part: ScenarioPart | undefined, chance: Chance): number | undefined {
  switch (kind) {
    case "pump-worn":
      return chance.between(0, 1);
    case "siphon":
      return chance.spread(0.05, 5);
    case "reservoir-salty":
      return chance.between(3, 42);
    case "chamber-clogged":
    case "weir-clogged":
      return chance.between(0.2, 1);
    case "tank-leak":
      return chance.spread(0.005, 50);
    case "salt-loss":
      return chance.spread(0.05, 50);
    case "cold-water-change":
      return chance.between(0, 20);
    case "float-splash":
      return chance.spread(0.1, 10);
    case "evaporation-factor":
      return chance.between(0.3, 3);
    case "room-temperature":
      return chance.of(0.75) ? chance.between(10, 35) : chance.between(-20, 60);
    case "probe-offset":
      return chance.eitherSide(part === "conductivity-probe" ? 0.5 : 0.2, 30);
    case "conductivity-fouling":
      return chance.eitherSide(0.1, 20);
    case "controller-killed":
      return chance.spread(1, 600_000);
    case "kill-mid-pour":
      return chance.spread(1, 86_400);
    case "memory-old":
      return chance.spread(0.01, 1000);
    case "clock-jump":
      return chance.eitherSide(1, 1e9);
    default:
      return undefined;
  }
}
