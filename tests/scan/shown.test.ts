import { describe, expect, it } from "vitest";
import { PRESENCE } from "../../controller/decisions/presence.ts";
import { PROVING } from "../../controller/decisions/proving/key.ts";
import { everythingProven, FRESH_PROVING, type ProvingMemory } from "../../controller/decisions/proving/memory.ts";
import { looksAlike, provingStatus } from "../../controller/decisions/proving/status.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { Box } from "./box.ts";

/** What is shown of proving is made anew only when it would say something else: it costs more than the scan. */
describe("what is shown of proving, made anew only when it would differ", () => {
  const settings = rehearsalSettings();
  const proofs = everythingProven(settings);
  const told = { run: null, atTankMs: 0, gateOf: () => null };
  const shown = (memory: ProvingMemory) => provingStatus(proofs, memory, told, settings);
  const lifted = (turns: number, leftMs: number): ProvingMemory => {
    const seen = { ...FRESH_PROVING.contacts["working-float"], position: "on" as const, settled: "on" as const };
    const contacts = { ...FRESH_PROVING.contacts, "working-float": { ...seen, turns, leftMs } };
    return { ...FRESH_PROVING, contacts };
  };
  const rows: [name: string, one: ProvingMemory, other: ProvingMemory, same: boolean][] = [
    ["nothing", FRESH_PROVING, { ...FRESH_PROVING }, true],
    ["a count that goes on", lifted(2, 60_000), lifted(2, 59_750), true],
    ["a count that has ended", lifted(2, 250), lifted(0, 0), false],
    ["a second turn", lifted(1, 60_000), lifted(2, 900_000), false],
    ["the flow of a first run", FRESH_PROVING, { ...FRESH_PROVING, firstMlPerS: 25 }, false],
    ["a run that may be called proven", FRESH_PROVING, shownFor("siphon"), false],
    ["the end of a run", FRESH_PROVING, endedAt("siphon"), false],
  ];

  it.each(rows)("%s: alike $3", (_, one, other, same) => {
    expect(looksAlike(one, other)).toBe(same);
    expect(looksAlike(other, one)).toBe(same);
    if (same) expect(shown(other)).toEqual(shown(one));
    else expect(shown(other)).not.toEqual(shown(one));
  });

  it.each([
    [60_000, 59_000, false],
    [60_000, 60_250, true],
    [250, 0, true],
  ])("presence of %d ms left, then %d ms: made anew only for another whole minute", (before, after, anew) => {
    const box = Box.atRest();
    const shownAt = (atTankMs: number) => box.seems(PRESENCE, { atTankMs }).scan(0).volatile(PROVING).shown;
    expect(shownAt(before) !== shownAt(after)).toBe(anew);
  });
});

const shownFor = (part: "siphon"): ProvingMemory => ({
  ...FRESH_PROVING,
  shown: { part, leftMs: 900_000, ranMs: 10_000, reading: null },
});

const endedAt = (part: "siphon"): ProvingMemory => ({
  ...FRESH_PROVING,
  lastRun: { part, ending: "interrupted", why: "The board fell silent." },
});
