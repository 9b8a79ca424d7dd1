import type { RequestKind } from "../../shared/contract/requests.ts";
import { readJsonObject, readSentence } from "./payload.ts";

/** What became of something that was asked. */
export type Answer =
  | { readonly kind: "sending" }
  | { readonly kind: "accepted" | "refused"; readonly why: string }
  | { readonly kind: "not-sent" }
  | { readonly kind: "unanswered" };

export interface Asking {
  ask(kind: RequestKind, body: Readonly<Record<string, string | number | boolean>>): Promise<Answer>;
  outcomeTold(text: string): void;
}

/** `publish` says whether it went out. An answer is matched by the id that we chose. */
export function createAsking(publish: (kind: RequestKind, text: string) => boolean): Asking {
  const waiting = new Map<string, (answer: Answer) => void>();

  return {
    ask(kind, body) {
      const id = newId();
      if (waiting.size >= MOST_WAITING || !publish(kind, JSON.stringify({ id, ...body })))
        return Promise.resolve({ kind: "not-sent" });
      return new Promise((resolve) => {
        const settle = (answer: Answer): void => {
          window.clearTimeout(timer);
          waiting.delete(id);
          resolve(answer);
        };
        const timer = window.setTimeout(() => settle({ kind: "unanswered" }), ANSWER_WITHIN_MS);
        waiting.set(id, settle);
      });
    },
    outcomeTold(text) {
      const outcome = readJsonObject(text);
      const id = outcome?.get("id");
      const accepted = outcome?.get("accepted");
      const why = outcome?.get("why");
      if (typeof id !== "string" || typeof accepted !== "boolean") return;
      waiting.get(id)?.({
        kind: accepted ? "accepted" : "refused",
        why: typeof why === "string" ? readSentence(why) : "",
      });
    },
  };
}

export const ANSWER_WITHIN_MS = 8_000;
const MOST_WAITING = 20;

/** Not randomUUID: that exists only on secure origins, and the keeper may open the page over plain http at home. */
function newId(): string {
  return [...crypto.getRandomValues(new Uint8Array(12))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
