import type { Mark, Session, Standard } from "./calibration.ts";
import type { HeaterPart, WaterThermometer } from "./parts.ts";
import type { ProofPart, ProvingRun } from "./proving.ts";

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
/** What can be locked; `second-heat` only in a box with two heaters. */
export const MACHINES = ["top-off", "heat", "second-heat"] as const;
export type Machine = (typeof MACHINES)[number];
export const MACHINE_WORDS: Readonly<Record<Machine, string>> = {
  "top-off": "Top-off",
  heat: "Heat",
  "second-heat": "Second heater",
};

/** By which name each heater is locked and cleared. */
export const LOCK_OF = { "heater-1": "heat", "heater-2": "second-heat" } as const satisfies Record<HeaterPart, Machine>;

export interface ClearRequest extends Asked {
  readonly kind: "clear";
  /** Which machine's latch. */
  readonly machine: Machine;
  /** The number that the latch shows: a clear meant for an earlier latch does not clear a later one. */
  readonly occurrence: number;
}
export interface HandTestRequest extends Asked {
  readonly kind: "hand-test";
  /** Practical salinity, 0–42. */
  readonly salinity: number;
}
/** What the water in the reservoir was measured to be. It feeds the ledger alone: nothing is poured or stopped by it. */
export interface ReservoirTestRequest extends Asked {
  readonly kind: "reservoir-test";
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

/** Nobody but a sitter is there from then until then: reminders that need the keeper rest. It permits nothing. */
export interface AbsenceRequest extends Asked {
  readonly kind: "absence";
  /** Hours from now, 0–2160. */
  readonly fromH: number;
  /** Hours from now; 1 to 1440 hours later than `fromH`. */
  readonly toH: number;
}
/** Somebody is back, or does not go. */
export interface EndAbsenceRequest extends Asked {
  readonly kind: "end-absence";
}

/** Somebody stands at the tank for a while: asked there, it lets proving and calibrating be asked from a distance. */
export interface AtTankRequest extends Asked {
  readonly kind: "at-tank";
  /** 0–60; 0 = nobody stands there any more. */
  readonly minutes: number;
}
/** Runs a part, or watches it, for a moment. Taken at the tank, or while somebody is known to stand there. */
export interface ProveRequest extends Asked {
  readonly kind: "prove";
  readonly part: ProvingRun;
  /** `RUN_LEAST_S` to `RUN_MOST_S` of the part. */
  readonly seconds: number;
}
/** Ends the run that is under way; nothing is proven by it. */
export interface EndRunRequest extends Asked {
  readonly kind: "end-run";
}
/** Says that a part was seen to work; believed only of what the scan has seen within the last minutes. */
export interface ProvenRequest extends Asked {
  readonly kind: "proven";
  readonly part: ProofPart;
  /** Who has seen it: 1–40 characters. */
  readonly by?: string;
  /** `top-off-pump`: millilitres in the jug after the run. `siphon`: millilitres that ran after the pump had stopped. */
  readonly ml?: number;
  /** `siphon`: water ran back from the tank into the reservoir. */
  readonly backward?: boolean;
  /** `pump-off-level`: how far the water stood above the working mark; it becomes that mark. */
  readonly mm?: number;
}

export type CalibrateRequest = Asked & { readonly kind: "calibrate" } & (
    | { readonly step: "begin"; readonly session: Session; readonly by?: string }
    /** The cell, cleaned, rinsed and dry, hangs in the air. */
    | { readonly step: "dry" }
    /** The probe hangs in another water now: it is watched anew. */
    | { readonly step: "watch" }
    /** The cell hangs in a standard and stands still. */
    | {
        readonly step: "standard";
        readonly standard: Standard;
        readonly lot?: string;
        /** Where the probe has no thermometer of its own. */
        readonly temperatureC?: number;
        /** Of `label`: what the bottle says. */
        readonly labelMsPerCm?: number;
        readonly labelC?: number;
        readonly labelPercentPerK?: number;
      }
    /** The reference thermometer, in the same water, says this; without it both thermometers are set to their mean. */
    | { readonly step: "reference"; readonly referenceC?: number }
    /** What the session has found is to count from now on. */
    | { readonly step: "accept" }
    | { readonly step: "abandon" }
    /** A mark measured with a ruler. */
    | { readonly step: "mark"; readonly mark: Mark; readonly mm: number; readonly by?: string }
  );
/** A thermometer that moved faster than water can hangs in the water again: somebody who sees it says so. */
export interface TrustRequest extends Asked {
  readonly kind: "trust";
  readonly part: WaterThermometer;
}
/** Takes back the newest calibration of its kind. */
export interface UndoCalibrationRequest extends Asked {
  readonly kind: "undo-calibration";
  readonly number: number;
}

export type Request =
  | HoldRequest
  | EndHoldRequest
  | AcknowledgeRequest
  | ClearRequest
  | HandTestRequest
  | ReservoirTestRequest
  | RefillRequest
  | CartridgeChangedRequest
  | AbsenceRequest
  | EndAbsenceRequest
  | AtTankRequest
  | ProveRequest
  | EndRunRequest
  | ProvenRequest
  | CalibrateRequest
  | TrustRequest
  | UndoCalibrationRequest;

export const REQUEST_KINDS = [
  "hold",
  "end-hold",
  "acknowledge",
  "clear",
  "hand-test",
  "reservoir-test",
  "refill",
  "cartridge-changed",
  "absence",
  "end-absence",
  "at-tank",
  "prove",
  "end-run",
  "proven",
  "calibrate",
  "trust",
  "undo-calibration",
] as const;
export type RequestKind = (typeof REQUEST_KINDS)[number];

export interface Outcome {
  readonly id: string;
  readonly accepted: boolean;
  /** One plain sentence. */
  readonly why: string;
}
