import type { Conversation } from "../conversation/question.ts";
import { type Spoken, speakIn } from "../values/keeper.ts";
import { createDraft, type Draft, type PluggedIn } from "./draft.ts";
import type { Existing } from "./existing.ts";

/** What every part of the questionnaire works with. */
export interface Sitting extends Conversation {
  readonly draft: Draft;
  readonly plugged: PluggedIn;
  /** The file that is being changed; null = there is none yet. */
  readonly existing: Existing | null;
  /** In the units that were chosen with the first question. */
  spoken(): Spoken;
}

export function createSitting(conversation: Conversation, plugged: PluggedIn, existing: Existing | null): Sitting {
  const draft = createDraft();
  return { ...conversation, draft, plugged, existing, spoken: () => speakIn(draft.units) };
}
