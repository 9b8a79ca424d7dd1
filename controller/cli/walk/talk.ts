import { NoVisit } from "../at-tank/visit.ts";
import type { Dialogue, Question } from "../init/dialogue.ts";
import { wrapped } from "../wiring/wrapped.ts";
import type { Lines } from "./lines.ts";
import { ENDED } from "./status.ts";

/** What can be seen just now, in one line, and whether it is what was waited for. */
export interface Look {
  readonly shows: string;
  /** A sentence that is said once, and again when it is another one; null = nothing to say. */
  readonly says: string | null;
  readonly isDone: boolean;
}

/** A conversation beside a tank that is being watched. */
export interface Talk extends Dialogue {
  /** Keeps one line up to date until what it waits for is seen, or the keeper presses Enter to go on without it. */
  watch(look: () => Look): Promise<"seen" | "passed">;
}

/** The keeper has left: by a word, by Ctrl-C, or at the end of a pipe. */
export class Left extends Error {
  override readonly name = "Left";
}

const WIDTH = 92;
const LEAVING = ["later", "leave", "quit", "exit"];
const LOOK_EVERY_MS = 250;

export interface TalkParts {
  readonly lines: Lines;
  readonly output: NodeJS.WritableStream & { readonly columns?: number };
  /** Tells when there is something new to look at; returns how to stop that. */
  onTold(listener: () => void): () => void;
  /** The controller has ended: nobody is left to ask anything for. */
  isGone(): boolean;
}

export function openTalk({ lines, output, onTold, isGone }: TalkParts): Talk {
  const say = (text: string) => {
    for (const paragraph of text.split("\n")) output.write(`${hanging(paragraph)}\n`);
  };
  /** A line, or an end when the controller ends before one is typed. */
  const nextLine = async () => {
    const { promise: gone, resolve } = Promise.withResolvers<void>();
    const look = () => isGone() && resolve();
    const stop = onTold(look);
    look();
    const line = await lines.next(gone).finally(stop);
    if (line === undefined) throw new NoVisit(ENDED);
    return line;
  };
  const typed = (line: string | null | undefined): string => {
    if (typeof line !== "string") throw new Left();
    const word = line.trim();
    if (LEAVING.includes(word.toLowerCase())) throw new Left();
    return word;
  };
  return {
    say,
    async ask<Value>({ asks, why, usual, read }: Question<Value>): Promise<Value> {
      if (why !== undefined) say(why);
      for (;;) {
        lines.prompt(`${asks}${usual === undefined ? "" : ` [${usual}]`}: `);
        const answer = typed(await nextLine());
        const understood = read(answer === "" ? (usual ?? "") : answer);
        if ("value" in understood) return understood.value;
        say(`${answer === "" ? "An answer is needed" : `“${answer}” will not do`}: expected ${understood.expected}.`);
      }
    },
    async watch(look) {
      const line = liveLine(lines, output);
      const { promise: isSeen, resolve: seen, reject: broken } = Promise.withResolvers<void>();
      let said = "";
      const draw = () => {
        const { shows, says, isDone } = look();
        if (says !== null && says !== said) {
          line.clear();
          say(says);
          said = says;
        }
        line.show(shows);
        if (isDone) seen();
      };
      const drawOrTell = () => {
        try {
          draw();
        } catch (error) {
          broken(error);
        }
      };
      const stop = onTold(drawOrTell);
      const timer = setInterval(drawOrTell, LOOK_EVERY_MS);
      try {
        drawOrTell();
        const answer = await lines.next(isSeen);
        if (answer !== undefined) typed(answer);
        else await isSeen;
        return answer === undefined ? "seen" : "passed";
      } finally {
        clearInterval(timer);
        stop();
        line.end();
      }
    },
  };
}

/** One line that is written over at a terminal; through a pipe, a line for each thing that is new. */
function liveLine(lines: Lines, output: TalkParts["output"]) {
  let last = "";
  return {
    show(text: string) {
      if (lines.terminal) {
        const room = (output.columns ?? WIDTH) - 1;
        const drawn = `  ${text} ${lines.typing()}`.slice(0, room);
        if (drawn !== last) output.write(`\r\u001b[2K${drawn}`);
        last = drawn;
        return;
      }
      // Seconds that count down are no news to whoever reads it later.
      const gist = text.replace(/\d+ s left|watched for \d+/, "");
      if (gist !== last) output.write(`  ${text}\n`);
      last = gist;
    },
    clear() {
      if (lines.terminal) output.write("\r\u001b[2K");
      last = "";
    },
    end() {
      if (lines.terminal) output.write("\n");
    },
  };
}

/** Lines of a list hang behind their bullet or number. */
function hanging(paragraph: string): string {
  const [, bullet = "", rest = ""] = paragraph.match(/^((?: *- | *\d+\. )?)(.*)$/s) ?? [];
  return wrapped(rest, WIDTH - bullet.length)
    .map((line, index) => `${index === 0 ? bullet : " ".repeat(bullet.length)}${line}`)
    .join("\n");
}
