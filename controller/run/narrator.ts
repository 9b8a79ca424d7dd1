import type { ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { sentenceOf } from "../alarms/index.ts";

/** Says on the terminal how the box is doing, when that is another thing than before. */
export interface Narrator {
  see(record: ScanRecord): void;
  /** The connections, one sentence each; asked every few seconds. */
  seeConnections(sentences: readonly string[]): void;
  /** How the box is doing, in one sentence. */
  sentence(): string;
  /** The scan has stopped on a broken invariant of our own. */
  stopped(why: string): void;
}

export function createNarrator(settings: Settings, isRehearsal: boolean, say: (line: string) => void): Narrator {
  let said = "";
  let sentence = "Starting.";
  let connections: readonly string[] = [];
  return {
    see(record) {
      sentence = sentenceOf(record, settings);
      const gist = gistOf(record);
      if (gist === said) return;
      said = gist;
      say(isRehearsal ? `Rehearsal, simulated water. ${sentence}` : sentence);
    },
    // A sentence is said when it is new, and not again while it holds.
    seeConnections(sentences) {
      for (const one of sentences) if (!connections.includes(one)) say(one);
      connections = sentences;
    },
    sentence: () => sentence,
    stopped(why) {
      sentence = `The scan has stopped: ${why}. Every output is off; start the controller again and look at the water.`;
      say(sentence);
    },
  };
}

/** The terminal says a sentence anew only when the box is in another state, not at every tenth of a degree. */
const gistOf = ({ alarms, hold, start, topOff, heaters }: ScanRecord): string =>
  [
    start.steady,
    start.topOffLeftMs === 0,
    hold.active,
    hold.question,
    topOff.latch?.occurrence,
    ...heaters.map(({ latch }) => latch?.occurrence),
    ...alarms.filter(({ active, state }) => active && state !== "suppressed").map(({ id }) => id),
  ].join();
