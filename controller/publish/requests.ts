import { type Outcome, topicOf } from "../../shared/contract/index.ts";
import type { ArrivedMessage, MessageClient } from "./client.ts";

/** Requests on their way from the network to where they are decided. What cannot be one at all is refused here. */
export interface Intake {
  /** Tells everybody what was decided. */
  answer(answers: readonly PublishedOutcome[]): void;
}

/** As it stands on the wire. */
export interface PublishedOutcome extends Outcome {
  /** False: accepted and done, but a power cut would forget it; another answer follows once it is on disk. */
  readonly stored: boolean;
}

/** No request is longer. */
export const MOST_CHARACTERS = 2_000;

/** `forward` takes a request as it came, to be read where it is decided. */
export function createIntake(
  client: MessageClient,
  tank: string,
  forward: (kind: string, payload: string) => void,
): Intake {
  const answer = (answers: readonly PublishedOutcome[]) => {
    const topic = topicOf(tank, "request", "outcome");
    for (const { id, accepted, why, stored } of answers) {
      client.publish(topic, JSON.stringify({ id, accepted, why, stored }), false);
    }
  };
  const refuse = (payload: string, why: string) => answer([{ id: idIn(payload), accepted: false, why, stored: true }]);
  const arrived = ({ topic, payload, retained, tooMany }: ArrivedMessage) => {
    // The topic cleared, by us or by somebody: nothing is asked.
    if (payload === "" && (retained || !client.showsRetained)) return;
    if (retained || !client.showsRetained) client.publish(topic, "", true);
    if (retained) refuse(payload, RETAINED);
    else if (tooMany === true) refuse(payload, TOO_MANY);
    else if (payload.length > MOST_CHARACTERS) refuse("", "The request is too long.");
    else forward(topic.split("/").at(-2) ?? "", payload);
  };
  client.subscribe(topicOf(tank, "request", "+/set"), arrived);
  return { answer };
}

/** Whoever is refused unread should know which of their requests it was; empty = it cannot be told. */
function idIn(payload: string): string {
  if (payload.length > MOST_CHARACTERS) return "";
  try {
    const { id } = JSON.parse(payload) as { readonly id?: unknown };
    return typeof id === "string" && /^[\x21-\x7e]{1,64}$/.test(id) ? id : "";
  } catch {
    return "";
  }
}

const TOO_MANY = "Too many requests at once; ask again in a moment. At the tank you are always heard.";
const RETAINED =
  "A retained request is refused: it would be carried out again after every restart. Send it without the retain flag.";
