import type { StartNews } from "../../shared/contract/image.ts";
import { WATER_THERMOMETERS, type WaterThermometer } from "../../shared/contract/parts.ts";
import { PROOF_PARTS } from "../../shared/contract/proving.ts";
import { REASONS, type Reason } from "../../shared/contract/reasons.ts";
import type { Witness } from "../../shared/contract/witness.ts";
import type { HeatDurable } from "../decisions/heat/memory.ts";
import type { Durable } from "./memory.ts";

/** What is kept a second time of this memory. */
export function witnessOf(durable: Durable): Witness {
  const { proofs, calibration, topOff, heat, secondHeat, hold, outOfWater } = durable;
  const proven = PROOF_PARTS.filter((part) => proofs.parts[part].ageMs !== null);
  return {
    proven: Object.fromEntries(proven.map((part) => [part, proofs.prints[part]])),
    flowLPerMin: calibration.values["top-off-flow"]?.value ?? null,
    calibrations: calibration.numbers,
    topOffLock: topOff.latch?.reason ?? null,
    waterGuardLocked: topOff.guardLatched,
    heatLock: heat.latch?.reason ?? null,
    heaterNoEffect: heat.noEffect,
    secondHeatLock: secondHeat.latch?.reason ?? null,
    secondHeaterNoEffect: secondHeat.noEffect,
    outOfWater,
    holdMs: hold.leftMs > 0 ? hold.fullMs : 0,
    holdWithHeat: hold.withHeat,
    question: hold.question,
  };
}

/** As it was stored; null where any of it cannot be read, for then all of it is in doubt. */
export function witnessFrom(stored: unknown): Witness | null {
  if (!isObject(stored) || !isObject(stored.proven)) return null;
  const { proven, flowLPerMin, calibrations, topOffLock, waterGuardLocked } = stored;
  const { heatLock, heaterNoEffect, secondHeatLock, secondHeaterNoEffect, outOfWater, holdMs, holdWithHeat } = stored;
  // A witness from before it kept the question does not know whether one was open: then it was.
  const { question = true } = stored;
  const isWhole =
    Object.values(proven).every(isPrint) &&
    (flowLPerMin === null || (Number.isFinite(flowLPerMin) && (flowLPerMin as number) > 0)) &&
    Number.isSafeInteger(calibrations) &&
    isLock(topOffLock) &&
    typeof waterGuardLocked === "boolean" &&
    isLock(heatLock) &&
    typeof heaterNoEffect === "boolean" &&
    isLock(secondHeatLock) &&
    typeof secondHeaterNoEffect === "boolean" &&
    Array.isArray(outOfWater) &&
    outOfWater.every((part) => WATER_THERMOMETERS.includes(part)) &&
    Number.isFinite(holdMs) &&
    (holdMs as number) >= 0 &&
    typeof holdWithHeat === "boolean" &&
    typeof question === "boolean";
  return isWhole ? ({ ...stored, question } as unknown as Witness) : null;
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === "object" && value !== null;
const isPrint = (value: unknown): boolean =>
  isObject(value) && typeof value.part === "string" && typeof value.port === "string";
const isLock = (value: unknown): value is Reason | null =>
  value === null || (typeof value === "string" && Object.hasOwn(REASONS, value));

/**
 * Heat after a memory that is in doubt. It goes on, for a dead memory must not chill the box; but a heater that was
 * found welded is not forgotten, and one without effect heats carefully on. With the witness lost too no part is proven,
 * so that nothing heats before somebody at the tank has seen heater and guard work. `occurrence` is above every number
 * that a lock ever had.
 */
export function heatersInDoubt(
  { heat, secondHeat }: Pick<Durable, "heat" | "secondHeat">,
  witness: Witness | null,
  occurrence: number,
): Pick<Durable, "heat" | "secondHeat"> {
  const { heatLock = null, heaterNoEffect = false } = witness ?? {};
  const { secondHeatLock = null, secondHeaterNoEffect = false } = witness ?? {};
  return {
    heat: heatInDoubt(heat, heatLock, heaterNoEffect, occurrence),
    secondHeat: heatInDoubt(secondHeat, secondHeatLock, secondHeaterNoEffect, occurrence),
  };
}

function heatInDoubt(heat: HeatDurable, lock: Reason | null, noEffect: boolean, occurrence: number): HeatDurable {
  const reason = heat.latch?.reason ?? lock;
  const latch = reason === null ? null : { reason, occurrence };
  return { ...heat, provingMs: 0, latch, noEffect: heat.noEffect || noEffect, occurrences: occurrence };
}

/** Which thermometers may hang in the air after a memory that is in doubt: where nobody knows, both; in a new box none. */
export function airedInDoubt(
  known: readonly WaterThermometer[],
  { memory, witness = null }: StartNews,
): readonly WaterThermometer[] {
  if (memory === "new") return known;
  if (witness === null) return WATER_THERMOMETERS;
  return WATER_THERMOMETERS.filter((part) => known.includes(part) || witness.outOfWater.includes(part));
}
