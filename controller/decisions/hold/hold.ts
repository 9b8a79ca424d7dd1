import * as z from "zod";
import type { Elapsed } from "../../../shared/contract/elapsed.ts";
import type { HoldStatus } from "../../../shared/contract/record.ts";
import type { EndHoldRequest, HoldRequest } from "../../../shared/contract/requests.ts";
import { AMOUNT_MOST_MS, HOLD_MOST_MINUTES, HOLD_WITH_HEAT_MOST_MINUTES } from "../../../shared/settings/limits.ts";

const MOST_MS = HOLD_MOST_MINUTES * 60_000;

/** Hands in the tank. Durable: a restart in the middle resumes the hold at full length, since hands may be in. */
export const storedHold = z
  .object({
    leftMs: z.number().min(0).max(MOST_MS),
    fullMs: z.number().min(0).max(MOST_MS),
    withHeat: z.boolean(),
    /** The hold is over and the water is low: does somebody say why? */
    question: z.boolean(),
    questionForMs: z.number().min(0).max(AMOUNT_MOST_MS),
    /** Time since the last hold ended, for what means nothing shortly after one. */
    sinceMs: z.number().min(0).max(AMOUNT_MOST_MS),
  })
  .readonly();
export type HoldMemory = z.infer<typeof storedHold>;

/** What is kept a second time: the hold that lasts, and the question after one. */
export const storedHoldTestimony = z
  .object({
    /** Length of the hold that lasts; 0 = none. Hands may be in. */
    holdMs: z.number().min(0).max(MOST_MS),
    withHeat: z.boolean(),
    /** A hold was over, the water was low, and nobody had said why. */
    question: z.boolean(),
  })
  .readonly();
export type HoldTestimony = z.infer<typeof storedHoldTestimony>;

export const NO_HOLD: HoldMemory = {
  leftMs: 0,
  fullMs: 0,
  withHeat: false,
  question: false,
  questionForMs: 0,
  sinceMs: AMOUNT_MOST_MS,
};

export const holdAfterRestart = (memory: HoldMemory): HoldMemory =>
  memory.leftMs > 0 ? { ...memory, leftMs: memory.fullMs } : memory;

/** After a memory that is in doubt: the hold that anybody knows of, at full length, for hands may be in. Of two that were
 *  asked for one after the other, the longer one may not have stopped the heat: nobody asked for so long without it.
 *  The question that follows a hold stays asked, and is asked where nobody knows: water that reads full answers it. */
export function holdInDoubt(memory: HoldMemory, testimony: HoldTestimony | null): HoldMemory {
  const resumed = holdAfterRestart(memory);
  if (testimony === null || testimony.holdMs === 0) {
    // A hold that lasts asks at its end.
    const asked = resumed.leftMs > 0 || resumed.question || testimony?.question === false;
    return asked ? resumed : { ...resumed, question: true, questionForMs: 0 };
  }
  const withHeat = testimony.withHeat || (resumed.leftMs > 0 && resumed.withHeat);
  const leftMs = Math.min(mostMinutes(withHeat) * 60_000, Math.max(resumed.leftMs, testimony.holdMs));
  return { ...NO_HOLD, leftMs, fullMs: leftMs, withHeat, sinceMs: 0 };
}

/** Started at the tank it stops heat too; over the network it stops pouring only. */
export function startHold(
  memory: HoldMemory,
  request: HoldRequest,
): { memory: HoldMemory; accepted: boolean; why: string } {
  const withHeat = request.at === "tank" || (memory.leftMs > 0 && memory.withHeat);
  const most = mostMinutes(withHeat);
  if (!(request.minutes >= 1) || request.minutes > most) {
    return { memory, accepted: false, why: `A hold lasts from 1 to ${most} minutes here.` };
  }
  const askedMs = Math.round(request.minutes * 60_000);
  if (request.at !== "tank" && withHeat && askedMs > memory.leftMs) {
    return { memory, accepted: false, why: "Somebody at the tank holds the heat too: only there it is made longer." };
  }
  // Hands may be in: nobody from afar makes a hold shorter than whoever stands at the tank has asked for.
  const leftMs = request.at === "tank" ? askedMs : Math.max(askedMs, memory.leftMs);
  // Nor what a restart resumes.
  const fullMs = request.at === "tank" ? leftMs : Math.max(leftMs, memory.leftMs > 0 ? memory.fullMs : 0);
  const next = { ...NO_HOLD, leftMs, fullMs, withHeat, sinceMs: 0 };
  const heat = withHeat ? "The heater is off too." : "The heater goes on working: unplug it before hands go in.";
  const minutes = Math.ceil(leftMs / 60_000);
  return { memory: next, accepted: true, why: `Pouring is stopped for ${minutes} minutes. ${heat}` };
}

const mostMinutes = (withHeat: boolean): number => (withHeat ? HOLD_WITH_HEAT_MOST_MINUTES : HOLD_MOST_MINUTES);

const HANDS_MAY_BE_IN =
  "Hands may be in: a hold that was started at the tank is ended there, because the heater comes back with its end.";

export function endHold(
  memory: HoldMemory,
  request: EndHoldRequest,
  atTank: boolean,
): { memory: HoldMemory; accepted: boolean; why: string } {
  if (memory.leftMs > 0) {
    if (memory.withHeat && !atTank) return { memory, accepted: false, why: HANDS_MAY_BE_IN };
    const question = request.answer === null;
    const next = { ...memory, leftMs: 0, question, questionForMs: 0, sinceMs: 0 };
    return { memory: next, accepted: true, why: "The hold is over." };
  }
  if (memory.question && request.answer !== null) {
    return {
      memory: { ...memory, question: false, questionForMs: 0 },
      accepted: true,
      why: "Thank you; top-off goes on.",
    };
  }
  const why = memory.question ? "Say whether salt water was added or it is evaporation." : "There is no hold to end.";
  return { memory, accepted: false, why };
}

/** Time passes: the hold counts down in credited time, ends by itself, and asks until the water reads full. */
export function followHold(memory: HoldMemory, full: boolean, elapsed: Elapsed): HoldMemory {
  if (memory.leftMs > 0) {
    const leftMs = Math.max(0, memory.leftMs - elapsed.creditMs);
    return { ...memory, leftMs, question: leftMs === 0, questionForMs: 0, sinceMs: 0 };
  }
  if (memory.question && full) return { ...memory, question: false, questionForMs: 0 };
  if (!memory.question && memory.sinceMs >= AMOUNT_MOST_MS) return memory;
  return {
    ...memory,
    sinceMs: Math.min(AMOUNT_MOST_MS, memory.sinceMs + elapsed.creditMs),
    questionForMs: memory.question ? Math.min(AMOUNT_MOST_MS, memory.questionForMs + elapsed.ms) : 0,
  };
}

export const holdStatus = (memory: HoldMemory): HoldStatus => ({
  active: memory.leftMs > 0,
  withHeat: memory.leftMs > 0 && memory.withHeat,
  leftMs: memory.leftMs,
  question: memory.question,
  questionForMs: memory.questionForMs,
});
