import { describe, expect, test } from "vitest";
import type { Source, Vote } from "../../controller/signals/vote.ts";
import { followWatched, NOTHING_WATCHED, type WatchedMemory } from "../../controller/signals/watched.ts";

const says = (source: Source, trendC: number | null): Vote => ({ source, trendC }) as Vote;
const BY_BOTH: WatchedMemory = { source: "mean", awayMs: 0 };

describe("the source that rates and effects are watched by", () => {
  test("none before, first votes 25 °C: taken at once as anew; no vote: none", () => {
    expect(followWatched(NOTHING_WATCHED, says("first", 25), 250)).toEqual({
      memory: { source: "first", awayMs: 0 },
      watched: { valueC: 25, anew: true },
    });
    expect(followWatched(NOTHING_WATCHED, says("none", null), 250).watched).toEqual({ valueC: null, anew: false });
  });

  test("mean before, second votes: mean kept for 10 s without a value, second taken after as anew", () => {
    const away = followWatched(BY_BOTH, says("second", 25.4), 9_750);
    expect(away).toEqual({ memory: { source: "mean", awayMs: 9_750 }, watched: { valueC: null, anew: false } });
    expect(followWatched(away.memory, says("second", 25.4), 250).watched.anew).toBe(false);
    expect(followWatched(away.memory, says("second", 25.4), 251)).toEqual({
      memory: { source: "second", awayMs: 0 },
      watched: { valueC: 25.4, anew: true },
    });
  });

  test("mean back after 9 s: not anew, a loss after that counted from 0", () => {
    const { memory } = followWatched(BY_BOTH, says("none", null), 9_000);
    const back = followWatched(memory, says("mean", 25.1), 250);
    expect(back).toEqual({ memory: BY_BOTH, watched: { valueC: 25.1, anew: false } });
    expect(followWatched(back.memory, says("first", 25), 9_000).watched.anew).toBe(false);
  });

  test("no vote for 10.001 s: no source; mean after that: anew", () => {
    const gone = followWatched(BY_BOTH, says("none", null), 10_001);
    expect(gone.memory.source).toBe("none");
    expect(followWatched(gone.memory, says("mean", 25), 250).watched).toEqual({ valueC: 25, anew: true });
  });
});
