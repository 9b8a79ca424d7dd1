import { type Latch, REASONS, type Reason } from "../../../shared/contract/index.ts";
import { type AlarmFacts, type Condition, never } from "../condition.ts";
import { causeStands, heaterWords, heatLatch, joinedWords, latchWords } from "../evidence.ts";

/** Lockouts that have an alarm of their own. */
const ELSEWHERE: readonly Reason[] = ["heating-while-off", "heater-welded", "heater-seen-on", "heater-no-effect"];

const OWN = (Object.keys(REASONS) as Reason[]).filter((reason) => !ELSEWHERE.includes(reason));

const latchOf = (facts: AlarmFacts): Latch | null => heatLatch(facts, OWN);

export const heatLocked: Condition = {
  id: "heat-locked",
  title: "The heater is locked off",
  priority: "medium",
  cause: "The water grew too hot soon after the heater was on, or another trip of the heat stands with the lock.",
  consequence: "The box cools towards the room.",
  whatToDo:
    "Measure the temperature by hand. Look whether heater and thermometers stand in moving water. Clear the lock at the tank when the cause is found.",
  timeToRespond: "Six hours; less in a cold room.",
  inAbsence: "for-keeper",
  onDelayMs: 0,
  offDelayMs: 0,
  deadband: null,
  limit: "heat is locked for a reason that has no alarm of its own",
  clears: "cleared",
  suppressedWhen: "never",
  stands: (facts) => causeStands(latchOf(facts)),
  suppressed: never,
  lockedOut: (facts) => latchOf(facts) !== null,
  detail: (facts) =>
    joinedWords(
      heaterWords(facts, ({ latch }) => latch !== null && OWN.includes(latch.reason)),
      latchWords(latchOf(facts)),
    ),
};
