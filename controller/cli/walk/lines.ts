import { createInterface } from "node:readline";

/** Lines as they are typed or piped in; those that come before anybody asks are kept. */
export interface Lines {
  /** The next line; null = there will be none. Given up without losing a line when `unless` is done first. */
  next(unless?: Promise<unknown>): Promise<string | null | undefined>;
  /** Writes what is asked; a terminal draws it anew while the answer is edited. */
  prompt(text: string): void;
  /** What is typed so far, not yet entered. */
  typing(): string;
  readonly terminal: boolean;
  close(): void;
}

export function openLines(input: NodeJS.ReadableStream, output: NodeJS.WritableStream): Lines {
  const terminal = (input as Partial<NodeJS.ReadStream>).isTTY === true;
  const lines = createInterface({ input, output, terminal, prompt: "" });
  const kept: string[] = [];
  let closed = false;
  let wake: (() => void) | null = null;
  const woken = () => {
    wake?.();
    wake = null;
  };
  lines.on("line", (line) => {
    kept.push(line);
    woken();
  });
  lines.once("close", () => {
    closed = true;
    woken();
  });
  return {
    terminal,
    prompt(text) {
      if (!terminal || closed) return void output.write(text);
      lines.setPrompt(text);
      lines.prompt(true);
    },
    typing: () => lines.line,
    async next(unless) {
      let isGivenUp = false;
      const giveUp = () => {
        isGivenUp = true;
        woken();
      };
      unless?.then(giveUp, giveUp);
      while (kept.length === 0) {
        if (closed) return null;
        if (isGivenUp) return undefined;
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
      }
      if (!terminal) output.write("\n");
      return kept.shift() as string;
    },
    close: () => lines.close(),
  };
}
