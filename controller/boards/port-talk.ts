import { openSerialLine } from "./serial-line.ts";

export type Talk =
  | { readonly heard: Buffer; readonly problem: null }
  | { readonly heard: null; readonly problem: string };

/** What to open, what to say there again and again, and when enough was heard. */
export interface TalkOptions {
  readonly path: string;
  readonly baudRate: number;
  readonly say: readonly number[];
  readonly sayEveryMs: number;
  readonly forMs: number;
  readonly isEnough: (heard: Buffer) => boolean;
}

const MOST_HEARD = 4096;

/** Opens a port, listens for a while, and lets it go: for a look at what is there. */
export async function talkTo({ path, baudRate, say, sayEveryMs, forMs, isEnough }: TalkOptions): Promise<Talk> {
  let heard = Buffer.alloc(0);
  let finish: () => void = () => undefined;
  const enough = new Promise<void>((resolve) => {
    finish = resolve;
  });
  const line = await openSerialLine(
    { path, baudRate },
    {
      onOpen: () => undefined,
      onClose: finish,
      onBytes(bytes) {
        heard = Buffer.concat([heard, bytes]).subarray(0, MOST_HEARD);
        if (isEnough(heard)) finish();
      },
    },
  );
  const saying = setInterval(() => line.write(Uint8Array.from(say)), sayEveryMs);
  const timer = setTimeout(finish, forMs);
  // A port that cannot be opened is not waited for.
  const opening = setTimeout(() => {
    if (!line.isOpen) finish();
  }, OPENING_MS);
  await enough;
  clearInterval(saying);
  clearTimeout(timer);
  clearTimeout(opening);
  const problem = line.isOpen ? null : (line.problem ?? "closed");
  await line.close();
  return problem === null ? { heard, problem } : { heard: null, problem };
}

const OPENING_MS = 500;
