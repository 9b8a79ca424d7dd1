import { NOTHING_KNOWN } from "../../controller/quantities/ledger/status.ts";
import {
  ALL_WELL_BESIDE,
  CONTACT_PARTS,
  type ContactPart,
  type ContactSignal,
  EVERYTHING_OFF,
  type HeatStatus,
  type ScanRecord,
  type Signal,
} from "../../shared/contract/index.ts";
import { PROVEN } from "../alarms/proven.ts";

/** A scan of a box that is well, to be changed where a test needs it. */
export function wellRecord(changes: Partial<ScanRecord> = {}): ScanRecord {
  const on: ContactSignal = { position: "on", doubt: null, ageMs: 100, chattering: false };
  const off: ContactSignal = { ...on, position: "off" };
  const wet: readonly ContactPart[] = [
    "working-float",
    "low-float",
    "reservoir-float",
    "mains-sensor",
    "return-sensor",
  ];
  const contacts = Object.fromEntries(CONTACT_PARTS.map((part) => [part, wet.includes(part) ? on : off]));
  return {
    scan: 1,
    elapsedMs: 250,
    contacts: contacts as ScanRecord["contacts"],
    thermometers: [good(25.02), good(25.08)],
    ledger: NOTHING_KNOWN,
    absence: { state: "none", beginsInMs: 0, endsInMs: null, due: [] },
    sourceWater: { tds: good(0.24, 0.5), litresSinceChange: 123.456, daysSinceChange: 60.04 },
    quantities: {
      temperature: good(25.0512),
      warmest: good(25.08),
      cellTemperature: good(25.04),
      room: good(22),
      conductivity: good(53.123456),
      salinity: good(35.0123, 0.9),
      specificGravity: good(1.02645),
      level: { fromMm: -5, toMm: 70, estimateMm: -1.25, state: "at-mark" },
      salinityChangePer6h: 0,
    },
    topOff: {
      state: "resting",
      why: "water-at-mark",
      blockers: [],
      latch: null,
      waterGuardLatch: null,
      bucketL: 2.5,
      bucketSizeL: 3,
      excessL: 0.1,
      excessLimitL: 8,
      pouredSinceFullL: 0,
      dueL: 0.05,
      pouredTotalL: 12.5,
      reservoirL: 3.2,
      daysInReservoir: 2.1,
      failures: 0,
      surgeMissing: false,
    },
    heaters: [
      {
        heater: "heater-1",
        state: "off",
        why: "temperature-in-band",
        latch: null,
        guard: "closed",
        seenOn: false,
        warming: "no",
        finding: null,
        dutyPercent: 31.234,
        setpointC: 25,
        offForMs: 0,
      },
    ],
    hold: { active: false, withHeat: false, leftMs: 0, question: false, questionForMs: 0 },
    start: { steady: true, steadyLeftMs: 0, topOffLeftMs: 0, heatLeftMs: 0 },
    ...PROVEN,
    proofs: { ...PROVEN.proofs, "high-float": 86_400_000, "heater-1": null },
    commands: { ...EVERYTHING_OFF, "heat-guard": true },
    alarms: [],
    outcomes: [],
    memorySequence: 1,
    stoppedBy: null,
    board: "ready",
    disk: "working",
    beside: ALL_WELL_BESIDE,
    ...changes,
  };
}

export const good = (value: number, uncertainty = 0.25): Signal => ({
  value,
  quality: "good",
  doubt: null,
  ageMs: 400,
  uncertainty,
  lastValue: value,
  lastValueAgeMs: 400,
});

export const silent = (lastValue: number): Signal => ({
  value: null,
  quality: "bad",
  doubt: "no-answer",
  ageMs: 31_000,
  uncertainty: null,
  lastValue,
  lastValueAgeMs: 31_000,
});

/** The same with its heater otherwise. */
export const withHeater = (change: Partial<HeatStatus>): ScanRecord => {
  const record = wellRecord();
  return { ...record, heaters: record.heaters.map((heater) => ({ ...heater, ...change })) };
};
