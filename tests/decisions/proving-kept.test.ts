import { describe, expect, test } from "vitest";
import { contactWords, followContacts, wasSeenBothWays } from "../../controller/decisions/proving/contacts.ts";
import {
  ageOf,
  areProven,
  type ContactSeen,
  everythingProven,
  FRESH_PROVING,
  fallen,
  isOverdue,
  isProven,
  nothingProven,
  olderProofs,
  type Proof,
  type ProofsMemory,
  type ProvingMemory,
  proofsAfterRestart,
  proofsUnder,
  proofsVoid,
  provingAfterRestart,
  setProof,
  storedProofs,
  voided,
} from "../../controller/decisions/proving/memory.ts";
import { SEEN_BOTH_WAYS, type SeenBothWays } from "../../controller/decisions/proving/parts.ts";
import {
  isReady,
  isSeenBothWays,
  looksAlike,
  needsRun,
  nextWords,
  provingStatus,
  standingOf,
} from "../../controller/decisions/proving/status.ts";
import { WHAT_TO_SHOW } from "../../controller/decisions/proving/words.ts";
import { PROOF_PARTS, PROVING_RUNS, type ProofPart } from "../../shared/contract/index.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";
import { contact } from "./top-off-scene.ts";

/** What has been seen of each part, how old its proof is, and how that is shown. */
const FILE = rehearsalSettings();
const DAY_MS = 86_400_000;
const MOST_AGE_MS = 10 * 365 * DAY_MS;

const REST: ContactSeen = { position: "off", stayedMs: 1_000, settled: "off", turns: 0, leftMs: 0 };
const NEVER: ContactSeen = { position: "unknown", stayedMs: 0, settled: "unknown", turns: 0, leftMs: 0 };

describe("a contact seen both ways", () => {
  const QUIET = Object.fromEntries(SEEN_BOTH_WAYS.map((part) => [part, REST])) as ProvingMemory["contacts"];
  const signals = (position: ContactSeen["position"], part: SeenBothWays = "high-float") => ({
    ...(Object.fromEntries(SEEN_BOTH_WAYS.map((each) => [each, contact("off")])) as Record<
      SeenBothWays,
      ReturnType<typeof contact>
    >),
    [part]: contact(position),
  });
  const next = (seen: Partial<ContactSeen>, position: ContactSeen["position"], elapsedMs = 400) =>
    followContacts({ ...QUIET, "high-float": { ...REST, ...seen } }, signals(position), elapsedMs)["high-float"];

  test("position unchanged: the very same memory", () => {
    expect(followContacts(QUIET, signals("off"), 400)).toBe(QUIET);
    const lost = { ...QUIET, "high-float": { ...REST, position: "unknown" } as const };
    expect(followContacts(lost, signals("unknown"), 400)).toBe(lost);
  });
  test("one or two move: those only change", () => {
    const after = followContacts(QUIET, signals("on", "floor-sensor"), 400);
    expect(after).toEqual({ ...QUIET, "floor-sensor": { ...REST, position: "on", stayedMs: 0 } });
    const two = followContacts(QUIET, { ...signals("on"), "low-float": contact("on") }, 400);
    expect([two["high-float"].position, two["low-float"].position]).toEqual(["on", "on"]);
  });
  test("new position for 999 ms: no turn; 1,000 ms: turned, counts for ten minutes; back before: no turn", () => {
    expect(next({}, "on")).toEqual({ ...REST, position: "on", stayedMs: 0 });
    expect(next({ position: "on", stayedMs: 599 }, "on")).toEqual({ ...REST, position: "on", stayedMs: 999 });
    expect(next({ position: "on", stayedMs: 600 }, "on")).toEqual({
      position: "on",
      stayedMs: 1_000,
      settled: "on",
      turns: 1,
      leftMs: 600_000,
    });
    expect(next({ position: "on", stayedMs: 999 }, "off")).toEqual({ ...REST, stayedMs: 0 });
  });
  test("back again for 1 s: two turns, ten minutes from then, then none; a third turn counts no more", () => {
    const up: ContactSeen = { position: "off", stayedMs: 600, settled: "on", turns: 1, leftMs: 300_000 };
    const both = next(up, "off");
    expect(both).toEqual({ position: "off", stayedMs: 1_000, settled: "off", turns: 2, leftMs: 600_000 });
    expect(next({ ...both, position: "on", stayedMs: 600 }, "on").turns).toBe(2);
    expect(next(both, "off")).toEqual({ ...both, leftMs: 599_600 });
    expect(next({ ...both, leftMs: 400 }, "off")).toEqual({ ...both, turns: 0, leftMs: 0 });
    expect(next({ ...both, leftMs: 401 }, "off")).toEqual({ ...both, leftMs: 1 });
  });
  test("from unknown to a position: no turn; unknown in between: no turn, position before stays settled", () => {
    expect(next({ ...NEVER, position: "on", stayedMs: 600 }, "on")).toEqual({ ...REST, position: "on", settled: "on" });
    const up: ContactSeen = { position: "on", stayedMs: 1_000, settled: "on", turns: 1, leftMs: 300_000 };
    expect(next(up, "unknown")).toEqual({ ...up, position: "unknown", stayedMs: 0, leftMs: 299_600 });
    expect(next({ ...up, position: "unknown" }, "unknown")).toEqual({ ...up, position: "unknown", leftMs: 299_600 });
    expect(next({ position: "unknown", stayedMs: 1_000 }, "unknown", 0).settled).toBe("off");
  });
  test("two turns with time left: seen both ways; one, or no time left: not", () => {
    const both = { ...REST, turns: 2, leftMs: 1 };
    expect([both, { ...both, turns: 1 }, { ...both, leftMs: 0 }].map(wasSeenBothWays)).toEqual([true, false, false]);
  });

  const [ONCE_UP, ONCE_DOWN] = [
    { ...REST, position: "on", settled: "on", turns: 1, leftMs: 1 },
    { ...REST, turns: 1, leftMs: 1 },
  ] as const;
  const rows: [part: SeenBothWays, seen: ContactSeen, words: string][] = [
    ["high-float", { ...REST, turns: 2, leftMs: 1 }, "Seen both ways."],
    ["high-float", NEVER, "It gives no reading: look at its wire and its plug first."],
    ["high-float", REST, "In a hold, lift it until it reads wet, then let it fall until it reads dry."],
    ["high-float", ONCE_UP, "Seen wet; now let it fall until it reads dry."],
    ["high-float", ONCE_DOWN, "Seen dry; now lift it until it reads wet."],
    ["working-float", ONCE_UP, "Seen full; now let it fall until it reads low."],
    ["working-float", ONCE_DOWN, "Seen low; now lift it until it reads full."],
    [
      "working-float",
      { ...REST, settled: "on", position: "on" },
      "In a hold, press it down until it reads low, then let it rise until it reads full.",
    ],
    ["low-float", ONCE_UP, "Seen covered; now let it fall until it reads uncovered."],
    ["reservoir-float", ONCE_DOWN, "Seen empty; now lift it until it reads water."],
    ["reservoir-float", ONCE_UP, "Seen water; now let it fall until it reads empty."],
    [
      "floor-sensor",
      REST,
      "Touch it with a wet cloth until it reads wet, then wipe it dry until it reads dry. It locks top-off: clear that afterwards.",
    ],
    [
      "floor-sensor",
      { ...REST, settled: "on", position: "on" },
      "Touch it with a wet cloth until it reads wet, then wipe it dry until it reads dry. It locks top-off: clear that afterwards.",
    ],
    ["floor-sensor", ONCE_UP, "Seen wet; now wipe it dry until it reads dry. It locks top-off: clear that afterwards."],
    ["floor-sensor", ONCE_DOWN, "Seen dry; now touch it until it reads wet."],
  ];
  test.each(rows)("%s, words for %j", (part, seen, words) => {
    expect(contactWords(part, seen)).toBe(words);
  });
});

/** A year and two months: what is looked at once a year is overdue then. */
const OVERDUE_MS = (365 + 60) * DAY_MS;
const withAge = (part: ProofPart, ageMs: number | null, change: Partial<Proof> = {}): ProofsMemory => {
  const memory = nothingProven(FILE);
  return setProof(memory, part, { ...memory.parts[part], ageMs, ...change });
};

describe("a proof", () => {
  const [ALL, NONE] = [everythingProven(FILE), nothingProven(FILE)];
  test("ageMs 0: proven; null: not; several: only if all are", () => {
    expect(PROOF_PARTS.map((part) => ageOf(ALL, part))).toEqual(PROOF_PARTS.map(() => 0));
    expect(PROOF_PARTS.map((part) => ageOf(NONE, part))).toEqual(PROOF_PARTS.map(() => null));
    expect(ALL.parts.siphon).toEqual({ ageMs: 0, by: null, reading: null, changed: null });
    expect([ALL.sinceMs, ALL.running]).toEqual([0, null]);
    expect([isProven(ALL, "siphon"), isProven(NONE, "siphon")]).toEqual([true, false]);
    expect(areProven(ALL, ["siphon", "high-float"])).toBe(true);
    expect(areProven(withAge("siphon", 0), ["siphon", "high-float"])).toBe(false);
    expect(areProven(NONE, [])).toBe(true);
  });
  test("599,999 ms: counted beside the parts; 1 ms more: 600,000 in each; at most ten years; never proven: stays", () => {
    const early = olderProofs(ALL, 599_999);
    expect(early).toEqual({ ...ALL, sinceMs: 599_999 });
    expect(early.parts).toBe(ALL.parts);
    expect(ageOf(early, "siphon")).toBe(599_999);
    const later = olderProofs(early, 1);
    expect(later.sinceMs).toBe(0);
    expect(later.parts.siphon.ageMs).toBe(600_000);
    expect(olderProofs(ALL, 2 * MOST_AGE_MS).parts.siphon.ageMs).toBe(MOST_AGE_MS);
    expect(olderProofs(NONE, 600_000).parts.siphon).toBe(NONE.parts.siphon);
  });
  test("restart after 1 s: older by 1 s; after an unknown time: 35 days, or older where it was; never proven: stays", () => {
    const before = { ...ALL, sinceMs: 7 };
    expect(proofsAfterRestart(before, 1_000)).toMatchObject({ sinceMs: 0, parts: { siphon: { ageMs: 1_007 } } });
    expect(proofsAfterRestart(before, 2 * MOST_AGE_MS).parts.siphon.ageMs).toBe(MOST_AGE_MS);
    expect(proofsAfterRestart(before, null)).toMatchObject({ sinceMs: 0, parts: { siphon: { ageMs: 35 * DAY_MS } } });
    expect(proofsAfterRestart({ ...withAge("siphon", 36 * DAY_MS), sinceMs: 5 }, null).parts.siphon.ageMs).toBe(
      36 * DAY_MS + 5,
    );
    expect(proofsAfterRestart(NONE, null).parts.siphon.ageMs).toBeNull();
  });
  test("60 days less 1 ms: not overdue; 60 days: overdue; never proven: not", () => {
    expect(isOverdue(withAge("high-float", 60 * DAY_MS - 1), "high-float")).toBe(false);
    expect(isOverdue(withAge("high-float", 60 * DAY_MS), "high-float")).toBe(true);
    expect(isOverdue({ ...withAge("high-float", 60 * DAY_MS - 1), sinceMs: 1 }, "high-float")).toBe(true);
    expect(isOverdue(NONE, "high-float")).toBe(false);
  });
  test("fallen: void, changed by settings, person forgotten; seen not to work: void, person kept", () => {
    const by = withAge("siphon", 5, { by: "Kim", reading: { value: 5, unit: "mL" } });
    const gone = { ageMs: null, reading: null };
    expect(fallen(by, "siphon").parts.siphon).toEqual({ ...gone, by: null, changed: "settings" });
    expect(fallen(NONE, "siphon")).toBe(NONE);
    expect(voided(by, "siphon").parts.siphon).toEqual({ ...gone, by: "Kim", changed: null });
    expect(fallen(by, "siphon").parts["high-float"]).toBe(by.parts["high-float"]);
  });
});

describe("proofs under a changed settings file", () => {
  const printed = (part: string, port: string, ageMs: number | null = 5): ProofsMemory => {
    const memory = withAge("siphon", ageMs, { by: "Kim" });
    return { ...memory, prints: { ...memory.prints, siphon: { part, port } } };
  };
  const now = nothingProven(FILE).prints;
  test("settings that say the same: the very same proofs", () => {
    const memory = nothingProven(FILE);
    expect(proofsUnder(memory, FILE)).toBe(memory);
    const same = printed(now.siphon.part, now.siphon.port);
    const under = proofsUnder(same, FILE);
    expect(under.parts).toEqual(same.parts);
    expect(under.prints).toBe(now);
  });
  test("another part: fallen, whatever the port", () => {
    for (const port of [now.siphon.port, "other"]) {
      expect(proofsUnder(printed("other", port), FILE).parts.siphon).toEqual({
        ageMs: null,
        by: null,
        reading: null,
        changed: "settings",
      });
    }
  });
  test("another port only: aged to overdue at least, person kept; never proven: stays", () => {
    const port = (ageMs: number | null) => proofsUnder(printed(now.siphon.part, "other", ageMs), FILE).parts.siphon;
    expect(port(5)).toMatchObject({ ageMs: OVERDUE_MS, by: "Kim", changed: "port" });
    expect(port(OVERDUE_MS + 5).ageMs).toBe(OVERDUE_MS + 5);
    expect(port(null)).toMatchObject({ ageMs: null, changed: null });
  });
  test("memory lost: overdue where the witness knows the part, never proven elsewhere", () => {
    const print = { part: "then", port: "there" };
    const memory = proofsVoid(FILE, { proven: { siphon: print, "high-float": print } });
    expect(memory.parts.siphon.ageMs).toBe(OVERDUE_MS);
    expect(memory.parts["high-float"].ageMs).toBe(60 * DAY_MS);
    expect(memory.parts["water-guard"].ageMs).toBeNull();
    expect(memory.prints.siphon).toBe(print);
    expect(memory.prints["water-guard"]).toEqual(now["water-guard"]);
  });
});

describe("a restart of proving", () => {
  test("run under way: interrupted as started anew, nothing lost; none: unchanged", () => {
    expect(provingAfterRestart(FRESH_PROVING, null)).toBe(FRESH_PROVING);
    expect(provingAfterRestart(FRESH_PROVING, "siphon")).toEqual({
      ...FRESH_PROVING,
      lastRun: {
        part: "siphon",
        ending: "interrupted",
        why: "The controller started anew before it was proven. Nothing is lost: begin the run again.",
      },
    });
    expect(FRESH_PROVING.contacts["low-float"]).toEqual(NEVER);
  });
});

describe("how a part stands", () => {
  const standing = (part: ProofPart, ageMs: number | null, change: Partial<Proof> = {}, settings = FILE) =>
    standingOf(part, withAge(part, ageMs, change), settings);
  test.each([
    ["high-float", 35, 60],
    ["protective-device", 35, 60],
    ["siphon", 365, 425],
    ["heater-thermostat", 365, 425],
  ] as const)("%s is due after %d days and overdue after %d", (part, due, overdue) => {
    expect(standing(part, due * DAY_MS - 1)).toBe("proven");
    expect(standing(part, due * DAY_MS)).toBe("due");
    expect(standing(part, overdue * DAY_MS - 1)).toBe("due");
    expect(standing(part, overdue * DAY_MS)).toBe("overdue");
  });
  test("no age: never; by settings: fallen; not wired: not-fitted; the protective device needs no wire", () => {
    expect(standing("siphon", null)).toBe("never");
    expect(standing("siphon", null, { changed: "settings" })).toBe("fallen");
    const board = { kind: "firmata", port: "/dev/ttyACM0" };
    const bare = { ...FILE, boards: { io: board } } as unknown as Settings;
    expect(standing("siphon", 0, {}, bare)).toBe("not-fitted");
    expect(standing("protective-device", 0, {}, bare)).toBe("proven");
  });
});

const proving = (change: Partial<ProvingMemory> = {}): ProvingMemory => ({ ...FRESH_PROVING, ...change });
const shown = (part: NonNullable<ProvingMemory["shown"]>["part"]) => ({ part, leftMs: 5, ranMs: 0, reading: null });
const seen = (part: SeenBothWays, contactSeen: ContactSeen) => ({ ...FRESH_PROVING.contacts, [part]: contactSeen });

describe("isReady", () => {
  test("seen both ways, shown by its own run, or only looked at: ready; otherwise not", () => {
    const both = { ...REST, turns: 2, leftMs: 1 };
    expect(isReady("protective-device", proving())).toBe(true);
    expect(isReady("high-float", proving())).toBe(false);
    expect(isReady("high-float", proving({ contacts: seen("high-float", both) }))).toBe(true);
    expect(isReady("low-float", proving({ contacts: seen("high-float", both) }))).toBe(false);
    expect(isReady("siphon", proving({ shown: shown("siphon") }))).toBe(true);
    expect(isReady("siphon", proving({ shown: shown("top-off-pump") }))).toBe(false);
    expect(isReady("siphon", proving())).toBe(false);
  });
  test("every part is seen both ways, run or looked at, as the lists say", () => {
    expect(PROOF_PARTS.filter(isSeenBothWays)).toEqual([...SEEN_BOTH_WAYS]);
    expect(PROOF_PARTS.filter(needsRun)).toEqual([...PROVING_RUNS]);
  });
});

describe("next words of a part", () => {
  const ended = (ending: "done" | "failed" | "interrupted", part: ProofPart = "top-off-pump") =>
    ({ part, ending, why: "As it went." }) as NonNullable<ProvingMemory["lastRun"]>;
  const FIRST = "The first run gave 20.5 mL/s. Run the pump into the emptied jug once more.";
  const rows: [story: string, part: ProofPart, before: Partial<ProvingMemory>, ready: boolean, words: string][] = [
    ["nothing has run yet", "siphon", {}, false, WHAT_TO_SHOW.siphon],
    ["another part has run", "siphon", { lastRun: ended("failed") }, false, WHAT_TO_SHOW.siphon],
    ["it ran and can be judged", "top-off-pump", { lastRun: ended("done") }, true, "As it went."],
    ["it ran and was judged", "top-off-pump", { lastRun: ended("done") }, false, WHAT_TO_SHOW["top-off-pump"]],
    ["it failed", "top-off-pump", { lastRun: ended("failed") }, false, "As it went."],
    ["it was cut short", "top-off-pump", { lastRun: ended("interrupted") }, false, "As it went."],
    ["it ran once", "top-off-pump", { firstMlPerS: 20.49, lastRun: ended("done") }, false, FIRST],
    ["it ran twice", "top-off-pump", { firstMlPerS: 20.49, lastRun: ended("done") }, true, "As it went."],
    ["ready without a run to tell of", "top-off-pump", {}, true, WHAT_TO_SHOW["top-off-pump"]],
    ["the pump ran once, and this is the siphon", "siphon", { firstMlPerS: 20.49 }, false, WHAT_TO_SHOW.siphon],
    [
      "a person looks",
      "protective-device",
      { lastRun: ended("failed", "protective-device") },
      true,
      WHAT_TO_SHOW["protective-device"],
    ],
    [
      "a float is told by what was seen of it",
      "high-float",
      {},
      false,
      "It gives no reading: look at its wire and its plug first.",
    ],
  ];
  test.each(rows)("%s, $1: $4", (_, part, before, ready, words) => {
    expect(nextWords(part, proving(before), ready)).toBe(words);
  });
});

describe("what is shown of proofs", () => {
  const gateOf = (part: ProofPart) => (part.startsWith("heat") ? "heat" : part === "top-off-pump" ? "top-off" : null);
  const status = (memory: ProofsMemory, of: ProvingMemory = FRESH_PROVING, waiting = false, settings = FILE) =>
    provingStatus(memory, of, { run: { waiting, leftMs: 7_000 }, atTankMs: 5, gateOf }, settings);
  const ALL = everythingProven(FILE);
  const setAge = (part: ProofPart, ageMs: number | null, change: Partial<Proof> = {}) =>
    setProof(ALL, part, { ...ALL.parts[part], ageMs, ...change });
  test("part: standing, age with the time not yet added, person, reading, what it gates, ready, next words", () => {
    const reading = { value: 20.5, unit: "mL/s" } as const;
    const memory = { ...setAge("top-off-pump", 5, { by: "Kim", reading }), sinceMs: 3 };
    expect(status(memory, proving({ shown: shown("top-off-pump") })).parts["top-off-pump"]).toEqual({
      standing: "proven",
      ageMs: 8,
      by: "Kim",
      reading,
      gates: "top-off",
      ready: true,
      next: WHAT_TO_SHOW["top-off-pump"],
    });
    expect(status(ALL).parts["heater-1"].gates).toBe("heat");
    expect(status(ALL).parts["floor-sensor"].gates).toBeNull();
    expect(Object.keys(status(ALL).parts)).toEqual([...PROOF_PARTS]);
  });
  test("next: first of the walk that is never proven, fallen, due or overdue; all proven: none", () => {
    expect(status(ALL).next).toBeNull();
    expect(status(setAge("siphon", null)).next).toBe("siphon");
    expect(status(setAge("siphon", null, { changed: "settings" })).next).toBe("siphon");
    expect(status(setAge("siphon", 365 * DAY_MS)).next).toBe("siphon");
    expect(status(setAge("siphon", OVERDUE_MS)).next).toBe("siphon");
    expect(status(nothingProven(FILE)).next).toBe("high-float");
  });
  test("fallen by settings or port: told in words; not fitted: not told", () => {
    expect(status(ALL).fallen).toEqual([]);
    expect(status(setAge("siphon", null, { changed: "settings" })).fallen).toEqual([
      { part: "siphon", why: "Its settings have changed since it was proven, so it counts as never proven." },
    ]);
    expect(status(setAge("siphon", 5, { changed: "port" })).fallen).toEqual([
      {
        part: "siphon",
        why: "The port of its board has another name now: prove it again, to be sure that it is the same board.",
      },
    ]);
    const bare = { ...FILE, boards: { io: {} } } as unknown as Settings;
    expect(status(setAge("siphon", 5, { changed: "port" }), FRESH_PROVING, false, bare).fallen).toEqual([]);
  });
  const RUN = { part: "siphon", leftMs: 40_000, ranMs: 0, startC: null, otherC: null, sensedMs: 0 } as const;
  test("run under way: ms left of the pump, of the disk's wait or of the watch; none: null", () => {
    expect(status(ALL).run).toBeNull();
    const of = (phase: "running" | "watching", waiting: boolean) =>
      status(ALL, proving({ run: { ...RUN, phase } }), waiting).run;
    expect(of("running", false)).toEqual({ part: "siphon", phase: "running", leftMs: 7_000 });
    expect(of("running", true)).toEqual({ part: "siphon", phase: "waiting-for-disk", leftMs: 7_000 });
    expect(of("watching", true)).toEqual({ part: "siphon", phase: "watching", leftMs: 40_000 });
  });
  test("last run, and ms left of somebody at the tank: as kept", () => {
    const lastRun = { part: "siphon", ending: "done", why: "It went." } as const;
    expect(status(ALL, proving({ lastRun }))).toMatchObject({ lastRun, atTankLeftMs: 5 });
  });

  test("looksAlike: true for a count that goes on, false for anything that a person would see", () => {
    const base = proving({
      shown: shown("siphon"),
      contacts: seen("high-float", { ...REST, leftMs: 5 }),
    });
    const alike = (change: Partial<ProvingMemory>) => looksAlike(base, { ...base, ...change });
    const float = (change: Partial<ContactSeen>) =>
      alike({ contacts: seen("high-float", { ...REST, leftMs: 5, ...change }) });
    expect(looksAlike(base, base)).toBe(true);
    expect(alike({})).toBe(true);
    expect(alike({ shown: { ...shown("siphon"), leftMs: 1 } })).toBe(true);
    expect([float({}), float({ leftMs: 4 }), float({ stayedMs: 0 })]).toEqual([true, true, true]);
    expect(alike({ run: { ...RUN, phase: "running" } })).toBe(false);
    expect(alike({ lastRun: { part: "siphon", ending: "done", why: "" } })).toBe(false);
    expect(alike({ firstMlPerS: 20 })).toBe(false);
    expect([alike({ shown: null }), alike({ shown: shown("heat-guard") })]).toEqual([false, false]);
    const moves: Partial<ContactSeen>[] = [{ position: "on" }, { settled: "on" }, { turns: 1 }, { leftMs: 0 }];
    for (const move of moves) expect(float(move)).toBe(false);
    // Of a float that nobody has lifted, how long it has stood is not shown either.
    const unlifted = proving({ contacts: seen("high-float", REST) });
    expect(looksAlike(unlifted, { ...unlifted, contacts: seen("high-float", { ...REST, stayedMs: 0 }) })).toBe(true);
    expect(looksAlike(unlifted, { ...unlifted, contacts: seen("high-float", { ...REST, leftMs: 1 }) })).toBe(false);
    expect(looksAlike({ ...base, shown: null }, base)).toBe(false);
    // The last of them counts as the first does.
    expect(alike({ contacts: { ...base.contacts, "floor-sensor": { ...NEVER, position: "on" } } })).toBe(false);
  });
});

describe("proofs as they are stored", () => {
  const reading = { value: 5, unit: "mL" } as const;
  const memory: ProofsMemory = {
    ...setProof(everythingProven(FILE), "siphon", { ageMs: 5, by: "Kim", reading, changed: "port" }),
    sinceMs: 3,
    running: "siphon",
  };
  const written = () => JSON.parse(JSON.stringify(memory));
  const readPart = (change: object) =>
    storedProofs(FILE).parse({
      ...written(),
      parts: { ...written().parts, siphon: { ...written().parts.siphon, ...change } },
    });
  const NEVER_PROVEN = { ageMs: null, by: null, reading: null, changed: null };
  test("written and read: the same, with or without person, reading and change", () => {
    expect(storedProofs(FILE).parse(written())).toEqual(memory);
    for (const change of [
      { by: null },
      { reading: null },
      { changed: null },
      { changed: "settings" },
      { ageMs: null },
    ]) {
      expect(readPart(change).parts.siphon).toEqual({ ...memory.parts.siphon, ...change });
    }
  });
  test.each([[undefined], [null], ["proven"], [{}]])("%j: nothing proven", (stored) => {
    expect(storedProofs(FILE).parse(stored)).toEqual(nothingProven(FILE));
  });
  const broken: [string, object][] = [
    ["age as text", { ageMs: "5" }],
    ["age that is none", { ageMs: Number.NaN }],
    ["age without end", { ageMs: Infinity }],
    ["age an hour before it was made", { ageMs: -3.6e6 }],
    ["name", { by: 5 }],
    ["reading", { reading: 5 }],
    ["value of a reading", { reading: { ...reading, value: "5" } }],
    ["unit of a reading", { reading: { ...reading, unit: "gallons" } }],
    ["what changed", { changed: "weather" }],
  ];
  test.each(broken)("unreadable %s: never proven, the others stay", (_, change) => {
    const after = readPart(change);
    expect(after.parts.siphon).toEqual(NEVER_PROVEN);
    expect(after.parts["high-float"]).toEqual(memory.parts["high-float"]);
  });
  test("age of −59.8 min, made within the time not yet added: kept", () => {
    expect(readPart({ ageMs: -3.59e6 }).parts.siphon.ageMs).toBe(-3.59e6);
  });
  test("part that is no object: never proven", () => {
    const parts = written().parts;
    expect(storedProofs(FILE).parse({ ...written(), parts: { ...parts, siphon: 5 } }).parts.siphon).toEqual(
      NEVER_PROVEN,
    );
    expect(storedProofs(FILE).parse({ ...written(), parts: { ...parts, siphon: null } }).parts.siphon).toEqual(
      NEVER_PROVEN,
    );
  });
  test("unreadable fingerprint, time or run: today's, 0 ms and none", () => {
    const today = nothingProven(FILE).prints;
    const print = (siphon: unknown) => storedProofs(FILE).parse({ ...written(), prints: { siphon } }).prints;
    expect(print({ part: "a", port: "b" }).siphon).toEqual({ part: "a", port: "b" });
    for (const siphon of [5, null, { part: 5, port: "b" }, { part: "a", port: 5 }]) {
      expect(print(siphon)).toEqual(today);
    }
    expect(storedProofs(FILE).parse({ ...written(), prints: 5 }).prints).toEqual(today);
    expect(storedProofs(FILE).parse({ ...written(), sinceMs: "3" }).sinceMs).toBe(0);
    expect(storedProofs(FILE).parse({ ...written(), running: "calcium" }).running).toBeNull();
  });
});
