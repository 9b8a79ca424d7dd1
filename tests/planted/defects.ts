/**
 * One line of the real source made wrong, as a tired person would. Each must be found exactly once in its file, and
 * each must be noticed: by one of these machines of the exploration, or else by these tests.
 */
export interface Defect {
  readonly name: string;
  readonly file: string;
  readonly from: string;
  readonly to: string;
  readonly machines: readonly string[];
  readonly tests: readonly string[];
}

const TOP_OFF = "controller/decisions/top-off";
const HEAT = "controller/decisions/heat";

const planted = (
  name: string,
  file: string,
  from: string,
  to: string,
  machines: readonly string[],
  tests: readonly string[] = ["tests/scan/invariants.test.ts"],
): Defect => ({ name, file, from, to, machines, tests });

export const DEFECTS: readonly Defect[] = [
  // What forbids a pour
  planted(
    "an unknown floor sensor counts as dry",
    `${TOP_OFF}/blockers.ts`,
    'fitted(contact) && contact.position !== "off"',
    'fitted(contact) && contact.position === "on"',
    ["around"],
  ),
  planted(
    "an unknown working float does not block",
    `${TOP_OFF}/blockers.ts`,
    'add(facts.working.position === "unknown", "working-float-unknown");',
    'add(false, "working-float-unknown");',
    ["proving", "high"],
  ),
  planted(
    "the steady time is not waited for",
    `${TOP_OFF}/blockers.ts`,
    'add(!facts.steady, "starting");',
    'add(!facts.steady && !facts.supplied && facts.holding, "starting");',
    ["around"],
  ),
  planted(
    "water may be poured into a hold",
    `${TOP_OFF}/blockers.ts`,
    "    !facts.holding &&\n    !facts.question &&",
    "    !facts.question &&",
    ["proving", "high"],
  ),
  planted(
    "a silent board does not stop a pour",
    `${TOP_OFF}/blockers.ts`,
    '    facts.board === "ready" &&\n    !facts.pumpLocked',
    "    !facts.pumpLocked",
    ["proving", "high"],
  ),
  planted("an unproven pump pours", `${TOP_OFF}/blockers.ts`, "    facts.proven &&\n", "", ["proving"]),
  planted(
    "a charge is not counted as excess",
    `${TOP_OFF}/litres.ts`,
    "excessUl: memory.excessUl + plan.chargeUl,",
    "excessUl: memory.excessUl,",
    ["drops"],
  ),
  planted(
    "the daily budget is not asked",
    `${TOP_OFF}/blockers.ts`,
    'return memory.bucketUl < plan.chargeUl ? "daily-budget-used" : null;',
    "return null;",
    ["litres"],
  ),
  // Litres
  planted(
    "the charge is not taken from the bucket",
    `${TOP_OFF}/litres.ts`,
    "bucketUl: memory.bucketUl - plan.chargeUl,",
    "bucketUl: memory.bucketUl,",
    ["litres"],
  ),
  planted(
    "a refund gives back the whole charge",
    `${TOP_OFF}/litres.ts`,
    "const refundUl = memory.chargeUl - spentUl;",
    "const refundUl = memory.chargeUl;",
    ["litres"],
  ),
  planted(
    "the bucket refills in all time, not in credited time",
    `${TOP_OFF}/litres.ts`,
    "const creditMs = healthy ? facts.elapsed.creditMs : 0;",
    "const creditMs = healthy ? facts.elapsed.ms : 0;",
    ["litres"],
  ),
  planted(
    "what was poured is counted in credited time",
    `${TOP_OFF}/machine.ts`,
    "poured(before, facts.elapsed.ms, plan)",
    "poured(before, facts.elapsed.creditMs, plan)",
    ["litres"],
  ),
  planted(
    "a pour does not wait for the disk",
    `${TOP_OFF}/machine.ts`,
    '    return on(started, "pouring-low", blockers);\n  }\n',
    '    return on(started, "pouring-low", blockers);\n  } else if (memory.chargeWaitMs > 0) return on({ ...memory, state: "pouring" }, "pouring-low", blockers);\n',
    ["high", "litres"],
  ),
  planted(
    "a proving run does not wait for the disk",
    `${TOP_OFF}/machine.ts`,
    'if (facts.durableSequence >= memory.chargeSequence) return on(memory, "proving-pump", blockers);',
    'return on(memory, "proving-pump", blockers);',
    ["proving"],
  ),
  planted(
    "a restart gives an open charge back",
    `${TOP_OFF}/memory.ts`,
    '    ...memory,\n    state: "resting",\n    running: false,',
    '    ...memory,\n    bucketUl: memory.bucketUl + memory.chargeUl,\n    state: "resting",\n    running: false,',
    ["proving", "litres"],
  ),
  planted(
    "an older memory keeps its litres",
    `${TOP_OFF}/memory.ts`,
    "bucketUl: Math.min(0, kept.bucketUl),",
    "bucketUl: kept.bucketUl + plan.chargeUl,",
    ["proving", "litres"],
  ),
  // Locks
  planted(
    "a lost memory locks nothing",
    `${TOP_OFF}/memory.ts`,
    '  latch: { reason: witness?.topOffLock ?? "memory-lost", occurrence },\n',
    "",
    ["proving"],
  ),
  planted(
    "high water does not lock",
    `${TOP_OFF}/latches.ts`,
    "memory.highWetMs >= plan.highFloatLatchMs ||",
    "memory.highWetMs > plan.highFloatLatchMs ||",
    ["high"],
  ),
  planted(
    "water on the floor does not lock",
    `${TOP_OFF}/latches.ts`,
    'if (memory.floorWetMs >= plan.floorLatchMs) return "floor-wet";',
    "",
    ["around"],
  ),
  planted(
    "floats that contradict for long do not lock",
    `${TOP_OFF}/latches.ts`,
    'if (memory.contradictionMs >= plan.contradictionLatchMs) return "floats-contradict";',
    "",
    ["floats"],
  ),
  planted(
    "a later reason replaces the first",
    `${TOP_OFF}/latches.ts`,
    "const first = memory.latch?.reason ?? reason;",
    "const first = reason;",
    ["around", "high"],
  ),
  planted(
    "a lock is cleared while its cause stands",
    `${TOP_OFF}/latches.ts`,
    "if (mayBeWet(high)) return",
    "if (mayBeWet(high) && false) return",
    ["high"],
  ),
  planted(
    "a clear meant for another lock clears this one",
    `${TOP_OFF}/requests.ts`,
    "if (memory.latch.occurrence !== request.occurrence) {",
    "if (memory.latch.occurrence < request.occurrence) {",
    ["high"],
  ),
  planted(
    "high water is cleared from afar",
    `${TOP_OFF}/requests.ts`,
    'if (request.at === "network" && isClearedAtTank',
    'if (request.at === "tank" && plan.clearFromADistance && isClearedAtTank',
    ["high"],
  ),
  planted(
    "no unknown float stops time being earned",
    `${TOP_OFF}/litres.ts`,
    ' && facts.working.position !== "unknown" && facts.high.position !== "unknown";',
    ";",
    ["proving", "litres"],
  ),
  planted(
    "a rest never ends",
    `${TOP_OFF}/machine.ts`,
    'if (restMs > 0) return off(rested, "resting-after-pour", blockers);',
    'if (rested.restMs >= 0 && memory.restMs > 0) return off(memory, "resting-after-pour", blockers);',
    ["proving"],
  ),
  // The arbiter
  planted(
    "the pump runs behind a locked guard",
    "controller/decisions/arbitrate.ts",
    "const pump = pour && !waterGuardLatched;",
    "const pump = pour;",
    [],
    ["tests/decisions"],
  ),
  planted(
    "the water guard stays closed between pours",
    "controller/decisions/arbitrate.ts",
    '"water-guard": pump && underTest !== "water-guard",',
    '"water-guard": !waterGuardLatched,',
    ["proving"],
  ),
  // Heat
  planted(
    "the cut-out looks at the thermometer that controls",
    `${HEAT}/machine.ts`,
    'if (facts.warmest.value >= plan.cutOutC) return "heat-cut-out";',
    "",
    ["cut-out"],
  ),
  planted(
    "the cut-out never locks",
    `${HEAT}/machine.ts`,
    "volatile.hotMs >= plan.cutOutMs && recent",
    "volatile.hotMs > plan.cutOutMs && recent",
    ["cut-out"],
  ),
  planted(
    "a reading that goes bad forgets the hot ones before",
    `${HEAT}/cut-out.ts`,
    "if (warmest === null) return { hotMs: memory.hotMs, cut: memory.cut, coolMs: 0 };",
    "if (warmest === null) return { hotMs: 0, cut: false, coolMs: 0 };",
    ["cut-out"],
  ),
  planted(
    "a heater that may be uncovered heats",
    `${HEAT}/machine.ts`,
    'if (!facts.covered) return "heater-uncovered";',
    "",
    ["effect"],
  ),
  planted(
    "careful heating has no pause",
    `${HEAT}/machine.ts`,
    "if (volatile.cautiousMs < pauseMs)",
    "if (volatile.cautiousMs < pauseMs - plan.cautiousCycleMs)",
    ["caution"],
  ),
  planted(
    "careful heating goes on when a third thermometer falls silent",
    `${HEAT}/machine.ts`,
    "if (!before.cautious || other || facts.thirdFellSilent) return",
    "if (!before.cautious || other) return",
    ["caution"],
  ),
  planted("heat goes on in a hold", `${HEAT}/machine.ts`, 'if (facts.holdingWithHeat) return "hold-with-heat";', "", [
    "cut-out",
  ]),
  planted(
    "a lock of the heat is cleared in hot water",
    `${HEAT}/requests.ts`,
    "facts.warmest.value > plan.cutOutC - CUT_OUT_CLEARS_K;",
    "facts.warmest.value > plan.cutOutC + CUT_OUT_CLEARS_K;",
    ["cut-out"],
  ),
  planted(
    "the slope check never ends",
    `${HEAT}/machine.ts`,
    "Math.max(0, volatile.slopeCheckMs - creditMs)",
    "Math.max(0, volatile.slopeCheckMs)",
    ["cut-out"],
  ),
  // Start and hold
  planted(
    "a board that was away keeps its steady time",
    "controller/decisions/start.ts",
    "steadyMs: there ? steadyAfter(memory.steadyMs, facts.inputsKnown, creditMs, plan) : 0,",
    "steadyMs: steadyAfter(memory.steadyMs, facts.inputsKnown && there, creditMs, plan),",
    ["start-fitted"],
  ),
  planted(
    "a stopped return pump keeps its flow",
    "controller/decisions/start.ts",
    "flowMs: running ? upTo(plan.flowBeforeHeatMs, memory.flowMs + creditMs) : 0,",
    "flowMs: running ? upTo(plan.flowBeforeHeatMs, memory.flowMs + creditMs) : memory.flowMs,",
    ["start-fitted"],
  ),
  planted(
    "a restart forgets that hands are in the tank",
    "controller/decisions/hold.ts",
    "memory.leftMs > 0 ? { ...memory, leftMs: memory.fullMs } : memory;",
    "memory.leftMs > 0 ? { ...memory, leftMs: 0 } : memory;",
    ["hold"],
  ),
  planted(
    "somebody afar shortens a hold",
    "controller/decisions/hold.ts",
    'request.at === "tank" ? askedMs : Math.max(askedMs, memory.leftMs);',
    "askedMs;",
    ["hold"],
  ),
  planted(
    "a hold ends and nobody is asked",
    "controller/decisions/hold.ts",
    "return { ...memory, leftMs, question: leftMs === 0, questionForMs: 0, sinceMs: 0 };",
    "return { ...memory, leftMs, question: false, questionForMs: 0, sinceMs: 0 };",
    ["hold"],
  ),
  // Signals
  planted(
    "a float's report never grows old",
    "controller/signals/contact.ts",
    'if (!(reading.ageMs <= CONTACT_STALE_MS)) return "stale";',
    "",
    ["contact"],
  ),
  planted(
    "what is neither wet nor dry counts as dry",
    "controller/signals/contact.ts",
    'return typeof reading.value === "boolean" ? null : "garbled";',
    "return null;",
    ["contact"],
  ),
  planted(
    "three touches are never three",
    "controller/signals/leaky.ts",
    "amountMs > 2 * windowMs;",
    "amountMs > 3 * windowMs;",
    ["contact", "high"],
    ["tests/signals"],
  ),
  planted(
    "of two thermometers apart the colder cuts",
    "controller/signals/vote.ts",
    "const warmer = a >= b ? first : second;",
    "const warmer = a <= b ? first : second;",
    [],
    ["tests/signals"],
  ),
  // Alarms
  planted(
    "an alarm is acknowledged before anybody saw it",
    "controller/alarms/state.ts",
    "before.acknowledged || (acknowledge && !wasHidden);",
    "before.acknowledged || acknowledge;",
    ["alarm-by-itself", "alarm-acknowledged"],
  ),
  planted(
    "the alarm of a lockout may be suppressed",
    "controller/alarms/state.ts",
    "const suppressed = !lockedOut && isSuppressed(alarm, facts, limits);",
    "const suppressed = isSuppressed(alarm, facts, limits);",
    ["alarm-cleared"],
  ),
  planted(
    "a latched alarm goes away with its cause",
    "controller/alarms/state.ts",
    "if (!active && acknowledged && !lockedOut) latched = false;",
    "if (!active) latched = false;",
    ["alarm-cleared"],
  ),
  planted(
    "a delay starts from nothing at every flicker",
    "controller/alarms/state.ts",
    "Math.min(delayMs, leftMs + Math.floor(elapsedMs / 4));",
    "delayMs;",
    [],
    ["tests/alarms"],
  ),
  // The scan that joins them
  planted(
    "credits take all of a gap in the scans",
    "controller/scan/sense.ts",
    "creditMs: Math.min(ms, creditMostMs),",
    "creditMs: ms,",
    [],
    ["tests/scan/one-thing-hides-another.test.ts"],
  ),
  planted(
    "the charge waits for the memory before it",
    "controller/scan/facts.ts",
    "nextSequence: durable.sequence + 1,",
    "nextSequence: durable.sequence,",
    [],
    ["tests/scan/top-off.test.ts"],
  ),
  planted(
    "an older memory unlocks",
    "controller/scan/memory.ts",
    "topOff: olderTopOff(topOff, plan, sequence, witness),",
    "topOff,",
    [],
  ),
  planted(
    "a hold started at the tank leaves the heat on",
    "controller/scan/facts.ts",
    "holdingWithHeat: durable.hold.leftMs > 0 && durable.hold.withHeat,",
    "holdingWithHeat: durable.hold.question && durable.hold.withHeat,",
    [],
    ["tests/scan/hold-start-memory.test.ts"],
  ),
];
