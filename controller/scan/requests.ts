import type { Outcome } from "../../shared/contract/requests.ts";
import { isAlarmId, SCAN_STOPPED } from "../alarms/index.ts";
import type { Round } from "../decisions/round.ts";
import type { Answered, Durable } from "./memory.ts";

/** What the requests of one scan have changed beside the memories of the machines. */
export interface RequestsAnswered extends Pick<Durable, "answered" | "stoppedBy"> {
  readonly outcomes: readonly Outcome[];
  readonly acknowledged: readonly string[];
}

const NO_OUTCOMES: readonly Outcome[] = [];
const NOTHING_ACKNOWLEDGED: readonly string[] = [];
const ANSWERS_KEPT = 64;
const USED_BEFORE = "That id was used for another request; ask again with a new one.";

/** Answers every request of this scan in the order in which they came; the same id twice is answered, not repeated. */
export function answerRequests(round: Round, { answered, alarms, stoppedBy }: Durable): RequestsAnswered {
  const { requests } = round.image;
  if (requests.length === 0) {
    return { answered, stoppedBy, outcomes: NO_OUTCOMES, acknowledged: NOTHING_ACKNOWLEDGED };
  }
  let known = answered;
  const outcomes: Outcome[] = [];
  const acknowledged: string[] = [];
  for (const request of requests) {
    const asked = JSON.stringify(request);
    const before = known.find(({ id }) => id === request.id);
    if (before !== undefined) {
      outcomes.push(repeatAnswer(before, asked));
      continue;
    }
    const answer = request.kind === "acknowledge" ? answerAcknowledge(request.alarm) : round.answer(request);
    if (request.kind === "acknowledge" && answer.accepted) acknowledged.push(request.alarm);
    const outcome = { id: request.id, ...answer };
    outcomes.push(outcome);
    known = [...known.slice(1 - ANSWERS_KEPT), { ...outcome, asked }];
  }
  // Whoever acknowledges what was announced has been told; in the scan that announces it nobody can have been.
  const announced = alarms.restless.some(({ id, active }) => id === SCAN_STOPPED && active);
  const told = announced && acknowledged.some((alarm) => alarm === "all" || alarm === SCAN_STOPPED);
  return { answered: known, stoppedBy: told ? null : stoppedBy, outcomes, acknowledged };
}

function repeatAnswer({ id, accepted, why, asked: askedBefore }: Answered, asked: string): Outcome {
  return askedBefore === asked ? { id, accepted, why } : { id, accepted: false, why: USED_BEFORE };
}

function answerAcknowledge(alarm: string): Pick<Outcome, "accepted" | "why"> {
  const known = alarm === "all" || isAlarmId(alarm);
  return { accepted: known, why: known ? "Acknowledged." : "There is no alarm of that name." };
}
