import { describe, expect, test } from "vitest";
import type { PublishedOutcome } from "../../controller/publish/index.ts";
import { createAnswers, NOT_YET_STORED } from "../../controller/run/answers.ts";
import type { Outcome } from "../../shared/contract/index.ts";

const outcome = (id: string, accepted = true): Outcome => ({ id, accepted, why: accepted ? "Done." : "No." });

/** A disk that confirms what the test wants, and what was told. */
function opened() {
  const disk = { durable: 1, failed: false };
  const told: PublishedOutcome[] = [];
  const answers = createAnswers(
    { durableSequence: () => disk.durable, failed: () => disk.failed },
    (given) => void told.push(...given),
  );
  const scan = (memorySequence: number, ...outcomes: Outcome[]) => answers.see({ outcomes, memorySequence });
  return { disk, told, answers, scan };
}

describe("an answer", () => {
  test("granted, on disk a scan later: told then, and stored", () => {
    const { disk, told, scan } = opened();
    scan(2, outcome("a"));
    expect(told).toEqual([]);
    scan(2);
    expect(told).toEqual([]);
    disk.durable = 2;
    scan(2);
    scan(2);
    expect(told).toEqual([{ ...outcome("a"), stored: true }]);
  });

  test("refused: told at once, whatever the disk does", () => {
    const { disk, told, scan, answers } = opened();
    disk.failed = true;
    scan(1, outcome("a", false));
    answers.refuse(outcome("b", false));
    expect(told).toEqual([
      { ...outcome("a", false), stored: true },
      { ...outcome("b", false), stored: true },
    ]);
  });

  test("granted while the disk fails: told at once as not yet stored; stored after all: told again, once", () => {
    const { disk, told, scan } = opened();
    disk.failed = true;
    scan(2, outcome("a"));
    scan(2);
    expect(told).toEqual([{ id: "a", accepted: true, why: `Done. ${NOT_YET_STORED}`, stored: false }]);
    Object.assign(disk, { failed: false, durable: 2 });
    scan(2);
    scan(2);
    expect(told.slice(1)).toEqual([{ ...outcome("a"), stored: true }]);
  });

  test("granted just before the disk fails: told as not yet stored from then on", () => {
    const { disk, told, scan } = opened();
    scan(2, outcome("a"));
    disk.failed = true;
    scan(3, outcome("b"));
    expect(told.map(({ id, stored }) => [id, stored])).toEqual([
      ["a", false],
      ["b", false],
    ]);
  });

  test("ten thousand granted while the disk is away for good: each told once, a bounded number kept", () => {
    const { disk, told, scan } = opened();
    disk.failed = true;
    for (let turn = 0; turn < 10_000; turn += 1) scan(turn + 2, outcome(`a${turn}`));
    expect(told).toHaveLength(10_000);
    Object.assign(disk, { failed: false, durable: 20_000 });
    scan(20_000);
    expect(told.length - 10_000).toBeLessThanOrEqual(256);
  });
});
