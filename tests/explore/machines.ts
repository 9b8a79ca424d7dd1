import { alarmMachine } from "./alarm.ts";
import { contactMachine } from "./contact.ts";
import { type HeatState, heatMachine } from "./heat.ts";
import { type HeatCase, heatScan, smallHeat } from "./heat-moves.ts";
import { holdMachine } from "./hold.ts";
import { LATE, litresMachine, PROMPT } from "./litres.ts";
import type { Machine } from "./search.ts";
import { startMachine } from "./start.ts";
import { type TopOffCase, topOffMachine } from "./top-off.ts";
import { PROVEN_UNIT_UL, SMALL_TOP_OFF, TICK_MS } from "./top-off-moves.ts";

const TICKS = { elapsedTicks: [0, 1, 3, 5], elapsedTicksElse: [1, 5] };

export const HIGH: TopOffCase = {
  name: "top-off: high float",
  about: "high float wet, touched, unknown; hold; every kind of start. Contradictions latch at once.",
  plan: { ...SMALL_TOP_OFF, contradictionLatchMs: TICK_MS, hourMs: TICK_MS, restAfterFailureMs: 2 * TICK_MS },
  choice: {
    ...TICKS,
    environments: ["all well", "the charge is not on disk yet", "board silent", "hold", "level not settled"],
    working: ["on", "off", "unknown"],
    high: ["on", "off", "unknown"],
    asked: ["clear", "clear from afar", "clear of another lock"],
  },
  dueMostUl: 0,
  reservoirCounts: false,
  sinceFullMostUl: PROVEN_UNIT_UL,
};

export const FLOATS: TopOffCase = {
  name: "top-off: floats against each other",
  about: "contradictions, water that nobody ordered, the low-low float. One touch of the high float latches.",
  plan: { ...SMALL_TOP_OFF, highFloatLatchMs: TICK_MS, hourMs: TICK_MS, restAfterFailureMs: 2 * TICK_MS },
  choice: {
    elapsedTicks: [0, 1, 5],
    elapsedTicksElse: [1],
    environments: [
      "all well",
      "low-low float dry",
      "low-low float unknown",
      "return pump unknown",
      "board restarted",
      "the charge is not on disk yet",
    ],
    working: ["on", "off", "unknown"],
    high: ["on", "off", "unknown"],
    asked: ["clear"],
  },
  dueMostUl: 0,
  reservoirCounts: false,
  sinceFullMostUl: PROVEN_UNIT_UL,
};

export const AROUND: TopOffCase = {
  name: "top-off: everything around it",
  about: "floor, mains, return pump and its free proof, waits of a start, disk, salinity, proof.",
  plan: { ...SMALL_TOP_OFF, restAfterFailureMs: 2 * TICK_MS },
  choice: {
    elapsedTicks: [0, 1, 5],
    elapsedTicksElse: [1],
    environments: [
      "all well",
      "floor wet",
      "floor sensor unknown",
      "mains lost",
      "return pump stopped",
      "return pump unknown",
      "not steady yet",
      "not supplied long enough",
      "question after the hold",
      "disk failed",
      "pump seen on while off",
      "salinity doubtful",
      "salinity diluted",
      "pump not proven",
    ],
    working: ["on", "off", "unknown"],
    high: ["off"],
    asked: ["clear"],
  },
  dueMostUl: 0,
  reservoirCounts: false,
  sinceFullMostUl: PROVEN_UNIT_UL,
};

export const RESERVOIR: TopOffCase = {
  name: "top-off: reservoir",
  about: "a reservoir that runs empty, in time or far too early, and is said to be filled; its float lost.",
  plan: { ...SMALL_TOP_OFF, restAfterFailureMs: 2 * TICK_MS },
  choice: {
    elapsedTicks: [0, 1, 5],
    elapsedTicksElse: [1],
    environments: ["all well", "reservoir empty", "reservoir float unknown", "board silent", "hold"],
    working: ["on", "off", "unknown"],
    high: ["off"],
    asked: ["clear", "refill"],
  },
  dueMostUl: 0,
  sinceFullMostUl: PROVEN_UNIT_UL,
  reservoirCounts: true,
};

export const PROVING: TopOffCase = {
  name: "top-off: proving runs",
  about:
    "a pump that is proven at the tank, before anything is proven and after, with what a proving run goes without.",
  plan: { ...SMALL_TOP_OFF, restAfterFailureMs: 2 * TICK_MS, highFloatLatchMs: TICK_MS, floorLatchMs: TICK_MS },
  choice: {
    elapsedTicks: [0, 1, 5],
    elapsedTicksElse: [1],
    environments: [
      "all well",
      "the charge is not on disk yet",
      "floor wet",
      "board silent",
      "reservoir empty",
      "hold",
      "not supplied long enough",
      "salinity diluted",
      "pump not proven",
    ],
    working: ["on", "off", "unknown"],
    high: ["off", "unknown"],
    asked: ["clear", "prove", "prove from afar"],
  },
  dueMostUl: 0,
  reservoirCounts: false,
  sinceFullMostUl: PROVEN_UNIT_UL,
};

export const ANSWERS: TopOffCase = {
  name: "top-off: pours without an answer",
  about:
    "failed pours, water owed with and without a fan, the longest pour, the excess and hand tests that give it back.",
  plan: {
    ...SMALL_TOP_OFF,
    bucketUlPerMs: 1.25,
    lowestEvaporationUlPerMs: 1.25,
    evaporationUlPerMs: 1,
    fanEvaporationUlPerMs: 2,
    unansweredMarginUl: 2 * PROVEN_UNIT_UL,
  },
  choice: {
    elapsedTicks: [0, 1, 5],
    elapsedTicksElse: [1],
    environments: [
      "all well",
      "salinity doubtful",
      "little is known to evaporate",
      "the fan blows",
      "proof overdue",
      "hold",
    ],
    working: ["on", "off", "unknown"],
    high: ["off"],
    asked: ["clear", "hand test at target", "hand test a little low", "hand test very low"],
  },
  dueMostUl: 2 * PROVEN_UNIT_UL,
  reservoirCounts: false,
  // Beyond what may be owed at most, and the margin, one more unit changes nothing.
  sinceFullMostUl: 5 * PROVEN_UNIT_UL,
};

const isOn = ({ volatile }: HeatState): boolean => volatile.on;

function heatCase(tickMs: number, cold: number) {
  return {
    tickMs,
    expiryMs: 4 * tickMs,
    plan: smallHeat(tickMs),
    coolCounts: false,
    dutyCounts: false,
    thermostatProven: false,
    shares: [null],
    elapsedTicks: [0, 1, 3, 5],
    rates: ["rate not known"],
    watchings: ["watched by the same"],
    coldScan: heatScan(tickMs, 1, cold, "both agree", "rate not known"),
  } satisfies Partial<HeatCase>;
}

/** Ten minutes below the cut-out, as a doubtful thermometer asks for, are three of these ticks. */
export const CUT_OUT: HeatCase = {
  ...heatCase(200_000, 22),
  name: "heat: cut-out and weld",
  about: "hot water, welded relay, lost and contradicting thermometers, longest-on. Effect and duty stand still.",
  coolCounts: true,
  // A test for a weld waits for a rate, so that "everything well" has one.
  coldScan: heatScan(200_000, 1, 22, "both agree", "rate still"),
  temperaturesC: [22, 25, 29.5, 31],
  beliefs: ["both agree", "one of two left", "they contradict each other"],
  rates: ["rate not known", "rate still", "rate as the heater makes"],
  watchings: ["watched by the same", "watched anew"],
  environments: [
    "board silent",
    "not steady yet",
    "return pump stopped",
    "hands in the tank",
    "heater seen on while off",
    "the other heater heats",
  ],
  asked: ["clear", "clear from afar", "clear of another lock"],
  mustMeet: {
    heat: isOn,
    "a cut-out": ({ volatile }) => volatile.cut,
    "a welded relay": ({ durable }) => durable.latch?.reason === "heater-welded",
    "a cut-out that latched": ({ durable }) => durable.latch?.reason === "heat-cut-out",
    "a weld that was disproved": ({ volatile }) => volatile.disprovedMs > 0,
    "a guard that waits for heat": ({ volatile }) => volatile.guardWaits && !volatile.cut,
  },
};

/** Two of these ticks are the longest gap over which the effect of the heater is judged. */
export const EFFECT: HeatCase = {
  ...heatCase(5_000, 22),
  name: "heat: effect and proving",
  about: "a heater without effect, proving runs, every permissive. The water is never hot, the thermometers agree.",
  elapsedTicks: [0, 1, 2, 3],
  temperaturesC: [22, 25, 27],
  watchings: ["watched by the same", "watched by nothing for a moment", "watched anew"],
  beliefs: ["both agree"],
  environments: [
    "board silent",
    "not steady yet",
    "return pump stopped",
    "return pump not shown",
    "return pump said to stand, and the water contradicts",
    "heater bare",
    "low float lost, working float full",
    "low float lost, working float low",
    "no thermometer follows the heater",
    "hands in the tank",
    "mains off",
    "heater not proven",
    "the other heater's turn",
    "the other heater heats",
    "the other heater has just come on",
  ],
  asked: ["clear", "clear from afar", "clear of another lock", "prove", "prove from afar"],
  mustMeet: {
    heat: isOn,
    "no effect": ({ durable }) => durable.noEffect,
    "a proving run": ({ durable, volatile }) => durable.provingMs > 0 && volatile.on,
    "cover shown by the working float": ({ volatile }) => volatile.cover.byFloat,
  },
};

export const CAUTION: HeatCase = {
  ...heatCase(20_000, 22),
  name: "heat: caution",
  about: "careful heating on one thermometer or on two that contradict, its share counted from outside.",
  dutyCounts: true,
  // Above water a late scan is a six-hundredth of a careful cycle; here it is a quarter of one.
  expiryMs: 20_000,
  shares: [null, 0.25, 0],
  temperaturesC: [22, 24.5, 27],
  beliefs: [
    "both agree",
    "one of two left",
    "the other of two left",
    "they contradict each other",
    "they contradict each other, and the third says hot",
    "they contradict each other, and the third falls silent",
    "two of three agree",
    "one is left that follows",
    "one is left that followed, lately",
  ],
  environments: [
    "board silent",
    "return pump stopped",
    "return pump said to stand, and the water contradicts",
    "the other heater's turn",
  ],
  asked: ["clear"],
  mustMeet: {
    "careful heat": ({ volatile }) => volatile.on && volatile.cautious,
    "careful heat without flow": ({ volatile }) => volatile.on && volatile.cautious && volatile.source === "mean",
    "a share of a quarter": ({ durable, volatile }) => volatile.on && volatile.cautious && durable.dutyWeek === 0.25,
  },
};

/** A slope is known after three of these ticks. */
export const ONE_CONTACT: HeatCase = {
  ...heatCase(600_000, 22),
  name: "heat: one contact",
  about:
    "a weld of one contact, found by its effect or sensed; every off confirmed, or locked. The thermostat is proven.",
  coolCounts: true,
  thermostatProven: true,
  coldScan: { ...heatScan(600_000, 1, 22, "both agree", "rate still"), thermostatProven: true, seenOn: false },
  temperaturesC: [22, 25, 26],
  beliefs: ["both agree", "one of two left"],
  rates: ["rate not known", "rate still", "rate as the heater makes"],
  watchings: ["watched by the same"],
  elapsedTicks: [0, 1, 5],
  environments: [
    "board silent",
    "hands in the tank",
    "heater seen on while off",
    "heater seen off",
    "return pump stopped",
  ],
  asked: ["clear", "clear from afar"],
  mustMeet: {
    "heat by one contact": ({ durable, volatile }) => durable.oneContact !== null && volatile.on,
    "found by its effect": ({ durable }) => durable.oneContact?.reason === "heater-welded",
    "found by what is sensed": ({ durable }) => durable.oneContact?.reason === "heater-seen-on",
    "an off that was not confirmed": ({ durable }) => durable.latch?.reason === "heater-welded",
  },
};

export const MACHINES: Readonly<Record<string, () => Machine<never, never>>> = {
  drops: () => litresMachine(PROMPT) as unknown as Machine<never, never>,
  litres: () => litresMachine(LATE) as unknown as Machine<never, never>,
  hold: () => holdMachine as unknown as Machine<never, never>,
  "start-fitted": () => startMachine(false, true) as unknown as Machine<never, never>,
  "start-shared": () => startMachine(true, true) as unknown as Machine<never, never>,
  "start-bare": () => startMachine(false, false) as unknown as Machine<never, never>,
  "alarm-by-itself": () => alarmMachine("by-itself") as unknown as Machine<never, never>,
  "alarm-acknowledged": () => alarmMachine("acknowledged") as unknown as Machine<never, never>,
  "alarm-cleared": () => alarmMachine("cleared") as unknown as Machine<never, never>,
  contact: () => contactMachine as unknown as Machine<never, never>,
  "cut-out": () => heatMachine(CUT_OUT) as unknown as Machine<never, never>,
  effect: () => heatMachine(EFFECT) as unknown as Machine<never, never>,
  caution: () => heatMachine(CAUTION) as unknown as Machine<never, never>,
  "one-contact": () => heatMachine(ONE_CONTACT) as unknown as Machine<never, never>,
  floats: () => topOffMachine(FLOATS) as unknown as Machine<never, never>,
  around: () => topOffMachine(AROUND) as unknown as Machine<never, never>,
  reservoir: () => topOffMachine(RESERVOIR) as unknown as Machine<never, never>,
  proving: () => topOffMachine(PROVING) as unknown as Machine<never, never>,
  answers: () => topOffMachine(ANSWERS) as unknown as Machine<never, never>,
  high: () => topOffMachine(HIGH) as unknown as Machine<never, never>,
};
