import type { Outcome } from "../../shared/contract/requests.ts";
import { isAlarmId, SCAN_STOPPED } from "../alarms/index.ts";
import type { Memories } from "../decisions/machine.ts";
import type { Round } from "../decisions/round.ts";
import type { Answered, Durable, Memory, Volatile } from "./memory.ts";

/** What the requests of one scan have changed beside the memories of the machines. */
export interface RequestsAnswered extends Pick<Durable, "answered" | "stoppedBy">, Pick<Volatile, "refused"> {
  readonly outcomes: readonly Outcome[];
  readonly acknowledged: readonly string[];
  /** Something that must be on disk was changed by them. A refusal writes nothing. */
  readonly changed: boolean;
}

const NO_OUTCOMES: readonly Outcome[] = [];
const NOTHING_ACKNOWLEDGED: readonly string[] = [];
const ANSWERS_KEPT = 64;
const USED_BEFORE = "That id was used for another request; ask again with a new one.";

/**
 * Answers every request of this scan in the order in which they came. Here alone repeated ids are judged, wherever they
 * came from: the same id with the same request is answered as before and not carried out again; with another request
 * it is refused.
 */
export function answerRequests(round: Round, { durable, volatile }: Memory): RequestsAnswered {
  let { answered } = durable;
  let { refused } = volatile;
  const { stoppedBy } = durable;
  const { requests } = round.image;
  if (requests.length === 0) {
    const [outcomes, acknowledged] = [NO_OUTCOMES, NOTHING_ACKNOWLEDGED];
    return { answered, refused, stoppedBy, outcomes, acknowledged, changed: false };
  }
  const before = round.memories();
  const outcomes: Outcome[] = [];
  const acknowledged: string[] = [];
  for (const request of requests) {
    const asked = JSON.stringify(request);
    const known = [...answered, ...refused].find(({ id }) => id === request.id);
    if (known !== undefined) {
      outcomes.push(repeatAnswer(known, asked));
      continue;
    }
    const answer = request.kind === "acknowledge" ? answerAcknowledge(request.alarm) : round.answer(request);
    if (request.kind === "acknowledge" && answer.accepted) acknowledged.push(request.alarm);
    const outcome = { id: request.id, ...answer };
    outcomes.push(outcome);
    if (answer.accepted) answered = remember(answered, { ...outcome, asked });
    else refused = remember(refused, { ...outcome, asked });
  }
  // Whoever acknowledges what was announced has been told; in the scan that announces it nobody can have been.
  const announced = durable.alarms.restless.some(({ id, active }) => id === SCAN_STOPPED && active);
  const told = announced && acknowledged.some((alarm) => alarm === "all" || alarm === SCAN_STOPPED);
  return {
    answered,
    refused,
    stoppedBy: told ? null : stoppedBy,
    outcomes,
    acknowledged,
    // What was shown to be wrong may void a proof although the request is refused: that is kept.
    changed: answered !== durable.answered || !isSameOnDisk(before, round.memories()),
  };
}

const remember = (given: readonly Answered[], answer: Answered): readonly Answered[] => [
  ...given.slice(1 - ANSWERS_KEPT),
  answer,
];

const isSameOnDisk = (before: Memories, after: Memories): boolean =>
  before === after || Object.keys(after).every((name) => after[name]?.durable === before[name]?.durable);

function repeatAnswer({ id, accepted, why, asked: askedBefore }: Answered, asked: string): Outcome {
  return askedBefore === asked ? { id, accepted, why } : { id, accepted: false, why: USED_BEFORE };
}

function answerAcknowledge(alarm: string): Pick<Outcome, "accepted" | "why"> {
  const known = alarm === "all" || isAlarmId(alarm);
  return { accepted: known, why: known ? "Acknowledged." : "There is no alarm of that name." };
}
