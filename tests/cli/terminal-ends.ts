import { PassThrough, Writable } from "node:stream";
import { stripVTControlCharacters } from "node:util";
import { pause, until } from "../system/rig/until.ts";

/** Both ends of a terminal, without one: what is said is awaited, and then somebody types. */
export interface TerminalEnds {
  readonly terminal: { readonly input: PassThrough & { isTTY: boolean }; readonly output: Writable };
  type(line: string): void;
  /** Presses keys without Enter, such as Ctrl-C. */
  press(keys: string): void;
  end(): void;
  /** Waits for this in what was said since what was heard last. */
  hears(text: string | RegExp): Promise<void>;
  /** All that was said, on one line. */
  said(): string;
}

const SETTLE_MS = 40;

export function terminalEnds(withinMs = 5000): TerminalEnds {
  const input = Object.assign(new PassThrough(), { isTTY: true });
  let said = "";
  const output = new Writable({
    write(chunk, _encoding, done) {
      said += stripVTControlCharacters(String(chunk));
      done();
    },
  });
  // A screen is not over when one prompt is.
  output.end = () => output;
  const all = () => said.replace(/\s+/g, " ");
  let from = 0;
  return {
    terminal: { input, output },
    type: (line) => void input.write(`${line}\r`),
    press: (keys) => void input.write(keys),
    end: () => void input.end(),
    async hears(text) {
      const news = () => all().slice(from);
      await until(`${text}`, () => news().match(text) !== null, withinMs).catch((error) => {
        throw new Error(`${error.message}\nbut: ${news()}`);
      });
      const match = news().match(text) as RegExpMatchArray;
      from += (match.index as number) + match[0].length;
      // A prompt is drawn before it listens.
      await pause(SETTLE_MS);
    },
    said: all,
  };
}
