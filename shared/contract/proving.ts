/** What must have been seen to work, and how that stands. Proofs are asked for by `prove` and `proven` requests. */

/** In the order in which a person walks: first what stops water, then what moves it, then heat. */
export const PROOF_PARTS = [
  "high-float",
  "working-float",
  "low-float",
  "reservoir-float",
  "floor-sensor",
  "pump-off-level",
  "water-guard",
  "top-off-pump",
  "siphon",
  "thermometer-1",
  "thermometer-2",
  "heat-guard",
  "heater-1",
  "heater-thermostat",
  "heat-guard-2",
  "heater-2",
  "heater-2-thermostat",
  "protective-device",
] as const;
export type ProofPart = (typeof PROOF_PARTS)[number];

/** Of a second heater: where there is none, nobody misses them. */
export const SECOND_HEATER_PROOFS = [
  "heat-guard-2",
  "heater-2",
  "heater-2-thermostat",
] as const satisfies readonly ProofPart[];

export const PROOF_WORDS: Readonly<Record<ProofPart, string>> = {
  "high-float": "high float",
  "working-float": "working float",
  "low-float": "low float",
  "reservoir-float": "reservoir float",
  "floor-sensor": "floor sensor",
  "pump-off-level": "level with the return pump off",
  "water-guard": "water guard",
  "top-off-pump": "top-off pump",
  siphon: "stop of the top-off pump (siphon)",
  "thermometer-1": "thermometer 1",
  "thermometer-2": "thermometer 2",
  "heat-guard": "heat guard",
  "heater-1": "heater",
  "heater-thermostat": "the heater's own thermostat",
  "heat-guard-2": "second heat guard",
  "heater-2": "second heater",
  "heater-2-thermostat": "the second heater's own thermostat",
  "protective-device": "residual-current device",
};

/**
 * Parts that need a run: something is switched, or the scan watches for a while. The floats and the floor sensor need
 * none: what is seen of them within the last ten minutes counts.
 */
export const PROVING_RUNS = [
  "pump-off-level",
  "water-guard",
  "top-off-pump",
  "siphon",
  "thermometer-1",
  "thermometer-2",
  "heat-guard",
  "heater-1",
  "heater-thermostat",
  "heat-guard-2",
  "heater-2",
  "heater-2-thermostat",
] as const satisfies readonly ProofPart[];
export type ProvingRun = (typeof PROVING_RUNS)[number];

/** How long a run may last, seconds. */
export const RUN_MOST_S: Readonly<Record<ProvingRun, number>> = {
  "pump-off-level": 300,
  "water-guard": 10,
  "top-off-pump": 30,
  siphon: 30,
  "thermometer-1": 300,
  "thermometer-2": 300,
  "heat-guard": 60,
  "heater-1": 60,
  "heater-thermostat": 60,
  "heat-guard-2": 60,
  "heater-2": 60,
  "heater-2-thermostat": 60,
};

/** And at least: what is sensed behind a contact lags by two seconds, a siphon wants time to start, a level to rise. */
export const RUN_LEAST_S: Readonly<Record<ProvingRun, number>> = {
  "pump-off-level": 60,
  "water-guard": 5,
  "top-off-pump": 1,
  siphon: 30,
  "thermometer-1": 10,
  "thermometer-2": 10,
  "heat-guard": 5,
  "heater-1": 5,
  "heater-thermostat": 5,
  "heat-guard-2": 5,
  "heater-2": 5,
  "heater-2-thermostat": 5,
};

/** What stays off while the part is not proven; null = it only warns. A part that is not fitted keeps nothing off. */
export type Gates = "top-off" | "heat" | "second-heat" | null;

/**
 * What was read when the part was proven: the flow of the pump, what ran on after its stop, the rise of a thermometer,
 * the rise of the water with the return pump off, how long relay or heater were on. Floats were seen both ways.
 */
export interface ProofReading {
  readonly value: number;
  readonly unit: (typeof PROOF_UNITS)[number];
}
export const PROOF_UNITS = ["mL/s", "mL", "mm", "K", "s"] as const;

/**
 * `fallen`: proven once, but the settings of the part have changed since, so it counts as never proven.
 * `due` and `overdue` by its age; `not-fitted` parts want nothing.
 */
export type ProofStanding = "not-fitted" | "never" | "fallen" | "proven" | "due" | "overdue";

export interface ProofStatus {
  readonly standing: ProofStanding;
  /** Milliseconds since it was proven, to the minute; null = never. */
  readonly ageMs: number | null;
  /** The name given with the request; null = none was given, or never proven. */
  readonly by: string | null;
  readonly reading: ProofReading | null;
  readonly gates: Gates;
  /** It can be called proven now: send `proven`. */
  readonly ready: boolean;
  /** What to do now to prove it, one or two plain sentences. */
  readonly next: string;
}

export interface RunStatus {
  readonly part: ProvingRun;
  readonly phase: "waiting-for-disk" | "running" | "watching";
  readonly leftMs: number;
}

/** How the last run ended; a broken one leaves the old state of the proof as it was. */
export interface RunEnd {
  readonly part: ProvingRun;
  /** `done`: it went to its end and can be judged. */
  readonly ending: "done" | "failed" | "interrupted";
  /** One plain sentence. */
  readonly why: string;
}

/** A proof that the settings took back: which, and what changed. */
export interface FallenProof {
  readonly part: ProofPart;
  readonly why: string;
}

export interface ProvingStatus {
  readonly parts: { readonly [Part in ProofPart]: ProofStatus };
  /** The part to prove next, by the order of the walk; null = nothing is wanted. */
  readonly next: ProofPart | null;
  readonly run: RunStatus | null;
  readonly lastRun: RunEnd | null;
  /** For how long somebody is known to stand at the tank (request `at-tank`): so long, proving is taken from afar too. */
  readonly atTankLeftMs: number;
  /** What fell at the last start because the settings had changed; empty once proven again. */
  readonly fallen: readonly FallenProof[];
}
