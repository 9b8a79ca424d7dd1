import { type HeatVerdict, stepHeat } from "../decisions/heat/machine.ts";
import { type HeatDurable, type HeatVolatile, unwatched } from "../decisions/heat/memory.ts";
import { followTurns, type OtherHeater, type TurnsMemory } from "../decisions/heat/turns.ts";
import { areProven } from "../decisions/proving/memory.ts";
import { heatFacts } from "./facts.ts";
import type { Durable, Volatile } from "./memory.ts";
import type { Moment } from "./sense.ts";

/** The heat of one heater, or of two that take turns: the same machine for each, with a memory of its own. */

export interface Heated {
  readonly verdict: HeatVerdict;
  readonly facts: ReturnType<typeof heatFacts>;
}

export interface BothHeated {
  readonly heat: Heated;
  /** Null where there is none. */
  readonly secondHeat: Heated | null;
  readonly turns: TurnsMemory;
}

export function heatBoth(moment: Moment, durable: Durable, before: Volatile): BothHeated {
  const { plan, signals, elapsed } = moment;
  if (plan.secondHeat === null) {
    const facts = heatFacts(moment, durable, before, "heater-1", null);
    const verdict = stepHeat(memoryOf(durable.heat, before.heat, moment), facts, plan.heat);
    return { heat: { verdict, facts }, secondHeat: null, turns: before.turns };
  }
  const turns = followTurns(before.turns, signals.vote.control.value, elapsed.creditMs, plan.turns);
  const volatile = { ...before, turns };
  const proven = (heater: "heater-1" | "heater-2") => areProven(durable.proofs, plan.provenBeforeHeat[heater]);
  const other: OtherHeater = { durable: durable.secondHeat, volatile: before.secondHeat, proven: proven("heater-2") };
  const facts = heatFacts(moment, durable, volatile, "heater-1", other);
  const verdict = stepHeat(memoryOf(durable.heat, before.heat, moment), facts, plan.heat);
  // The second one sees what the first has just decided, so that they never start together.
  const first: OtherHeater = { ...verdict.memory, proven: proven("heater-1") };
  const secondFacts = heatFacts(moment, durable, volatile, "heater-2", first);
  const second = stepHeat(memoryOf(durable.secondHeat, before.secondHeat, moment), secondFacts, plan.secondHeat);
  return { heat: { verdict, facts }, secondHeat: { verdict: second, facts: secondFacts }, turns };
}

/** A thermometer that was corrected anew steps although the water did not: what was watched by it begins again. */
const memoryOf = (durable: HeatDurable, volatile: HeatVolatile, { corrections }: Moment) => ({
  durable,
  volatile: corrections.changed ? unwatched(volatile) : volatile,
});
