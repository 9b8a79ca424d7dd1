/**
 * One line of the real source made wrong, as a tired person would. `find` and `plant` are TypeScript with holes, as
 * `pattern.ts` reads it: `find` must stand in exactly one place of all `controller`, by whatever name its functions,
 * variables and files go. Reason codes and the fields of plan and memory are what it hangs on. When such a field is
 * renamed, rename it here; when a rule is written in another way, write its line here in that way.
 *
 * Each must be noticed by the first of these machines of the exploration that it breaks, or by these tests.
 */
export interface Defect {
  readonly name: string;
  readonly find: string;
  readonly plant: string;
  readonly machines?: readonly string[];
  readonly tests?: readonly string[];
  /** Planted in every run of `.ci/run`. */
  readonly always?: true;
}

const WHAT_FORBIDS_A_POUR: readonly Defect[] = [
  {
    name: "an unknown floor sensor counts as dry",
    find: '$isFitted($contact) && $contact.position !== "off"',
    plant: '$isFitted($contact) && $contact.position === "on"',
    machines: ["around"],
    always: true,
  },
  {
    name: "an unknown working float does not block",
    find: '$add($isUnknown, "working-float-unknown")',
    plant: '$add(false, "working-float-unknown")',
    machines: ["proving", "high"],
  },
  {
    name: "the steady time is not waited for",
    find: '$add($isUnsteady, "starting")',
    plant: '$add(false, "starting")',
    machines: ["around"],
  },
  {
    name: "water may be poured into a hold",
    find: '$add($isHeld, "hold")',
    plant: '$add(false, "hold")',
    machines: ["proving", "high"],
    always: true,
  },
  {
    name: "a silent board does not stop a pour",
    find: 'if ($board !== "ready") $blockers.push($why);',
    plant: "",
    machines: ["proving", "high"],
  },
  {
    name: "an unproven pump pours",
    find: '$add($isUnproven, "not-proven")',
    plant: '$add(false, "not-proven")',
    machines: ["proving"],
  },
  {
    name: "the daily budget is not asked",
    find: '$isUsed ? "daily-budget-used" : $otherwise',
    plant: "$otherwise",
    machines: ["litres"],
  },
  {
    name: "a rest is served while the mains are lost",
    find: '["starting", $$waits]',
    plant: '["mains-lost", "starting", $$waits]',
    tests: ["tests/scan/rest-after-lost-mains.test.ts"],
    always: true,
  },
  {
    name: "a rest never ends",
    find: 'if ($restMs > 0) return $off($memory, "resting-after-pour", $blockers);',
    plant: 'if ($restMs >= 0) return $off($memory, "resting-after-pour", $blockers);',
    machines: ["proving"],
  },
  {
    name: "salinity that falls fast is noticed at ten times its limit",
    find: "const $fell = $change !== null && $change < -$limit;",
    plant: "const $fell = $change !== null && $change < -10 * $limit;",
    tests: ["tests/scan/fast-fall-of-salinity.test.ts"],
    always: true,
  },
];

const LITRES: readonly Defect[] = [
  {
    name: "a charge is not counted as excess",
    find: "excessUl: $memory.excessUl + $plan.chargeUl",
    plant: "excessUl: $memory.excessUl",
    machines: ["drops"],
    always: true,
  },
  {
    name: "the charge is not taken from the bucket",
    find: "bucketUl: $memory.bucketUl - $plan.chargeUl",
    plant: "bucketUl: $memory.bucketUl",
    machines: ["litres"],
  },
  {
    name: "a refund gives back the whole charge",
    find: "$memory.chargeUl - $spentUl",
    plant: "$memory.chargeUl",
    machines: ["litres"],
  },
  {
    name: "the bucket refills in all time, not in credited time",
    find: "const $creditMs = $isHealthy ? $facts.elapsed.creditMs : 0;",
    plant: "const $creditMs = $isHealthy ? $facts.elapsed.ms : 0;",
    machines: ["litres"],
  },
  {
    name: "what was poured is counted in credited time",
    find: "$before.running ? $pour($before, $facts.elapsed.ms, $plan) : $before",
    plant: "$before.running ? $pour($before, $facts.elapsed.creditMs, $plan) : $before",
    machines: ["litres"],
  },
  {
    name: "a pour does not wait for the disk",
    find: 'if ($isOnDisk) { $$start; return $on($started, "pouring-low", $blockers); }',
    plant: '$$start; return $on($started, "pouring-low", $blockers);',
    machines: ["high", "litres"],
  },
  {
    name: "a proving run does not wait for the disk",
    find: 'if ($isOnDisk) return $on($memory, "proving-pump", $blockers);',
    plant: 'return $on($memory, "proving-pump", $blockers);',
    machines: ["proving"],
  },
  {
    name: "the charge waits for the memory before it",
    find: "this.nextSequence = $last.sequence + 1",
    plant: "this.nextSequence = $last.sequence",
    tests: ["tests/scan/top-off.test.ts"],
  },
  {
    name: "a restart gives an open charge back",
    find: "restMs: Math.max($memory.restMs, $plan.restMs)",
    plant: "restMs: Math.max($memory.restMs, $plan.restMs), bucketUl: $memory.bucketUl + $memory.chargeUl",
    machines: ["proving", "litres"],
  },
  {
    name: "an older memory keeps its litres",
    find: "bucketUl: Math.min(0, $kept.bucketUl)",
    plant: "bucketUl: $kept.bucketUl",
    tests: ["tests/scan/hold-start-memory.test.ts"],
  },
  {
    name: "water that a stopped return pump lets rise counts as full",
    find: "$water.fullMs >= $plan.confirmMs && $isLevelSettled && $isFlowing",
    plant: "$water.fullMs >= $plan.confirmMs",
    tests: ["tests/scan/owed-while-the-return-pump-stands.test.ts"],
    always: true,
  },
];

const LOCKS: readonly Defect[] = [
  {
    name: "a lost memory locks nothing",
    find: 'latch: { reason: $testimony?.lock ?? "memory-lost", $$number }',
    plant: "latch: null",
    machines: ["proving"],
  },
  {
    name: "high water does not lock",
    find: 'if ($stood || $touched) return "high-float-wet";',
    plant: 'if ($touched) return "high-float-wet";',
    machines: ["high"],
  },
  {
    name: "water on the floor does not lock",
    find: 'if ($isWet) return "floor-wet";',
    plant: "",
    machines: ["around"],
  },
  {
    name: "floats that contradict for long do not lock",
    find: 'if ($forMs >= $limitMs) return "floats-contradict";',
    plant: "",
    machines: ["floats"],
  },
  {
    name: "a later reason replaces the first",
    find: "const $first = $memory.latch?.reason ?? $reason; return $locked;",
    plant: "const $first = $reason; return $locked;",
    machines: ["around", "high"],
  },
  {
    name: "a lock is cleared while its cause stands",
    find: 'if ($mayBeWet) return $isSeen ? "high-float-wet" : "high-float-unknown";',
    plant: "",
    machines: ["high"],
    always: true,
  },
  {
    name: "a clear meant for another lock clears this one",
    find: "$memory.latch.occurrence !== $request.occurrence",
    plant: "$memory.latch.occurrence < $request.occurrence",
    machines: ["high"],
  },
  {
    name: "high water is cleared from afar",
    find: '$request.at === "network" && $isClearedAtTank($memory, $plan) && !$plan.clearFromADistance',
    plant: "false",
    machines: ["high"],
  },
  {
    name: "no unknown float stops time being earned",
    find: '$isReady && $working.position !== "unknown" && $high.position !== "unknown"',
    plant: "$isReady",
    machines: ["proving", "litres"],
  },
  {
    name: "an older memory unlocks",
    find: "$age($memory, $plan, $restart.occurrence, $restart.testimony)",
    plant: "$memory",
    tests: ["tests/scan/hold-start-memory.test.ts"],
  },
  {
    name: "the number of an older memory falls back",
    find: "sequence: Math.max($durable.sequence, $known)",
    plant: "sequence: $durable.sequence",
    tests: ["tests/scan/number-of-an-older-memory.test.ts"],
    always: true,
  },
];

const ARBITER: readonly Defect[] = [
  {
    name: "the pump runs behind a locked guard",
    find: "const $on = $pour && !$memory.guardLatched;",
    plant: "const $on = $pour;",
    tests: ["tests/decisions/tables.test.ts"],
  },
  {
    name: "the water guard stays closed between pours",
    find: 'guard: "water-guard", on: $on, guardClosed: $on',
    plant: 'guard: "water-guard", on: $on, guardClosed: true',
    machines: ["proving"],
  },
];

const HEAT: readonly Defect[] = [
  {
    name: "water at the cut-out does not stop the heater in the same scan",
    find: 'if ($facts.warmest.value >= $limitC) return "heat-cut-out";',
    plant: "",
    machines: ["cut-out"],
  },
  {
    name: "the cut-out looks at the thermometer that controls",
    find: 'if ($facts.warmest.value >= $limitC) return "heat-cut-out";',
    plant: 'if ($facts.control.value >= $limitC) return "heat-cut-out";',
    tests: ["tests/decisions/heat-machine.test.ts"],
  },
  {
    name: "the cut-out never locks",
    find: '$isHot && $isRecent ? "heat-cut-out" : $otherwise',
    plant: "$otherwise",
    machines: ["cut-out"],
  },
  {
    name: "a reading that goes bad forgets the hot ones before",
    find: "{ hotMs: $memory.hotMs, cut: $memory.cut, $$rest }",
    plant: "{ hotMs: 0, cut: false, $$rest }",
    machines: ["cut-out"],
    always: true,
  },
  {
    name: "a heater that may be uncovered heats",
    find: 'if ($isUncovered) return "heater-uncovered";',
    plant: "",
    machines: ["effect"],
  },
  {
    name: "careful heating has no pause",
    find: "if ($isPause) return { on: false, why: $words.pause };",
    plant: "",
    machines: ["caution"],
  },
  {
    name: "careful heating goes on when a thermometer falls silent",
    find: "!$before.cautious || $other || $facts.oneFellSilent",
    plant: "!$before.cautious || $other",
    machines: ["caution"],
  },
  {
    name: "heat goes on in a hold",
    find: 'if ($isHeld) return "hold-with-heat";',
    plant: "",
    machines: ["cut-out"],
  },
  {
    name: "a lock of the heat is cleared in hot water",
    find: "$warmestC > $plan.cutOutC - $clearsK",
    plant: "$warmestC > $plan.cutOutC + $clearsK",
    machines: ["cut-out"],
  },
  {
    name: "the slope check never ends",
    find: "Math.max(0, $volatile.slopeCheckMs - $creditMs)",
    plant: "$volatile.slopeCheckMs",
    machines: ["cut-out"],
  },
  {
    name: "by one contact an off is not waited for",
    find: "$durable.oneContact !== null && !$volatile.on && !$volatile.off.isConfirmed",
    plant: "false",
    machines: ["one-contact"],
  },
  {
    name: "by one contact an off that nobody confirms is no lock",
    find: "$isSeenOn || (!$isConfirmed && $offMs >= $plan.offConfirmMs)",
    plant: "$isSeenOn",
    machines: ["one-contact"],
  },
  {
    name: "a low float that is lost covers the heater at once",
    find: '$cover === "shown" || $byFloat',
    plant: '$cover !== "bare" || $byFloat',
    machines: ["effect"],
  },
  {
    name: "a weld that was disproved is never looked for again",
    find: "$memory.on ? 0 : Math.max(0, $memory.disprovedMs - $ms)",
    plant: "$memory.on ? 0 : $memory.disprovedMs",
    tests: ["tests/decisions/heat-watch.test.ts"],
  },
  {
    name: "cold water that follows the heater waits for the careful share",
    find: "$isInDoubt && $durable.oneContact === null && !$isFlowDoubted && $isAtFloor",
    plant: "false",
    tests: ["tests/decisions/heat-parts.test.ts"],
  },
  {
    name: "a thermometer that does not follow the heater is believed like one that does",
    find: 'if ($answer === "expected") return 3;',
    plant: 'if ($answer !== "unknown") return 3;',
    tests: ["tests/signals/vote.test.ts"],
  },
];

const START_AND_HOLD: readonly Defect[] = [
  {
    name: "a board that was away keeps its steady time",
    find: "steadyMs: $isThere ? $count($beforeMs, $areKnown, $$rest) : 0",
    plant: "steadyMs: $count($beforeMs, $areKnown && $isThere, $$rest)",
    machines: ["start-fitted"],
    always: true,
  },
  {
    name: "a stopped return pump keeps its flow",
    find: "flowMs: $isRunning ? $upTo($mostMs, $memory.flowMs + $creditMs) : 0",
    plant: "flowMs: $isRunning ? $upTo($mostMs, $memory.flowMs + $creditMs) : $memory.flowMs",
    machines: ["start-fitted"],
  },
  {
    name: "a restart forgets that hands are in the tank",
    find: "{ ...$memory, leftMs: $memory.fullMs }",
    plant: "{ ...$memory, leftMs: 0 }",
    machines: ["hold"],
  },
  {
    name: "somebody afar shortens a hold",
    find: '$request.at === "tank" ? $askedMs : Math.max($askedMs, $memory.leftMs)',
    plant: "$askedMs",
    machines: ["hold"],
    always: true,
  },
  {
    name: "a hold ends and nobody is asked",
    find: "question: $leftMs === 0",
    plant: "question: false",
    machines: ["hold"],
  },
  {
    name: "a hold started at the tank leaves the heat on",
    find: "holdingWithHeat: $hold.leftMs > 0 && $hold.withHeat",
    plant: "holdingWithHeat: $hold.question && $hold.withHeat",
    tests: ["tests/scan/hold-start-memory.test.ts"],
  },
];

const SIGNALS: readonly Defect[] = [
  {
    name: "a float's report never grows old",
    find: 'if (!($reading.ageMs <= $staleMs)) return "stale"; return $isPosition ? null : "garbled";',
    plant: 'return $isPosition ? null : "garbled";',
    machines: ["contact"],
  },
  {
    name: "what is neither wet nor dry counts as dry",
    find: '$isPosition ? null : "garbled"',
    plant: "null",
    machines: ["contact"],
  },
  {
    name: "three touches are never three",
    find: "$amountMs > 2 * $windowMs",
    plant: "$amountMs > 3 * $windowMs",
    machines: ["contact", "high"],
  },
  {
    name: "of two thermometers apart the colder cuts",
    find: "$one.value === null || ($other.value !== null && $other.value > $one.value) ? $other : $one",
    plant: "$one.value === null || ($other.value !== null && $other.value < $one.value) ? $other : $one",
    tests: ["tests/signals"],
  },
  {
    name: "of two thermometers apart the colder controls",
    find: "const $warmer = $celsius($first) >= $celsius($second) ? $first : $second;",
    plant: "const $warmer = $celsius($first) <= $celsius($second) ? $first : $second;",
    tests: ["tests/signals/vote.test.ts"],
  },
];

const ALARMS: readonly Defect[] = [
  {
    name: "an alarm is acknowledged before anybody saw it",
    find: "$before.acknowledged || ($isAsked && !$wasHidden)",
    plant: "$before.acknowledged || $isAsked",
    machines: ["alarm-by-itself", "alarm-acknowledged"],
  },
  {
    name: "the alarm of a lockout may be suppressed",
    find: "const $suppressed = !$isLockedOut && $isSuppressed($alarm, $facts, $limits);",
    plant: "const $suppressed = $isSuppressed($alarm, $facts, $limits);",
    machines: ["alarm-cleared"],
  },
  {
    name: "a latched alarm goes away with its cause",
    find: "if (!$active && $acknowledged && !$isLockedOut) $latched = false;",
    plant: "if (!$active) $latched = false;",
    machines: ["alarm-cleared"],
    always: true,
  },
  {
    name: "a delay starts from nothing at every flicker",
    find: "Math.min($delayMs, $leftMs + Math.floor($elapsedMs / 4))",
    plant: "$delayMs",
    tests: ["tests/alarms"],
  },
];

const TIME: readonly Defect[] = [
  {
    name: "credits take all of a gap in the scans",
    find: "creditMs: Math.min($ms, $creditMost)",
    plant: "creditMs: $ms",
    tests: ["tests/scan/one-thing-hides-another.test.ts"],
  },
];

export const DEFECTS: readonly Defect[] = [
  ...WHAT_FORBIDS_A_POUR,
  ...LITRES,
  ...LOCKS,
  ...ARBITER,
  ...HEAT,
  ...START_AND_HOLD,
  ...SIGNALS,
  ...ALARMS,
  ...TIME,
];
