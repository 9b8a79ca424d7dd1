import { randomUUID } from "node:crypto";
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { PROOF_PARTS, PROVING_RUNS, type ProofPart, type ProvingRun } from "../../shared/contract/proving.ts";
import { MACHINES, type Request } from "../../shared/contract/requests.ts";

/**
 * The controller's own terminal: whoever types here stands at the tank, or has taken it upon themselves to.
 * One line, one request; the answer comes back as a sentence.
 */
export interface Terminal {
  /** Somebody else may get the terminal now: to read from it then would suspend this process, and the outputs with it. */
  release(): void;
  close(): void;
}

const HELP = `You can type, and Enter:
  hold 30                  hands in the tank for 30 minutes; the heater is off too
  end-hold                 the hands are out
  salt-water-added         after a hold: why the water is low
  evaporation              after a hold: why the water is low
  acknowledge all          or the name of one alarm
  clear top-off 1          or: clear heat 1; the number is shown with the lock
  hand-test 35.0           salinity measured by hand
  reservoir-test 0         salinity of the water in the reservoir
  refill 8                 litres poured into the reservoir
  trust thermometer-1      it hung in the air and is in the water again
  cartridge-changed        the cartridge of the source water is new
  absence 0 336            nobody but a sitter is there, from now on for 336 hours
  end-absence              somebody is back
  prove top-off-pump 10    run the pump for 10 s into a jug; prove heater-1 30 heats for 30 s
  proven top-off-pump 250  it was seen to work, with the mL in the jug; the dashboard says what each part wants
  at-tank 30               you are at the tank: parts may be proven from the dashboard too
Ctrl-C ends the controller, outputs off first.`;

export function openTerminal(
  input: NodeJS.ReadStream,
  say: (line: string) => void,
  ask: (request: Request) => void,
): Terminal {
  const lines = createInterface({ input });
  // A terminal that is gone has nothing more to say, and that is all.
  input.on("error", () => lines.close());
  lines.on("error", () => lines.close());
  // New with every start: what was answered before a restart must not answer for what is typed after it.
  const session = randomUUID();
  let asked = 0;
  lines.on("line", (line) => {
    const words = line.trim().toLowerCase().split(/\s+/).filter(Boolean);
    if (words.length === 0) return;
    asked += 1;
    const request = requestFrom(words, `${session}-${asked}`);
    if (request === null) say(HELP);
    else ask(request);
  });
  let releasedMs = Number.NEGATIVE_INFINITY;
  const look = () => {
    const isOurs = performance.now() - releasedMs >= LOOK_EVERY_MS && isInForeground();
    if (isOurs) lines.resume();
    else lines.pause();
  };
  const timer = input.isTTY ? setInterval(look, LOOK_EVERY_MS) : undefined;
  if (input.isTTY) look();
  return {
    release() {
      releasedMs = performance.now();
      lines.pause();
    },
    close() {
      clearInterval(timer);
      lines.close();
    },
  };
}

const LOOK_EVERY_MS = 2_000;

/** Whether what is typed is meant for this process: its group has the terminal (proc_pid_stat(5), fields 5 and 8). */
function isInForeground(): boolean {
  try {
    const [, , group, , , foreground] = (readFileSync("/proc/self/stat", "utf8").split(") ")[1] as string).split(" ");
    return group === foreground;
  } catch {
    // A machine that does not say: then the one who typed the command is taken to type on.
    return true;
  }
}

/** What was typed as a request; null = not understood. */
export function requestFrom(words: readonly string[], id: string): Request | null {
  const [verb, second, third] = words;
  const at = "tank";
  const number = Number(second);
  switch (verb) {
    case "hold":
      return Number.isFinite(number) ? { kind: "hold", id, at, minutes: number } : null;
    case "end-hold":
      return { kind: "end-hold", id, at, answer: null };
    case "salt-water-added":
    case "evaporation":
      return { kind: "end-hold", id, at, answer: verb };
    case "acknowledge":
      return second === undefined ? null : { kind: "acknowledge", id, at, alarm: second };
    case "clear": {
      const machine = MACHINES.find((each) => each === second);
      return machine === undefined ? null : { kind: "clear", id, at, machine, occurrence: Number(third) };
    }
    case "hand-test":
      return Number.isFinite(number) ? { kind: "hand-test", id, at, salinity: number } : null;
    case "reservoir-test":
      return Number.isFinite(number) ? { kind: "reservoir-test", id, at, salinity: number } : null;
    case "refill":
      return Number.isFinite(number) ? { kind: "refill", id, at, litres: number } : null;
    case "trust":
      return second === "thermometer-1" || second === "thermometer-2" ? { kind: "trust", id, at, part: second } : null;
    case "cartridge-changed":
      return { kind: "cartridge-changed", id, at };
    case "absence":
      return Number.isFinite(number) && Number.isFinite(Number(third))
        ? { kind: "absence", id, at, fromH: number, toH: Number(third) }
        : null;
    case "end-absence":
      return { kind: "end-absence", id, at };
    case "prove":
      return isProvable(second) && Number(third) > 0
        ? { kind: "prove", id, at, part: second, seconds: Number(third) }
        : null;
    case "proven":
      if (!isProofPart(second) || Number.isNaN(Number(third ?? 0))) return null;
      return { kind: "proven", id, at, part: second, ...(third === undefined ? {} : { ml: Number(third) }) };
    case "at-tank":
      return Number.isFinite(number) ? { kind: "at-tank", id, at, minutes: number } : null;
    case "end-run":
      return { kind: "end-run", id, at };
    default:
      return null;
  }
}

const isProvable = (word?: string): word is ProvingRun => (PROVING_RUNS as readonly unknown[]).includes(word);
const isProofPart = (word?: string): word is ProofPart => (PROOF_PARTS as readonly unknown[]).includes(word);
