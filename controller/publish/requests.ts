import { type Outcome, type Request, topicOf } from "../../shared/contract/index.ts";
import type { ArrivedMessage, MessageClient } from "./client.ts";
import { readRequest } from "./request-schema.ts";

/** Requests on their way from the network to the scan, and their outcomes on the way back. */
export interface RequestIntake {
  /** Everything that waits, for one scan. */
  take(): readonly Request[];
  /** Puts in a request that came another way, such as the controller's own terminal. False = there are too many. */
  offer(request: Request): boolean;
  /** Publishes what the scan decided, and remembers it for whoever asks again. */
  answer(outcomes: readonly Outcome[]): void;
}

/** Requests that may wait for one scan. */
export const MOST_WAITING = 16;
/** Outcomes remembered, so that a request sent twice is answered twice and carried out once. */
export const MOST_REMEMBERED = 64;
/** No request is longer. */
const MOST_CHARACTERS = 2_000;

export function createIntake(client: MessageClient, tank: string): RequestIntake {
  let waiting: Request[] = [];
  /** Taken by the scan and not answered yet. */
  const undecided = new Set<string>();
  const remembered = new Map<string, Outcome>();
  const tell = (outcome: Outcome) =>
    client.publish(topicOf(tank, "request", "outcome"), JSON.stringify(outcome), false);
  const refuse = (id: string, why: string) => tell({ id, accepted: false, why });

  const offer = (request: Request): boolean => {
    const known = remembered.get(request.id);
    if (known !== undefined) return tell(known) || true;
    if (undecided.has(request.id) || waiting.some(({ id }) => id === request.id)) return true;
    if (waiting.length >= MOST_WAITING) {
      refuse(request.id, "Too many requests at once; ask again in a moment.");
      return false;
    }
    waiting.push(request);
    return true;
  };

  const arrived = ({ topic, payload, retained }: ArrivedMessage) => {
    // The topic cleared, by us or by somebody: nothing is asked.
    if (payload === "" && (retained || !client.showsRetained)) return;
    if (retained || !client.showsRetained) client.publish(topic, "", true);
    const kind = topic.split("/").at(-2) ?? "";
    const read = payload.length > MOST_CHARACTERS ? TOO_LONG : readRequest(kind, payload);
    if (retained) refuse(read.request?.id ?? (read.request === null ? read.id : ""), RETAINED);
    else if (read.request === null) refuse(read.id, read.why);
    else offer(read.request);
  };
  client.subscribe(topicOf(tank, "request", "+/set"), arrived);

  return {
    offer,
    take() {
      if (waiting.length === 0) return NOTHING;
      const taken = waiting;
      waiting = [];
      for (const { id } of taken) undecided.add(id);
      return taken;
    },
    answer(outcomes) {
      for (const outcome of outcomes) {
        undecided.delete(outcome.id);
        remembered.delete(outcome.id);
        remembered.set(outcome.id, outcome);
        tell(outcome);
      }
      forgetOldest(remembered, MOST_REMEMBERED);
      forgetOldest(undecided, MOST_REMEMBERED);
    },
  };
}

const NOTHING: readonly Request[] = [];
const TOO_LONG = { request: null, id: "", why: "The request is too long." } as const;
const RETAINED =
  "A retained request is refused: it would be carried out again after every restart. Send it without the retain flag.";

/** Maps and sets keep the order in which their keys came. */
function forgetOldest(keys: Map<string, unknown> | Set<string>, most: number): void {
  for (const key of keys.keys()) {
    if (keys.size <= most) return;
    keys.delete(key);
  }
}
