import type { TopOffFacts } from "../../controller/decisions/top-off/blockers.ts";
import { provenTopOff, type TopOffMemory } from "../../controller/decisions/top-off/memory.ts";
import { planTopOff } from "../../controller/decisions/top-off/plan.ts";
import type { ContactSignal } from "../../shared/contract/index.ts";
import { rehearsalSettings } from "../../shared/settings/index.ts";
import { elapsed } from "../elapsed.ts";

/** What the tables and the exploration of the top-off begin with: low water in the reference tank, and nothing in the way of a pour. */
export const PLAN = planTopOff(rehearsalSettings());

export const contact = (position: ContactSignal["position"] | "not-fitted"): ContactSignal => ({
  position: position === "not-fitted" ? "unknown" : position,
  doubt: position === "not-fitted" ? "not-fitted" : position === "unknown" ? "stale" : null,
  ageMs: 0,
  chattering: false,
});

export const FACTS: TopOffFacts = {
  elapsed: elapsed(1_000, 500),
  working: contact("off"),
  high: contact("off"),
  low: contact("on"),
  reservoir: contact("on"),
  floor: contact("off"),
  mains: contact("on"),
  returnPump: contact("on"),
  levelSettled: true,
  board: "ready",
  pumpLocked: false,
  steady: true,
  supplied: true,
  pumpWatched: false,
  holding: false,
  question: false,
  disk: "working",
  durableSequence: 0,
  nextSequence: 1,
  pumpSeenOn: false,
  salinity: "credible",
  salinityRecovered: true,
  evaporation: "expected",
  fanBlows: false,
  proven: true,
  proofOverdue: false,
};
export const facts = (change: Partial<TopOffFacts> = {}): TopOffFacts => ({ ...FACTS, ...change });
export const memory = (change: Partial<TopOffMemory> = {}): TopOffMemory => ({ ...provenTopOff(PLAN), ...change });
