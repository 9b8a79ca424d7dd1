import { arbitrate } from "../../controller/decisions/arbitrate.ts";
import type { HeatFacts } from "../../controller/decisions/heat/facts.ts";
import { type HeatVerdict, stepHeat } from "../../controller/decisions/heat/machine.ts";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatDurable,
  type HeatMemory,
  type HeatVolatile,
} from "../../controller/decisions/heat/memory.ts";
import type { HeatPlan } from "../../controller/decisions/heat/plan.ts";
import { proposeHeat } from "../../controller/decisions/heat/proposal.ts";
import { clearHeat, proveHeater } from "../../controller/decisions/heat/requests.ts";
import type { Place } from "../../shared/contract/requests.ts";
import { type HeatCase, type HeatMove, heatMoves } from "./heat-moves.ts";
import { amount, choice, flag, record, type Table } from "./pack.ts";
import { mayRunBegin } from "./run-begins.ts";
import { type Machine, rule, type Walk } from "./search.ts";

/** `seen`: what an outside observer adds up, time on against the share that caution allows, and whether the water was
 *  so cold in the last scan that no share counts. */
export interface HeatState {
  readonly durable: HeatDurable;
  readonly volatile: HeatVolatile;
  readonly seen: { readonly overMs: number; readonly cold: boolean };
}
interface Done {
  readonly next: HeatState;
  readonly verdict: HeatVerdict | null;
}

const fieldsOf = ({ tickMs }: HeatCase): Table => ({
  durable: {
    latch: record(3, ({ reason }: { reason: string }) => reason),
    occurrences: amount(1),
    noEffect: flag,
    oneContact: record(4, (contact: never) => JSON.stringify(contact)),
    dutyDay: amount(0),
    dutyWeek: choice(2),
    dutyKnownMs: choice(1),
    provingMs: choice(3),
  },
  volatile: {
    on: flag,
    inStateMs: amount(4, tickMs),
    sinceHeatMs: amount(3, tickMs),
    hotMs: amount(3, tickMs),
    cut: flag,
    hotFellSilent: flag,
    coolMs: amount(3, tickMs),
    // One millisecond is the code's way to wait for a rate that is not known yet.
    guardOpenMs: choice(3),
    rateBefore: choice(2),
    disprovedMs: amount(2, tickMs),
    guardWaits: flag,
    slopeCheckMs: amount(3, tickMs),
    unansweredMs: amount(3, tickMs),
    cover: record(4, (cover: never) => JSON.stringify(cover)),
    off: record(4, (off: never) => JSON.stringify(off)),
    cautious: flag,
    cautiousMs: amount(5, tickMs),
    trust: choice(3),
    doubt: choice(3),
    source: choice(3),
    effect: record(8, (window: never) => JSON.stringify(window)),
    dutyOnMs: amount(0),
    dutyAllMs: amount(0),
  },
  seen: { overMs: amount(6, tickMs / 4), cold: flag },
});

/**
 * Taken out, because nothing is decided by them: running numbers, and time beyond the longest wait that asks for it.
 * The learned duty is what the adversary chose in the beginning: it enters the machine as a class.
 */
function withoutHistory(
  before: HeatState,
  { durable, volatile }: HeatMemory,
  seen: HeatState["seen"],
  one: HeatCase,
): HeatState {
  const { plan } = one;
  const longest = Math.max(plan.longestOnMs, plan.minimumOnMs, plan.minimumOffMs, plan.weldCheckAfterOffMs);
  const { latch, oneContact } = durable;
  return {
    durable: {
      ...durable,
      latch: latch === null ? null : { reason: latch.reason, occurrence: 1 },
      oneContact: oneContact === null ? null : { ...oneContact, occurrence: 1 },
      occurrences: latch === null && oneContact === null && !durable.noEffect ? 0 : 1,
      dutyDay: 0,
      dutyWeek: before.durable.dutyWeek,
      dutyKnownMs: before.durable.dutyKnownMs,
    },
    volatile: {
      ...volatile,
      inStateMs: Math.min(volatile.inStateMs, longest),
      sinceHeatMs: Math.min(volatile.sinceHeatMs, plan.recentHeatMs),
      coolMs: one.coolCounts ? volatile.coolMs : 0,
      dutyOnMs: 0,
      dutyAllMs: 0,
    },
    seen,
  };
}

const NOTHING_SEEN = { overMs: 0, cold: false } as const;

/** S4, S5a and the guard: the heater is on only as it may be. */
function heaterIsAllowed(before: HeatState, facts: HeatFacts, verdict: HeatVerdict, plan: HeatPlan): void {
  const { durable, volatile } = verdict.memory;
  const { on, guardClosed } = verdict;
  const commands = arbitrate([proposeHeat("heater-1", verdict, null)]);
  rule(commands["heater-1"] === on, "S4", "the heater is wanted behind an open guard");
  rule(!guardClosed || durable.latch === null, "S4", "the heat guard is closed behind a lock");
  rule(!guardClosed || facts.steady, "S5a", "the heat guard is closed before anything has been steady");
  rule(!guardClosed || !volatile.cut, "S4", "the heat guard is closed although the cut-out stands");
  const covered = facts.cover === "shown" || (facts.cover !== "bare" && volatile.cover.byFloat);
  rule(!guardClosed || covered, "S4", "the heat guard is closed over a heater that may be uncovered");
  const byOne = durable.oneContact !== null;
  rule(!byOne || guardClosed === on, "S4", "the one contact that opens is closed without heat");
  rule(!guardClosed || !facts.holdingWithHeat, "S4", "the heat guard is closed while hands are in the tank");
  rule(volatile.on === on, "S4", "the memory does not know that the heater is on");
  if (!on) return;
  const s4 = (holds: boolean, words: string) => rule(holds, "S4", `the heater is on although ${words}`);
  s4(facts.control.value !== null && facts.warmest.value !== null, "no temperature can be trusted");
  s4((facts.warmest.value as number) < plan.cutOutC, "the warmest reading is at the cut-out");
  s4(durable.latch === null, `heat is locked by ${durable.latch?.reason}`);
  s4(!volatile.cut, "the cut-out stands");
  s4(covered, "it may be uncovered");
  const warmest = facts.warmest.value as number;
  s4(!byOne || warmest < plan.setpointC + 1, "only one contact opens and the water is a kelvin over the setpoint");
  s4(!byOne || verdict.cautious, "only one contact opens and it is not heated with care");
  s4(!byOne || before.volatile.on || volatile.off.isConfirmed, "its last off was not confirmed");
  // Named exception: in a cold box, or before a thermostat that was seen to cut, with care, where the water contradicts a
  // sensor that says the pump stands still.
  const isSafe = facts.thermostatProven || (facts.control.value as number) < plan.lowC;
  // And where a thermometer that shares no chamber with it follows it: the water flows.
  const excused = facts.flowSuspect && ((isSafe && verdict.cautious) || facts.answered === "some");
  s4((facts.flow && (facts.flowNow || plan.sharesChamber)) || excused, "the return pump is not shown running");
  s4(!facts.holdingWithHeat, "hands are in the tank");
  s4(facts.board === "ready", "the board does not report");
  s4(!facts.heaterSeenOn, "it was seen on while off");
  rule(facts.steady, "S5a", "the heater is on before a temperature has been steady");
  const proving = before.durable.provingMs > 0 && durable.provingMs > 0;
  rule(facts.proven || proving, "S5a", "the heater is on and nobody has seen it work");
  s4(before.volatile.on || facts.turn || proving, "the other heater has its turn");
  s4(before.volatile.on || facts.apart, "the other heater has just come on");
  const long = before.volatile.on && before.volatile.inStateMs >= plan.longestOnMs;
  s4(!long, "it has been on for its longest and nobody looked at the slope");
}

/** S3 of the heat: a latch holds until somebody at the tank clears it in water that is seen to be cool. */
function heatLatchHolds(before: HeatDurable, { facts, asked }: HeatMove, after: HeatDurable, plan: HeatPlan): void {
  if (before.latch === null) return;
  if (after.latch !== null) {
    rule(after.latch.reason === before.latch.reason || asked === "clear", "S3", "the first reason was replaced");
    return;
  }
  rule(asked === "clear", "S3", `the lock ${before.latch.reason} went away and nobody at the tank cleared it`);
  rule(facts.warmest.value !== null, "S3", "a lock was cleared and nobody knows how warm the water is");
  rule((facts.warmest.value as number) <= plan.cutOutC - 1, "S3", "a lock was cleared in hot water");
  rule(!facts.heaterSeenOn, "S3", "a lock was cleared with the heater seen on");
}

/** What must latch: three hot readings with heat in the last half hour, and power behind an open contact. */
function heatTripsLatch(before: HeatState, facts: HeatFacts, { memory }: HeatVerdict, plan: HeatPlan): void {
  if (memory.durable.latch !== null) return;
  const found = memory.durable.oneContact !== null;
  rule(!facts.heaterSeenOn || found, "S3", "the heater is seen on while off, and nothing is locked or found");
  const hot = facts.warmest.value !== null && facts.warmest.value >= plan.cutOutC;
  if (!hot) return;
  rule(
    memory.volatile.hotMs > 0 || facts.elapsed.ms === 0 || before.volatile.hotMs > 0,
    "S4",
    "hot water is not counted",
  );
  const recent = before.volatile.on || before.volatile.sinceHeatMs < plan.recentHeatMs;
  rule(
    !(memory.volatile.hotMs >= plan.cutOutMs && recent),
    "S3",
    "the cut-out stands with recent heat, and nothing is locked",
  );
  rule(
    memory.volatile.hotMs < plan.cutOutMs || memory.volatile.cut,
    "S4",
    "hot for its time, and the cut-out does not stand",
  );
}

/** S4, cautious duty: what is on beyond its share, as a bucket that leaks at the share. */
function overAfter(before: HeatState, facts: HeatFacts, verdict: HeatVerdict, one: HeatCase): number {
  if (!one.dutyCounts) return 0;
  const { durable, volatile } = before;
  const known = durable.dutyKnownMs > 0;
  const share = known ? Math.min(0.5, durable.dutyWeek) : 0.5;
  // On only while careful counts; what is switched on falls off by itself when the next scan is late.
  const onMs = volatile.on && volatile.cautious ? Math.min(facts.elapsed.ms, one.expiryMs) : 0;
  // Named exception: cold water that follows the heater is heated as long as it is cold.
  const counted = before.seen.cold ? 0 : onMs;
  const overMs = Math.max(0, before.seen.overMs + counted - share * facts.elapsed.ms);
  const most = share * one.plan.cautiousCycleMs + one.expiryMs;
  rule(overMs <= most, "S4", `careful heating was on for ${overMs / one.tickMs} ticks more than its share allows`);
  return verdict.cautious ? overMs : 0;
}

const isCold = ({ coldestAnsweringC, warmest }: HeatFacts, plan: HeatPlan): boolean =>
  coldestAnsweringC !== null && coldestAnsweringC < plan.lowC && (warmest.value as number) < plan.setpointC;

const THIRD = "third thermometer";

function badIsNoBetter(before: HeatState, sound: HeatVerdict, worse: HeatVerdict, part: string, scan: string): void {
  const s6 = (holds: boolean, words: string) => rule(holds, "S6", `${scan}; the same with the ${part} gone: ${words}`);
  const withHeat = worse.on || before.volatile.on;
  s6(!worse.guardClosed || sound.guardClosed || withHeat || isLater(before, sound), "the guard closes");
  // Named restricted mode: what was doubtful already for the same reason goes on being heated with care. Its bound is
  // S4's. The third thermometer never falls silent twice, so that no reading that is lost in this scan is excused.
  const [was, is] = [before.volatile, worse.memory.volatile];
  const asBefore = was.trust === is.trust && was.doubt === is.doubt && was.source === is.source;
  const restricted = was.cautious && worse.cautious && asBefore && part !== THIRD;
  s6(!worse.on || sound.on || before.volatile.on || restricted, "the heater turns on");
  s6(!worse.on || sound.on || worse.cautious, "the heater stays on without care");
  const [a, b] = [sound.memory, worse.memory];
  const made = before.durable.latch === null && a.durable.latch !== null;
  s6(a.durable.latch === null || b.durable.latch !== null || made, "a lock is lost");
  s6(!(before.volatile.cut && a.volatile.cut) || b.volatile.cut, "the cut-out is lost");
  s6(b.volatile.hotMs >= before.volatile.hotMs || b.volatile.hotMs >= a.volatile.hotMs, "less heat was counted");
}

/** A cut-out, a test or a lock that needs one more reading to begin, begins a scan later without it. */
const isLater = (before: HeatState, { memory: { durable, volatile } }: HeatVerdict): boolean =>
  volatile.cut || volatile.guardOpenMs > 0 || durable.latch !== before.durable.latch || durable.oneContact !== null;

export function heatMachine(one: HeatCase): Machine<HeatState, Done> {
  const { plan } = one;
  const moves = heatMoves(one);
  const step = (before: HeatState, place: number): Done => {
    const move = moves[place] as HeatMove;
    if (move.restart) {
      // The durable part comes back as it was, or as if nothing had ever been; the rest begins anew with the process.
      const durable = move.lost
        ? { ...FRESH_HEAT_DURABLE, dutyWeek: before.durable.dutyWeek, dutyKnownMs: before.durable.dutyKnownMs }
        : { ...before.durable, provingMs: 0 };
      return { next: { durable, volatile: FRESH_HEAT_VOLATILE, seen: NOTHING_SEEN }, verdict: null };
    }
    const asked = askHeat(before.durable, move, plan);
    const memory: HeatMemory = { durable: asked, volatile: before.volatile };
    const verdict = stepHeat(memory, move.facts, plan);
    const begun: HeatState = { ...before, durable: asked };
    heaterIsAllowed(begun, move.facts, verdict, plan);
    heatLatchHolds(before.durable, move, verdict.memory.durable, plan);
    heatTripsLatch(before, move.facts, verdict, plan);
    if (move.asked !== null) heatRequestIsBounded(before, move, verdict, plan);
    const overMs = overAfter(before, move.facts, verdict, one);
    const cold = one.dutyCounts && verdict.cautious && isCold(move.facts, plan);
    return { next: withoutHistory(before, verdict.memory, { overMs, cold }, one), verdict };
  };
  return {
    name: one.name,
    about: one.about,
    fields: fieldsOf(one),
    begins: one.shares.flatMap((share) =>
      [false, true].map((noEffect) => {
        const known = share === null ? {} : { dutyWeek: share, dutyKnownMs: 86_400_000 };
        const durable = { ...FRESH_HEAT_DURABLE, ...known, noEffect, occurrences: noEffect ? 1 : 0 };
        const words = `${share === null ? "duty not known" : `duty of the week ${share}`}${noEffect ? ", heater without effect" : ""}`;
        return [words, { durable, volatile: FRESH_HEAT_VOLATILE, seen: NOTHING_SEEN }] as const;
      }),
    ),
    moves: moves.map(({ words }) => words),
    step,
    across: (before, outcomes) => {
      for (const [place, outcome] of outcomes.entries()) {
        if (outcome?.verdict == null) continue;
        for (const { move, part } of (moves[place] as HeatMove).worse) {
          const worse = outcomes[move]?.verdict;
          if (worse != null) badIsNoBetter(before, outcome.verdict, worse, part, `${moves[place]?.words}`);
        }
      }
    },
    walks: [heatBegins(one), everyHeatLockHasAnExit(one)],
    tell: tellHeat(one),
    mustMeet: one.mustMeet,
  };
}

function askHeat(durable: HeatDurable, { asked, facts }: HeatMove, plan: HeatPlan): HeatDurable {
  const id = "asked";
  const occurrence = durable.latch?.occurrence ?? durable.occurrences;
  switch (asked) {
    case null:
      return durable;
    case "clear":
      return clearHeat(durable, { id, kind: "clear", machine: "heat", occurrence, at: "tank" }, facts, plan).durable;
    case "clear from afar":
      return clearHeat(durable, { id, kind: "clear", machine: "heat", occurrence, at: "network" }, facts, plan).durable;
    case "clear of another lock":
      return clearHeat(
        durable,
        { id, kind: "clear", machine: "heat", occurrence: occurrence - 1, at: "tank" },
        facts,
        plan,
      ).durable;
    case "prove":
      return proved(durable, "tank");
    case "prove from afar":
      return proved(durable, "network");
  }
}

/** As the scan does it: where somebody asks is looked at for all parts alike, and then the heater is asked. */
function proved(durable: HeatDurable, at: Place): HeatDurable {
  const request = { id: "asked", kind: "prove", part: "heater-1", seconds: 30, at } as const;
  return mayRunBegin(request) ? proveHeater(durable, request).durable : durable;
}

/** S7: in one step a request turns the heater on only by a proving run, or by a clear at the tank. */
function heatRequestIsBounded(
  before: HeatState,
  { facts, asked }: HeatMove,
  verdict: HeatVerdict,
  plan: HeatPlan,
): void {
  if (!verdict.on || asked === "prove" || asked === "clear") return;
  const quiet = stepHeat({ durable: before.durable, volatile: before.volatile }, facts, plan);
  // Named exception: a clear ends the finding "no effect", which has no place; the band decides as ever.
  const ended = asked === "clear from afar" && before.durable.noEffect && before.durable.latch === null;
  rule(quiet.on || ended, "S7", `"${asked}" turned the heater on`);
}

/** L2: from every state without a lock, in cold water with everything well, heat begins within its waits. */
function heatBegins(one: HeatCase): Walk<HeatState> {
  const { plan, tickMs } = one;
  return {
    rule: "L2",
    // A week without a minute of heat leaves careful heating a share of nothing: only a person ends that.
    asked: ({ durable }) => durable.latch === null && !(isShareless(durable) && durable.noEffect),
    reached: ({ volatile, durable }) => volatile.on || durable.latch !== null,
    next: (state) => {
      const verdict = stepHeat(state, one.coldScan, plan);
      return withoutHistory(state, verdict.memory, NOTHING_SEEN, one);
    },
    most: ({ volatile, durable }) => {
      const share = durable.dutyKnownMs > 0 ? Math.min(0.5, durable.dutyWeek) : 0.5;
      const careful = volatile.cautious || durable.noEffect || durable.oneContact !== null;
      const paused = careful ? (2 - share) * plan.cautiousCycleMs : 0;
      const confirmed = durable.oneContact === null ? 0 : plan.offConfirmMs;
      const waits = plan.minimumOffMs + volatile.guardOpenMs + volatile.slopeCheckMs + paused + confirmed;
      return Math.ceil(waits / tickMs) + 2;
    },
  };
}

const isShareless = (durable: HeatDurable): boolean => durable.dutyKnownMs > 0 && durable.dutyWeek === 0;

/** L4 of the heat: cool water that can be measured and a person who clears bring heat back. */
function everyHeatLockHasAnExit(one: HeatCase): Walk<HeatState> {
  const { plan } = one;
  return {
    rule: "L4",
    asked: ({ durable }) => durable.latch !== null,
    reached: ({ volatile }) => volatile.on,
    next: (state) => {
      const clear = { asked: "clear", facts: one.coldScan } as HeatMove;
      const durable = askHeat(state.durable, clear, plan);
      const verdict = stepHeat({ durable, volatile: state.volatile }, one.coldScan, plan);
      return withoutHistory(state, verdict.memory, NOTHING_SEEN, one);
    },
    most: () => 24,
  };
}

const tellHeat =
  ({ tickMs }: HeatCase) =>
  ({ durable, volatile, seen }: HeatState): string => {
    const told: string[] = [volatile.on ? "HEATER ON" : "off"];
    for (const [name, value] of Object.entries({ ...durable, ...volatile, ...seen })) {
      if (["on", "latch", "occurrences", "dutyDay"].includes(name)) continue;
      if (value === 0 || value === false || value === null) continue;
      if (typeof value === "object") told.push(`${name} ${JSON.stringify(value)}`);
      else if (typeof value === "number" && name.endsWith("Ms")) told.push(`${name} ${value / tickMs} ticks`);
      else told.push(value === true ? name : `${name} ${String(value)}`);
    }
    if (durable.latch !== null) told.push(`LOCKED by ${durable.latch.reason}`);
    return told.join(", ");
  };
