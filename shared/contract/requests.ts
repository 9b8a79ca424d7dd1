/** What a person may ask. A request is decided in the scan, answered once, and never bypasses a trip. */

/** `tank`: somebody stands at the water (the button there, or the controller's own terminal). */
export type Place = "tank" | "network";

interface Asked {
  /** Chosen by whoever asks, 1–64 characters; a second request with the same id is answered but not carried out. */
  readonly id: string;
  readonly at: Place;
}

export interface HoldRequest extends Asked {
  readonly kind: "hold";
  /** 1–240. */
  readonly minutes: number;
}
export interface EndHoldRequest extends Asked {
  readonly kind: "end-hold";
  /** What explains a low level after the hold; null = not said yet. */
  readonly answer: "salt-water-added" | "evaporation" | null;
}
export interface AcknowledgeRequest extends Asked {
  readonly kind: "acknowledge";
  /** Alarm id, or `all`. */
  readonly alarm: string;
}
export interface ClearRequest extends Asked {
  readonly kind: "clear";
  /** Which machine's latch. */
  readonly machine: "top-off" | "heat";
  /** The number that the latch shows: a clear meant for an earlier latch does not clear a later one. */
  readonly occurrence: number;
}
export interface HandTestRequest extends Asked {
  readonly kind: "hand-test";
  /** Practical salinity, 0–42. */
  readonly salinity: number;
}
export interface RefillRequest extends Asked {
  readonly kind: "refill";
  /** Litres poured into the reservoir by hand, 0–100. */
  readonly litres: number;
}

/** The cartridge that makes the source water was changed: its litres and days count from now. */
export interface CartridgeChangedRequest extends Asked {
  readonly kind: "cartridge-changed";
}

/** Parts that can be run for a moment to see them work. */
export const PROVING_RUNS = ["top-off-pump", "heater-1"] as const;
export type ProvingRun = (typeof PROVING_RUNS)[number];
/** Parts that must have been seen to work before they are trusted. */
export const PROOF_PARTS = ["top-off-pump", "high-float", "heater-1"] as const;
export type ProofPart = (typeof PROOF_PARTS)[number];

export interface ProveRequest extends Asked {
  readonly kind: "prove";
  readonly part: ProvingRun;
  /** 1–30 for the pump, 1–60 for the heater. */
  readonly seconds: number;
}
export interface ProvenRequest extends Asked {
  readonly kind: "proven";
  readonly part: ProofPart;
}

export type Request =
  | HoldRequest
  | EndHoldRequest
  | AcknowledgeRequest
  | ClearRequest
  | HandTestRequest
  | RefillRequest
  | CartridgeChangedRequest
  | ProveRequest
  | ProvenRequest;

export const REQUEST_KINDS = [
  "hold",
  "end-hold",
  "acknowledge",
  "clear",
  "hand-test",
  "refill",
  "cartridge-changed",
  "prove",
  "proven",
] as const;
export type RequestKind = (typeof REQUEST_KINDS)[number];

export interface Outcome {
  readonly id: string;
  readonly accepted: boolean;
  /** One plain sentence. */
  readonly why: string;
}
