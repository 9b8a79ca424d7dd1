import type { Conversation, Question } from "../conversation/question.ts";
import { WentBack } from "../conversation/terminal.ts";

/** What was answered: by the name of the question, in the order of the sitting. */
export type Answers = ReadonlyMap<string, string>;

export interface Conducting {
  /** Answers that count without being asked again: of a sitting that was broken off. */
  readonly given: Answers;
  /** Answers that are offered, to be taken by Enter. */
  readonly offered: Answers;
  /** Called after every answer, so that none is lost. */
  keep(answers: Answers): void;
}

/**
 * Runs a questionnaire that can be gone back in. The questions are asked by plain code from top to bottom; going back
 * runs it once more with all answers but the last, which are given without being asked. So nothing of what was answered
 * is lost, and no part of the questionnaire has to know of going back.
 */
export async function conduct<Result>(
  conversation: Conversation,
  { given, offered, keep }: Conducting,
  run: (conversation: Conversation) => Promise<Result>,
): Promise<Result> {
  const answers = new Map(given);
  const offers = new Map([...offered, ...given]);
  for (;;) {
    try {
      return await run(answering(conversation, answers, offers, keep));
    } catch (error) {
      if (!(error instanceof WentBack)) throw error;
      const last = [...answers.keys()].at(-1);
      if (last === undefined) conversation.say("This is the first question: there is none before it.");
      else answers.delete(last);
    }
  }
}

function answering(
  conversation: Conversation,
  answers: Map<string, string>,
  offers: Map<string, string>,
  keep: (answers: Answers) => void,
): Conversation {
  let silent = answers.size > 0;
  let unsaid: string[] = [];
  return {
    // What is said on the way through answers that were given is old; only what leads to the next question is said again.
    say(text) {
      if (silent) unsaid.push(text);
      else conversation.say(text);
    },
    async ask<Value>(question: Question<Value>): Promise<Value> {
      const known = answers.get(question.id);
      const understood = known === undefined ? null : question.read(known);
      if (understood !== null && "value" in understood) {
        unsaid = [];
        // In the order in which they are met: going back leads the same way.
        answers.delete(question.id);
        answers.set(question.id, known as string);
        return understood.value;
      }
      // What another answer has made impossible is asked anew, and so is whatever followed from it.
      answers.delete(question.id);
      silent = false;
      for (const text of unsaid) conversation.say(text);
      unsaid = [];
      const usual = offerFor(question, offers.get(question.id));
      let typed = "";
      const value = await conversation.ask({
        ...question,
        ...(usual === undefined ? {} : { usual }),
        read(answer) {
          const read = question.read(answer);
          if ("value" in read) typed = read.keeps ?? answer;
          return read;
        },
      });
      answers.set(question.id, typed);
      offers.set(question.id, typed);
      keep(answers);
      return value;
    },
  };
}

/** What was answered before, where it can still be answered; else what is usual, as far as that can. */
function offerFor<Value>({ usual, read }: Question<Value>, before: string | undefined): string | undefined {
  const fits = (answer: string | undefined) => answer !== undefined && "value" in read(answer);
  if (fits(before)) return before;
  return fits(usual) ? usual : undefined;
}
