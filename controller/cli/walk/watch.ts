import { createPrompt, isEnterKey, useEffect, useKeypress, useState } from "@inquirer/core";
import { Left, promptUntilLeft, type Terminal } from "../conversation/terminal.ts";
import { wrapWords } from "../wrap-words.ts";

/** What can be seen just now, in one line, and whether it is what was waited for. */
export interface Look {
  readonly shows: string;
  /** A sentence that is said once, and again when it is another one; null = nothing to say. */
  readonly says: string | null;
  readonly isDone: boolean;
}

interface Watching {
  readonly look: () => Look;
  onTold(listener: () => void): () => void;
}

const LEAVE = () => new Left();
/** What ends a walk at any question, and while something is watched. */
export const LEAVING: Readonly<Record<string, () => Error>> = { leave: LEAVE, quit: LEAVE, exit: LEAVE };

type Outcome = "seen" | "passed" | "left" | { readonly error: unknown };

const LOOK_EVERY_MS = 250;
const WIDTH = 90;

const watchPrompt = createPrompt<Outcome, Watching>(({ look, onTold }, done) => {
  const [shown, setShown] = useState("");
  const [typed, setTyped] = useState("");
  useEffect(() => {
    const said: string[] = [];
    const draw = () => {
      try {
        const { shows, says, isDone } = look();
        if (says !== null && says !== said.at(-1)) said.push(says);
        setShown([...said.flatMap((sentence) => wrapWords(sentence, WIDTH)), `  ${shows}`].join("\n"));
        if (isDone) done("seen");
      } catch (error) {
        done({ error });
      }
    };
    draw();
    const stop = onTold(draw);
    const timer = setInterval(draw, LOOK_EVERY_MS);
    return () => {
      clearInterval(timer);
      stop();
    };
  }, []);
  useKeypress((key, line) => {
    if (isEnterKey(key)) done(typed.trim().toLowerCase() in LEAVING ? "left" : "passed");
    else setTyped(line.line);
  });
  return typed === "" ? shown : `${shown} ${typed}`;
});

/** One line that is drawn anew as the tank changes, with the sentences that came meanwhile above it. */
export async function watchAtTerminal(terminal: Terminal, watching: Watching): Promise<"seen" | "passed"> {
  const outcome = await promptUntilLeft(terminal, (context) => watchPrompt(watching, context));
  if (typeof outcome === "object") throw outcome.error;
  if (outcome === "left") throw new Left();
  return outcome;
}
