import { emitKeypressEvents } from "node:readline";
import type { Readable, Writable } from "node:stream";
import input from "@inquirer/input";
import { wrapWords } from "../wrap-words.ts";
import type { Conversation, Question, Understood } from "./question.ts";

/** The keeper has left: by a word, by Ctrl-C or Ctrl-D, or because the terminal has gone. */
export class Left extends Error {
  override readonly name = "Left";
}

/** The keeper wants to answer the question before once more. */
export class WentBack extends Error {
  override readonly name = "WentBack";
}

/** Where somebody is asked. */
export interface Terminal {
  readonly input: Readable & { readonly isTTY?: boolean };
  readonly output: Writable & { readonly columns?: number };
}

export const thisTerminal: Terminal = { input: process.stdin, output: process.stdout };

export interface AskingOptions {
  /** Words that are no answer to any question, and what is thrown for them. */
  readonly words: Readonly<Record<string, () => Error>>;
  /** Calls back when nobody is left to ask for; returns how to stop that. */
  onGone?(gone: () => void): () => void;
}

/** Nobody can be asked through a pipe: what comes at once cannot wait for its question. */
export const canAsk = ({ input }: Terminal): boolean => input.isTTY === true;

const ROOM_TO_TYPE = 18;

/** Longer lines are hard to read, on however wide a screen. */
const WIDTH = 92;
const widthOf = ({ output }: Terminal): number => Math.min(WIDTH, (output.columns || WIDTH + 1) - 1);

export function openConversation(terminal: Terminal, options: AskingOptions): Conversation {
  const say = (text: string) => {
    for (const paragraph of text.split("\n")) terminal.output.write(`${hangLines(paragraph, widthOf(terminal))}\n`);
  };
  return {
    say,
    async ask<Value>(question: Question<Value>): Promise<Value> {
      if (question.tells !== undefined) say(`\n${question.tells}`);
      for (;;) {
        const answer = await askOnce(terminal, question, options);
        if (answer === "?") {
          say(question.why ?? question.tells ?? "");
          say(`Expected: ${question.expects}.${question.usual === undefined ? "" : ` Enter takes ${question.usual}.`}`);
          continue;
        }
        const understood = question.read(answer);
        if ("value" in understood) return understood.value;
      }
    },
  };
}

async function askOnce<Value>(
  terminal: Terminal,
  { asks, usual, read, expects }: Question<Value>,
  { words, onGone }: AskingOptions,
): Promise<string> {
  const refuse = (answer: string) => refusalOf(answer, read(answer), expects);
  const asked = /[?:)]$/.test(asks) ? asks : `${asks}:`;
  // The library breaks a long line in the middle of a word.
  const isLong = asked.length + (usual?.length ?? 0) + ROOM_TO_TYPE > widthOf(terminal);
  if (isLong) terminal.output.write(`${hangLines(asked, widthOf(terminal))}\n`);
  const config = {
    message: isLong ? "" : asked,
    ...(usual === undefined ? {} : { default: usual }),
    validate: (typed: string) => (isWord(typed.trim(), words) ? true : refuse(typed.trim())),
    theme: themeFor(widthOf(terminal)),
  };
  const answer = await promptUntilLeft(terminal, (context) => input(config, context), onGone);
  const typed = answer.trim();
  const thrown = words[typed.toLowerCase()];
  if (thrown !== undefined) throw thrown();
  return typed;
}

type Context = Terminal & { readonly signal: AbortSignal };

/** Runs a prompt of the library; Ctrl-C, Ctrl-D, the end of the terminal and `onGone` end it as one thing: the keeper left. */
export async function promptUntilLeft<Answer>(
  terminal: Terminal,
  prompt: (context: Context) => Promise<Answer>,
  onGone?: AskingOptions["onGone"],
): Promise<Answer> {
  const leaving = new AbortController();
  const stops = [onKeyOfEnd(terminal, () => leaving.abort()), onGone?.(() => leaving.abort())];
  try {
    return await prompt({ ...terminal, signal: leaving.signal });
  } catch (error) {
    if (["ExitPromptError", "AbortPromptError"].includes((error as Error).name)) throw new Left();
    throw error;
  } finally {
    for (const stop of stops) stop?.();
  }
}

const isWord = (typed: string, words: AskingOptions["words"]): boolean =>
  typed === "?" || words[typed.toLowerCase()] !== undefined;

function refusalOf(answer: string, understood: Understood<unknown>, expects: string): true | string {
  if ("value" in understood) return true;
  return answer === "" ? `An answer is needed: ${expects}.` : `“${answer}” will not do: ${understood.refused}.`;
}

const themeFor = (width: number) => ({
  prefix: { idle: "›", done: "·" },
  validationFailureMode: "clear" as const,
  style: { defaultAnswer: (text: string) => `[${text}]`, error: (text: string) => wrapWords(text, width).join("\n") },
});

/** The library waits for ever at the end of its input, and takes Ctrl-D for one. */
function onKeyOfEnd({ input }: Terminal, end: () => void): () => void {
  emitKeypressEvents(input);
  const look = (_: unknown, key: { readonly ctrl?: boolean; readonly name?: string } | undefined) => {
    if (key?.ctrl === true && key.name === "d") end();
  };
  input.on("keypress", look);
  input.once("end", end);
  if (input.readableEnded) end();
  return () => {
    input.removeListener("keypress", look);
    input.removeListener("end", end);
  };
}

/** Lines of a list hang behind their bullet or number. */
function hangLines(paragraph: string, width: number): string {
  const [, bullet = "", rest = ""] = paragraph.match(/^((?: *[-!] | *\d+\. )?)(.*)$/s) ?? [];
  return wrapWords(rest, width - bullet.length)
    .map((line, index) => `${index === 0 ? bullet : " ".repeat(bullet.length)}${line}`)
    .join("\n");
}
