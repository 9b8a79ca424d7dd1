import type { Visit } from "../../controller/cli/at-tank/visit.ts";
import {
  CALIBRATED,
  CALIBRATED_UNITS,
  type CalibrationStatus,
  PROOF_PARTS,
  type ProofPart,
  type ProofStatus,
  type ProvingStatus,
} from "../../shared/contract/index.ts";
import { METRIC } from "../../shared/units/index.ts";

export type Asked = { readonly kind: string } & Readonly<Record<string, unknown>>;

/** Stands where a visit to a running controller stands, with whatever a test wants it to say. */
export interface MadeVisit extends Visit {
  readonly asked: readonly Asked[];
  tell(places: Readonly<Record<string, string>>): void;
  /** Changes what is told of one part. */
  proof(part: ProofPart, change: Partial<ProofStatus>): void;
  proving(change: Partial<ProvingStatus>): void;
  calibration(change: Partial<CalibrationStatus>): void;
  end(): void;
}

export function madeVisit(answer: (asked: Asked, visit: MadeVisit) => { accepted: boolean; why: string }): MadeVisit {
  const topics = new Map<string, string>();
  const listeners = new Set<() => void>();
  const asked: Asked[] = [];
  let gone = false;
  let status: ProvingStatus = neverProven();
  let calibration: CalibrationStatus = nothingCalibrated();
  const tell = (places: Readonly<Record<string, string>>) => {
    for (const [place, text] of Object.entries(places)) topics.set(place, text);
    for (const listener of listeners) listener();
  };
  const visit: MadeVisit = {
    greeting: { version: 1, tank: "reef-box", name: "Reef box", water: "real", speed: 1, units: METRIC },
    asked,
    tell,
    text: (place) => topics.get(place) ?? "",
    async ask(kind, body) {
      asked.push({ kind, ...body });
      return { id: "", ...answer({ kind, ...body }, visit) };
    },
    proof(part, change) {
      visit.proving({ parts: { ...status.parts, [part]: { ...status.parts[part], ...change } } });
    },
    proving(change) {
      status = { ...status, ...change };
      tell({ "proving/status": JSON.stringify(status), "proving/next": status.next ?? "" });
    },
    calibration(change) {
      calibration = { ...calibration, ...change };
      tell({ "calibration/status": JSON.stringify(calibration) });
    },
    onTold(listener) {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    isGone: () => gone,
    end() {
      gone = true;
      for (const listener of listeners) listener();
    },
    close: () => undefined,
  };
  visit.proving({});
  visit.calibration({});
  return visit;
}

const neverProven = (): ProvingStatus => ({
  parts: Object.fromEntries(
    PROOF_PARTS.map((part) => [
      part,
      {
        standing: "never",
        ageMs: null,
        by: null,
        reading: null,
        gates: part.startsWith("heat") ? "heat" : "top-off",
        ready: false,
        next: `Show the ${part}.`,
      } satisfies ProofStatus,
    ]),
  ) as ProvingStatus["parts"],
  next: "high-float",
  run: null,
  lastRun: null,
  atTankLeftMs: 0,
  fallen: [],
});

const nothingCalibrated = (): CalibrationStatus => ({
  inForce: Object.fromEntries(
    CALIBRATED.map((what) => [what, { value: 1, unit: CALIBRATED_UNITS[what], number: null, ageMs: null }]),
  ) as CalibrationStatus["inForce"],
  session: null,
  entries: [],
});
