import * as z from "zod";
import { FORGETFUL, type Machine } from "../machine.ts";
import { TURNS } from "./key.ts";
import { planHeat, planTurns } from "./plan.ts";
import { FIRST_TURN, followTurns, type TurnsMemory } from "./turns.ts";

/** Which of two heaters leads. */
export const turns: Machine<null, TurnsMemory> = {
  ...FORGETFUL,
  key: TURNS,
  isFitted: (settings) => planHeat(settings, "heater-2") !== null,
  fresh: () => ({ durable: null, volatile: FIRST_TURN }),
  schema: () => z.null().catch(null),
  step({ volatile }, { signals, elapsed, settings }) {
    const water = signals.vote.control.value;
    const next = followTurns(volatile, water, elapsed.creditMs, planTurns(settings));
    return { kept: { durable: null, volatile: next }, verdict: null, proposal: null, urgent: false };
  },
};
