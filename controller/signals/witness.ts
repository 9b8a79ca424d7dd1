import type { Signal } from "../../shared/contract/signal.ts";
import type { Answer } from "./answer.ts";

/** One of the thermometers before the vote: what it says, and whether it was seen to follow the heater. */
export interface Witness {
  readonly who: "first" | "second" | "third";
  readonly signal: Signal;
  readonly answer: Answer;
}

export interface Witnesses {
  readonly first: Witness;
  readonly second: Witness;
  /** The conductivity probe's own. */
  readonly third: Witness;
}

/** How far one is believed before the others: it hangs in the air perhaps, it does not follow the heater, nobody knows,
 *  it follows. */
export type Standing = 0 | 1 | 2 | 3;

export function standingOf({ signal, answer }: Witness): Standing {
  if (signal.doubt === "rate") return 0;
  if (answer === "expected") return 3;
  return answer === "unknown" ? 2 : 1;
}

/** Those that may control: what is known to hang outside the water only where nothing else is left. */
export function believedOf({ first, second, third }: Witnesses): { readonly [Who in Witness["who"]]: Witness | null } {
  const least = Math.min(2, Math.max(heardStanding(first), heardStanding(second), heardStanding(third)));
  const believed = (witness: Witness): Witness | null =>
    heardStanding(witness) >= least && isHeard(witness) ? witness : null;
  return { first: believed(first), second: believed(second), third: believed(third) };
}

const isHeard = ({ signal }: Witness): boolean => signal.value !== null;
const heardStanding = (witness: Witness): number => (isHeard(witness) ? standingOf(witness) : -1);

/** Of those that are believed the best does not follow the heater, or hangs in the air. */
export const isKnownToFail = (witness: Witness | null): boolean => witness !== null && standingOf(witness) < 2;

/** A bound that doubt puts on heat looks at these: what follows the heater is in the water. */
export function coldestAnsweringC({ first, second, third }: Witnesses): number | null {
  let coldest: number | null = null;
  for (const witness of [first, second, third]) {
    if (!isHeard(witness) || standingOf(witness) < 3) continue;
    const celsius = witness.signal.value as number;
    if (coldest === null || celsius < coldest) coldest = celsius;
  }
  return coldest;
}

/** What is known of the heater by all that are heard: somebody follows it, nobody does, or nobody knows. */
export type Answered = "some" | "none" | "unknown";

export function answeredBy({ first, second, third }: Witnesses): Answered {
  let isUnknown = false;
  let isHeardAtAll = false;
  for (const witness of [first, second, third]) {
    if (!isHeard(witness) || witness.signal.doubt === "rate") continue;
    if (witness.answer === "expected") return "some";
    isHeardAtAll = true;
    isUnknown ||= witness.answer !== "below";
  }
  return isHeardAtAll && !isUnknown ? "none" : "unknown";
}
