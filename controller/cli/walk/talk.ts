import type { KeeperUnits } from "../../../shared/units/index.ts";
import { NoVisit } from "../at-tank/visit.ts";
import type { Conversation, Question } from "../conversation/question.ts";
import { Left, openConversation, type Terminal } from "../conversation/terminal.ts";
import { translateUnits } from "../status/translate-units.ts";
import { type Spoken, speakIn } from "../values/keeper.ts";
import { ENDED } from "./status.ts";
import { LEAVING, type Look, watchAtTerminal } from "./watch.ts";

/** A conversation beside a tank that is being watched, in the units that its keeper chose. */
export interface Talk extends Conversation {
  readonly spoken: Spoken;
  /** Keeps one line up to date until what it waits for is seen, or the keeper presses Enter to go on without it. */
  watch(look: () => Look): Promise<"seen" | "passed">;
}

export interface TalkParts {
  readonly terminal: Terminal;
  readonly units: KeeperUnits;
  /** Tells when there is something new to look at; returns how to stop that. */
  onTold(listener: () => void): () => void;
  /** The controller has ended: nobody is left to ask anything for. */
  isGone(): boolean;
}

export function openTalk({ terminal, units, onTold, isGone }: TalkParts): Talk {
  const onGone = (gone: () => void) => {
    const look = () => isGone() && gone();
    look();
    return onTold(look);
  };
  const translate = (text: string) => translateUnits(text, units);
  const conversation = openConversation(terminal, { words: LEAVING, onGone });
  return {
    spoken: speakIn(units),
    say: (text) => conversation.say(translate(text)),
    async ask(question) {
      try {
        return await conversation.ask(translateQuestion(question, translate));
      } catch (error) {
        if (error instanceof Left && isGone()) throw new NoVisit(ENDED);
        throw error;
      }
    },
    watch: (look) =>
      watchAtTerminal(terminal, {
        onTold,
        look() {
          const { shows, says, isDone } = look();
          return { shows: translate(shows), says: says === null ? null : translate(says), isDone };
        },
      }),
  };
}

const translateQuestion = <Value>(question: Question<Value>, translate: (text: string) => string): Question<Value> => ({
  ...question,
  asks: translate(question.asks),
  ...(question.tells === undefined ? {} : { tells: translate(question.tells) }),
  ...(question.why === undefined ? {} : { why: translate(question.why) }),
});
