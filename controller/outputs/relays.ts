import { type Commands, EVERYTHING_OFF } from "../../shared/contract/image.ts";
import { GUARD_OF, OUTPUT_PARTS, type OutputPart } from "../../shared/contract/parts.ts";
import type { OutputsWiring, OutputWiring } from "../../shared/settings/index.ts";
import type { Boards } from "../boards/index.ts";
import { EXPIRED, passed, renewed } from "./expiry.ts";
import { FIRST_TURN, takeTurns } from "./turns.ts";

/** The relays and guard contacts on the pins of boards. */
export interface Relays {
  /** Renews every output; what is not renewed falls off by itself. */
  command(commands: Commands, nowMs: number): void;
  allOff(): void;
  stop(): void;
}

/** How often the expiry is looked at, so an output outlives its permit by at most this. */
const EXPIRY_CHECK_MS = 50;
const GUARDS: readonly OutputPart[] = Object.values(GUARD_OF);

/** `breakApartMs`: how much later the second contact of the pump opens, so that the first one breaks the load. */
export function openRelays(wiring: OutputsWiring, boards: Boards, nowMs: () => number, breakApartMs: number): Relays {
  const wired = OUTPUT_PARTS.flatMap((part) => {
    const output = wiring[part];
    return output ? [{ part, ...output }] : [];
  });
  const carriers = [...new Set(wired.map(({ board }) => board))].map((name) => {
    const board = boards.pins.get(name);
    if (board === undefined) throw new Error(`the settings name no board ${name}`);
    return board;
  });
  let permit = EXPIRED;
  let lastMs = nowMs();
  let shown: Commands = EVERYTHING_OFF;
  let turns = FIRST_TURN;
  let release: NodeJS.Timeout | undefined;

  const show = (next: Commands) => {
    const steps = stepsBetween(shown, next);
    shown = next;
    for (const step of steps) write(boards, wired, next, step);
  };
  const apply = () => {
    // Relay and guard of one pump may hang on different boards: while one is lost, nothing is on.
    if (!carriers.every((board) => board.isReady && !board.hasRestarted)) permit = EXPIRED;
    const taken = takeTurns(turns, shown, permit.commands, nowMs(), breakApartMs);
    if (taken.turns.held !== null && turns.held === null) release = setTimeout(apply, breakApartMs + 1);
    turns = taken.turns;
    show(taken.commands);
  };
  const passTime = () => {
    const now = nowMs();
    permit = passed(permit, now - lastMs);
    lastMs = now;
    apply();
  };
  const timer = setInterval(passTime, EXPIRY_CHECK_MS);

  return {
    command(commands, now) {
      permit = renewed(commands);
      lastMs = now;
      apply();
    },
    allOff() {
      permit = EXPIRED;
      show(EVERYTHING_OFF);
    },
    stop() {
      clearInterval(timer);
      clearTimeout(release);
    },
  };
}

/**
 * Which parts change, in order: what goes off goes at once and together, a guard contact closes with it, and a relay
 * comes on only after its guard.
 */
export function stepsBetween(before: Commands, after: Commands): readonly (readonly OutputPart[])[] {
  const changed = OUTPUT_PARTS.filter((part) => before[part] !== after[part]);
  const isLast = (part: OutputPart) => after[part] && !GUARDS.includes(part);
  return [changed.filter((part) => !isLast(part)), changed.filter(isLast)].filter((step) => step.length > 0);
}

type Wired = OutputWiring & { readonly part: OutputPart };

function write(boards: Boards, wired: readonly Wired[], commands: Commands, step: readonly OutputPart[]): void {
  for (const [name, outputs] of Map.groupBy(wired, ({ board }) => board)) {
    const levels = outputs
      .filter(({ part }) => step.includes(part))
      .map(({ part, pin, energisedLevel }) => ({ pin, high: commands[part] === (energisedLevel === "high") }));
    if (levels.length > 0) boards.pins.get(name)?.write(levels);
  }
}
