import type { Elapsed } from "../../../shared/contract/elapsed.ts";
import type { BoardState } from "../../../shared/contract/image.ts";
import type { ProofReading, ProvingRun, RunEnd } from "../../../shared/contract/proving.ts";
import { REASONS } from "../../../shared/contract/reasons.ts";
import type { ContactSignal, Signal } from "../../../shared/contract/signal.ts";
import { PROOF_EVIDENCE_MS, SENSED_LAG_MS, SIPHON_WATCH_MS, WARMED_K } from "../../../shared/settings/limits.ts";
import type { MachineRun } from "../machine.ts";
import { followContacts } from "./contacts.ts";
import type { ProvingMemory, Run } from "./memory.ts";
import { POURING_RUNS, type SeenBothWays } from "./parts.ts";

/** What proving sees in one scan, besides its memory. */
export interface ProvingFacts {
  readonly elapsed: Elapsed;
  readonly contacts: Readonly<Record<SeenBothWays | "return-sensor", ContactSignal>>;
  readonly thermometers: readonly [Signal, Signal];
  readonly board: BoardState;
  /** The run under way, of the machine that switches its part; null = none does. */
  readonly switched: SwitchedRun | null;
}

export interface SwitchedRun extends Pick<MachineRun, "underWay" | "ended" | "why"> {
  /** Its relay was commanded on in the last scan. */
  readonly on: boolean;
  /** Power sensed behind the contacts; null = not sensed. */
  readonly powered: boolean | null;
}

export interface ProvingFollowed {
  readonly memory: ProvingMemory;
  /** A part that has just been seen not to work: its proof is void. */
  readonly failed: ProvingRun | null;
}

/** From its beginning until it is judged, what runs into the jug is the run's alone. */
export const isPumpWatched = ({ run, shown }: ProvingMemory): boolean => {
  const part = run?.part ?? shown?.part;
  return part !== undefined && (POURING_RUNS as readonly ProvingRun[]).includes(part);
};

const GUARD_RUNS: readonly ProvingRun[] = ["water-guard", "heat-guard", "heat-guard-2"];
const THERMOSTAT_RUNS: readonly ProvingRun[] = ["heater-thermostat", "heater-2-thermostat"];

/** Time passes, and what is seen of a part becomes evidence for a while. */
export function followProving(memory: ProvingMemory, facts: ProvingFacts): ProvingFollowed {
  const { ms } = facts.elapsed;
  const contacts = followContacts(memory.contacts, facts.contacts, ms);
  if (memory.run === null && memory.shown === null)
    return { memory: contacts === memory.contacts ? memory : { ...memory, contacts }, failed: null };
  const passed: ProvingMemory = {
    ...memory,
    contacts,
    shown: stillShown(memory.shown, ms),
  };
  return memory.run === null ? { memory: passed, failed: null } : followRun(passed, memory.run, facts);
}

function stillShown(shown: ProvingMemory["shown"], elapsedMs: number): ProvingMemory["shown"] {
  if (shown === null || shown.leftMs <= elapsedMs) return null;
  return { ...shown, leftMs: shown.leftMs - elapsedMs };
}

function followRun(memory: ProvingMemory, run: Run, facts: ProvingFacts): ProvingFollowed {
  if (run.phase === "watching") return watched(memory, run, facts);
  return switched(memory, run, facts, facts.switched ?? NOT_SWITCHED);
}

const NOT_SWITCHED: SwitchedRun = { underWay: false, ended: false, on: false, why: "not-proven", powered: null };

/** Pump or heater runs, by its own machine and under all of its trips. */
function switched(memory: ProvingMemory, run: Run, facts: ProvingFacts, machine: SwitchedRun): ProvingFollowed {
  const { powered } = machine;
  const ranMs = run.ranMs + (machine.on ? facts.elapsed.ms : 0);
  const counts = powered === !THERMOSTAT_RUNS.includes(run.part);
  const sensedMs = machine.on && counts ? run.sensedMs + facts.elapsed.ms : run.sensedMs;
  const next: Run = { ...run, ranMs, sensedMs };
  if (GUARD_RUNS.includes(run.part) && sensedMs > SENSED_LAG_MS) return failed(memory, run.part, GUARD_STUCK);
  if (machine.ended) return ended(memory, next, powered);
  if (machine.underWay) return { memory: { ...memory, run: next }, failed: null };
  return stoppedShort(memory, run.part, REASONS[machine.why]);
}

const GUARD_STUCK =
  "There is power behind the open guard: its contact is stuck. Unplug what hangs on it and replace the guard.";

function ended(memory: ProvingMemory, run: Run, powered: boolean | null): ProvingFollowed {
  if (run.part === "siphon") {
    return { memory: { ...memory, run: { ...run, phase: "watching", leftMs: SIPHON_WATCH_MS } }, failed: null };
  }
  if (THERMOSTAT_RUNS.includes(run.part) && powered !== null && run.sensedMs <= SENSED_LAG_MS) {
    return stoppedShort(memory, run.part, "The heater's own thermostat was not seen to cut: turn it below the water.");
  }
  return done(memory, run, { value: run.ranMs / 1000, unit: "s" });
}

function watched(memory: ProvingMemory, run: Run, facts: ProvingFacts): ProvingFollowed {
  if (facts.board !== "ready") return stoppedShort(memory, run.part, REASONS["board-silent"]);
  const left: Run = { ...run, leftMs: Math.max(0, run.leftMs - facts.elapsed.creditMs) };
  switch (run.part) {
    case "pump-off-level":
      return watchLevel(memory, left, facts);
    case "thermometer-1":
    case "thermometer-2":
      return watchWarming(memory, left, facts);
    default:
      return left.leftMs === 0 ? done(memory, left) : { memory: { ...memory, run: left }, failed: null };
  }
}

/** The return pump stands still and the chamber has risen: the working float must read full, the high float dry. */
function watchLevel(memory: ProvingMemory, run: Run, { contacts }: ProvingFacts): ProvingFollowed {
  const flow = contacts["return-sensor"];
  const high = contacts["high-float"].position;
  if (high === "on") {
    return failed(memory, run.part, "The high float got wet with the return pump off: it hangs too low. Raise it.");
  }
  if (high === "unknown") return stoppedShort(memory, run.part, REASONS["high-float-unknown"]);
  if (flow.doubt !== "not-fitted" && flow.position !== "off") {
    return stoppedShort(memory, run.part, "The return pump runs: it must stand still until the watch is over.");
  }
  if (run.leftMs > 0) return { memory: { ...memory, run }, failed: null };
  if (contacts["working-float"].position !== "on") {
    return stoppedShort(memory, run.part, "The working float did not rise with the water: look whether it sticks.");
  }
  return done(memory, run);
}

/** A hand warms one thermometer: that one rises, the other does not. */
function watchWarming(memory: ProvingMemory, run: Run, { thermometers }: ProvingFacts): ProvingFollowed {
  const [own, other] = run.part === "thermometer-1" ? thermometers : [thermometers[1], thermometers[0]];
  if (own.value === null) return stoppedShort(memory, run.part, "It gives no temperature: look at its wire first.");
  const startC = run.startC ?? own.value;
  const otherC = run.otherC ?? other.value;
  const rise = own.value - startC;
  const otherRise = other.value === null || otherC === null ? 0 : other.value - otherC;
  if (rise >= WARMED_K && otherRise < rise / 2) return done(memory, run, { value: rise, unit: "K" });
  if (otherRise >= WARMED_K && rise < otherRise / 2) {
    return failed(
      memory,
      run.part,
      "The other thermometer rose: the two are swapped, in the water or in the settings.",
    );
  }
  if (run.leftMs > 0) return { memory: { ...memory, run: { ...run, startC, otherC } }, failed: null };
  return stoppedShort(memory, run.part, `It rose by less than ${WARMED_K} K: hold it in a warm hand for longer.`);
}

const done = (memory: ProvingMemory, { part, ranMs }: Run, reading: ProofReading | null = null): ProvingFollowed => ({
  memory: {
    ...memory,
    run: null,
    shown: { part, leftMs: PROOF_EVIDENCE_MS, ranMs, reading },
    lastRun: { part, ending: "done", why: DONE[part] },
  },
  failed: null,
});

export const stopped = (memory: ProvingMemory, part: ProvingRun, why: string): ProvingMemory => ({
  ...memory,
  run: null,
  lastRun: { part, ending: "interrupted", why } satisfies RunEnd,
});

const stoppedShort = (memory: ProvingMemory, part: ProvingRun, why: string): ProvingFollowed => ({
  memory: stopped(memory, part, `${why} Nothing is proven by it and nothing is lost: begin it again.`),
  failed: null,
});

const failed = (memory: ProvingMemory, part: ProvingRun, why: string): ProvingFollowed => ({
  memory: { ...memory, run: null, shown: null, lastRun: { part, ending: "failed", why } },
  failed: part,
});

const DONE: Readonly<Record<ProvingRun, string>> = {
  "pump-off-level":
    "The high float stayed dry and the working float read full. Measure how far the water stands above the working mark.",
  "water-guard": "The relay was closed and the guard open: it is proven if the pump stood still.",
  "top-off-pump": "Read the jug and say how many millilitres are in it.",
  siphon: "Read what ran into the jug after the stop, and say it in millilitres.",
  "thermometer-1": "It rose and the other did not.",
  "thermometer-2": "It rose and the other did not.",
  "heat-guard": "The relay was closed and the guard open: it is proven if the heater stayed dark.",
  "heater-1": "The heater was switched on: it is proven if it came on.",
  "heater-thermostat": "It is proven if its own thermostat cut and is back 1 to 1.5 K above the setpoint.",
  "heat-guard-2": "The relay was closed and its guard open: it is proven if the second heater stayed dark.",
  "heater-2": "The second heater was switched on: it is proven if it came on.",
  "heater-2-thermostat": "It is proven if its own thermostat cut and is back 1 to 1.5 K above the setpoint.",
};
