import { describe, expect, test } from "vitest";
import type { Source, Vote } from "../../controller/signals/vote.ts";
import { followWatched, NOTHING_WATCHED, type WatchedMemory } from "../../controller/signals/watched.ts";

const says = (source: Source, trendC: number | null): Vote => ({ source, trendC }) as Vote;
const BY_BOTH: WatchedMemory = { source: "mean", awayMs: 0 };

describe("what lasts for long is watched by one source", () => {
  test("which is taken at once where there was none", () => {
    expect(followWatched(NOTHING_WATCHED, says("first", 25), 250)).toEqual({
      memory: { source: "first", awayMs: 0 },
      watched: { valueC: 25, anew: true },
    });
    expect(followWatched(NOTHING_WATCHED, says("none", null), 250).watched).toEqual({ valueC: null, anew: false });
  });

  test("and waits for ten seconds while the vote goes by another", () => {
    const away = followWatched(BY_BOTH, says("second", 25.4), 9_750);
    expect(away).toEqual({ memory: { source: "mean", awayMs: 9_750 }, watched: { valueC: null, anew: false } });
    expect(followWatched(away.memory, says("second", 25.4), 250).watched.anew).toBe(false);
    expect(followWatched(away.memory, says("second", 25.4), 251)).toEqual({
      memory: { source: "second", awayMs: 0 },
      watched: { valueC: 25.4, anew: true },
    });
  });

  test("whose return is no beginning, and whose next loss is counted anew", () => {
    const { memory } = followWatched(BY_BOTH, says("none", null), 9_000);
    const back = followWatched(memory, says("mean", 25.1), 250);
    expect(back).toEqual({ memory: BY_BOTH, watched: { valueC: 25.1, anew: false } });
    expect(followWatched(back.memory, says("first", 25), 9_000).watched.anew).toBe(false);
  });

  test("and nothing at all, for long, is a source that is lost", () => {
    const gone = followWatched(BY_BOTH, says("none", null), 10_001);
    expect(gone.memory.source).toBe("none");
    expect(followWatched(gone.memory, says("mean", 25), 250).watched).toEqual({ valueC: 25, anew: true });
  });
});
