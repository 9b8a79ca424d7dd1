import { createInterface } from "node:readline";
import { wrapped } from "../wiring/wrapped.ts";

/** What an answer means, or what was expected in its place. */
export type Understood<Value> = { readonly value: Value } | { readonly expected: string };

export interface Question<Value> {
  /** A name for what is asked; the path in the settings where there is one. */
  readonly id: string;
  readonly asks: string;
  /** Why it is asked, or what follows from it. */
  readonly why?: string;
  /** Taken when nothing is typed. What cannot be assumed has none. */
  readonly usual?: string;
  read(answer: string): Understood<Value>;
}

/** A conversation with a keeper. What is not understood is asked again, with what was expected. */
export interface Dialogue {
  say(text: string): void;
  ask<Value>(question: Question<Value>): Promise<Value>;
}

/** The answers ended before the questions did, by Ctrl-C, Ctrl-D or the end of a pipe. */
export class AnswersEnded extends Error {
  override readonly name = "AnswersEnded";
}

export interface OpenDialogue extends Dialogue {
  close(): void;
}

const WIDTH = 92;

/** A dialogue at a terminal, or through a pipe. */
export function openDialogue(input: NodeJS.ReadableStream, output: NodeJS.WritableStream): OpenDialogue {
  const terminal = (input as Partial<NodeJS.ReadStream>).isTTY === true;
  const lines = createInterface({ input, output, terminal });
  // Lines that come before they are asked for are kept: the questions of `readline/promises` would lose them.
  const arrived = lines[Symbol.asyncIterator]();
  let ended = false;
  lines.once("close", () => {
    ended = true;
  });
  const say = (text: string) => {
    for (const paragraph of text.split("\n")) output.write(`${hanging(paragraph)}\n`);
  };
  return {
    say,
    async ask({ asks, why, usual, read }) {
      say("");
      if (why !== undefined) say(why);
      for (;;) {
        const prompt = `${asks}${usual === undefined ? "" : ` [${usual}]`}: `;
        // At a terminal the library draws the prompt anew while a line is edited; a pipe may be closed by now.
        if (terminal && !ended) {
          lines.setPrompt(prompt);
          lines.prompt();
        } else output.write(prompt);
        const line = await arrived.next();
        if (line.done) throw new AnswersEnded();
        if (!terminal) output.write("\n");
        const typed = line.value.trim();
        const understood = read(typed === "" ? (usual ?? "") : typed);
        if ("value" in understood) return understood.value;
        say(`${typed === "" ? "An answer is needed" : `“${typed}” will not do`}: expected ${understood.expected}.`);
      }
    },
    close: () => lines.close(),
  };
}

/** Lines of a list hang behind their bullet or number. */
function hanging(paragraph: string): string {
  const [, bullet = "", rest = ""] = paragraph.match(/^((?:- |\d\. )?)(.*)$/s) ?? [];
  return wrapped(rest, WIDTH - bullet.length)
    .map((line, index) => `${index === 0 ? bullet : " ".repeat(bullet.length)}${line}`)
    .join("\n");
}
