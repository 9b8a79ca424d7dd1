import type { Outcome, ScanRecord } from "../../shared/contract/index.ts";
import type { PublishedOutcome } from "../publish/index.ts";
import type { DurableMemory } from "../record/index.ts";

/**
 * Nobody is told "yes" before it would survive a kill: outcomes wait until the memory that goes with them is on disk.
 * Where the disk fails, nobody is kept waiting and nobody is deceived: it is done, and said to be not yet stored; when
 * it is stored after all, that is said, too.
 */
export interface Answers {
  see(record: Pick<ScanRecord, "outcomes" | "memorySequence">): void;
  /** Something that was never asked of the scan. */
  refuse(outcome: Outcome): void;
}

interface Waiting {
  readonly sequence: number;
  readonly outcome: Outcome;
  readonly isTold: boolean;
}

/** Where the disk stays away, the oldest are not told a second time. */
const MOST_WAITING = 256;

export function createAnswers(
  memory: Pick<DurableMemory, "failed" | "durableSequence">,
  deliver: (answers: readonly PublishedOutcome[]) => void,
): Answers {
  let waiting: readonly Waiting[] = [];
  const refused = (outcomes: readonly Outcome[]) => {
    // A refusal changed nothing, so there is nothing that a power cut could undo.
    if (outcomes.length > 0) deliver(outcomes.map((outcome) => ({ ...outcome, stored: true })));
  };
  return {
    refuse: (outcome) => refused([outcome]),
    see({ outcomes, memorySequence }) {
      refused(outcomes.filter(({ accepted }) => !accepted));
      const news = outcomes
        .filter(({ accepted }) => accepted)
        .map((outcome): Waiting => ({ sequence: memorySequence, outcome, isTold: false }));
      if (waiting.length === 0 && news.length === 0) return;
      const all = [...waiting, ...news].slice(-MOST_WAITING);
      const safe = memory.durableSequence();
      const stored = all.filter(({ sequence }) => sequence <= safe);
      const open = all.filter(({ sequence }) => sequence > safe);
      const untold = memory.failed() ? open.filter(({ isTold }) => !isTold) : [];
      waiting = untold.length === 0 ? open : open.map((one) => ({ ...one, isTold: true }));
      const answers = [
        ...stored.map(({ outcome }) => ({ ...outcome, stored: true })),
        ...untold.map(({ outcome }) => ({ ...outcome, why: `${outcome.why} ${NOT_YET_STORED}`, stored: false })),
      ];
      if (answers.length > 0) deliver(answers);
    },
  };
}

export const NOT_YET_STORED = "Not yet stored: the disk takes no notes, and a power cut would forget it.";
