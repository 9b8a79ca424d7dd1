import { Met, Packer, type Table } from "./pack.ts";

/** What one move does to one state. Null = this move is not possible here. */
export interface Outcome<S> {
  readonly next: S;
}

export interface Machine<S, O extends Outcome<S> = Outcome<S>> {
  readonly name: string;
  /** One sentence: what is explored, and what is held still. */
  readonly about: string;
  readonly fields: Table;
  readonly begins: readonly (readonly [words: string, state: S])[];
  /** What the adversary may do, in words; the number of a move is its place. */
  readonly moves: readonly string[];
  /** Throws `Violation` when the move breaks a rule. */
  readonly step: (state: S, move: number) => O | null;
  /** Rules that compare what several moves do to the same state. */
  readonly across?: (state: S, outcomes: readonly (O | null)[], moves: readonly string[]) => void;
  /** Walks that must come to their end: from every state, by these moves. */
  readonly walks?: readonly Walk<S>[];
  /** A state in a few words, for the story. */
  readonly tell: (state: S) => string;
  /** Things that must have been met, so that no rule holds only because nothing happened. */
  readonly mustMeet: Readonly<Record<string, (state: S) => boolean>>;
}

/** A bounded walk: from every state in which it is asked for, the goal is reached within so many steps. */
export interface Walk<S> {
  readonly rule: string;
  readonly asked: (state: S) => boolean;
  /** The one thing done next: permissives held true, a person who clears. Throws when it cannot. */
  readonly next: (state: S, stepsDone: number) => S;
  readonly reached: (state: S) => boolean;
  readonly most: (state: S) => number;
}

export class Violation extends Error {
  readonly rule: string;
  constructor(rule: string, words: string) {
    super(`${rule}: ${words}`);
    this.rule = rule;
  }
}

export function rule(holds: boolean, name: string, words: string): void {
  if (!holds) throw new Violation(name, words);
}

export interface Explored {
  readonly name: string;
  readonly about: string;
  readonly states: number;
  readonly transitions: number;
  readonly depth: number;
  readonly walks: number;
  readonly seconds: number;
  /** Null = every rule holds everywhere. */
  readonly broken: string | null;
  readonly rule: string | null;
}

/** Breadth first to the fixed point; the first violation met ends it, and is the one with the shortest walk. */
export function explore<S, O extends Outcome<S>>(machine: Machine<S, O>, mostStates = 20_000_000): Explored {
  const began = process.hrtime.bigint();
  const packer = new Packer<S>(machine.fields, machine.begins[0]?.[1] as S);
  const met = new Met(packer.words);
  const words = new Uint32Array(packer.words);
  const figures = { states: 0, transitions: 0, depth: 0, walks: 0 };
  const seconds = () => Math.round(Number((process.hrtime.bigint() - began) / 1_000_000n) / 100) / 10;
  const result = (broken: string | null, name: string | null): Explored => ({
    name: machine.name,
    about: machine.about,
    ...figures,
    seconds: seconds(),
    broken,
    rule: name,
  });
  const unmet = new Map(Object.entries(machine.mustMeet));
  const add = (state: S, from: number, by: number): void => {
    packer.encode(state, words);
    const size = met.size;
    met.add(words, from, by);
    if (met.size === size) return;
    packer.expectEveryField(state);
    for (const [what, isIt] of unmet) if (isIt(state)) unmet.delete(what);
    if (met.size > mostStates) throw new Error(`${machine.name}: more than ${mostStates} states`);
  };
  for (const [place, [, state]] of machine.begins.entries()) add(state, -1, place);
  let layerEnds = met.size;
  const outcomes: (O | null)[] = machine.moves.map(() => null);
  for (let index = 0; index < met.size; index++) {
    if (index === layerEnds) {
      layerEnds = met.size;
      figures.depth += 1;
      if (process.env.EXPLORE_LOUD !== undefined) {
        process.stderr.write(
          `${machine.name}: depth ${figures.depth}, ${met.size} states, ${figures.transitions} transitions, ${seconds()} s\n`,
        );
      }
    }
    const state = packer.decode(met.packed, index * packer.words);
    figures.states = met.size;
    for (let move = 0; move < machine.moves.length; move++) {
      try {
        const outcome = machine.step(state, move);
        outcomes[move] = outcome;
        if (outcome === null) continue;
        figures.transitions += 1;
        add(outcome.next, index, move);
      } catch (error) {
        if (!(error instanceof Violation)) throw told(error, machine, packer, met, index, move);
        return result(story(machine, packer, met, index, `${machine.moves[move]}\n  !! ${error.message}`), error.rule);
      }
    }
    try {
      machine.across?.(state, outcomes, machine.moves);
      for (const walk of machine.walks ?? []) figures.walks += walked(walk, state);
    } catch (error) {
      if (!(error instanceof Violation)) throw error;
      return result(story(machine, packer, met, index, `!! ${error.message}`), error.rule);
    }
  }
  figures.states = met.size;
  if (unmet.size > 0) {
    const missing = [...unmet.keys()].join(", ");
    return result(
      `${machine.name}: never met: ${missing}. A rule that is never put to the test proves nothing.`,
      "met",
    );
  }
  return result(null, null);
}

/** One walk from one state; the number of steps it took. */
function walked<S>(walk: Walk<S>, from: S): number {
  if (!walk.asked(from)) return 0;
  const most = walk.most(from);
  let state = from;
  for (let done = 0; done <= most; done++) {
    if (walk.reached(state)) return done;
    state = walk.next(state, done);
  }
  throw new Violation(walk.rule, `not within ${most} steps`);
}

/** The shortest walk that leads to a state, one line a tick. */
function story<S, O extends Outcome<S>>(
  machine: Machine<S, O>,
  packer: Packer<S>,
  met: Met,
  last: number,
  end: string,
): string {
  const indexes: number[] = [];
  for (let index = last; index >= 0; index = met.from(index)) indexes.unshift(index);
  const lines = indexes.map((index, place) => {
    const state = machine.tell(packer.decode(met.packed, index * packer.words));
    const by = place === 0 ? `begin: ${machine.begins[met.by(index)]?.[0]}` : machine.moves[met.by(index)];
    return `  ${place}. ${by}\n       → ${state}`;
  });
  return [`${machine.name}: a walk of ${indexes.length} steps`, ...lines, `  ${indexes.length}. ${end}`].join("\n");
}

function told<S, O extends Outcome<S>>(
  error: unknown,
  machine: Machine<S, O>,
  packer: Packer<S>,
  met: Met,
  index: number,
  move: number,
): Error {
  const words = error instanceof Error ? error.message : String(error);
  const walk = story(machine, packer, met, index, `${machine.moves[move]}\n  !! ${words}`);
  return new Error(walk, { cause: error });
}
