import type { AlarmFacts, AlarmsMemory } from "../../controller/alarms/index.ts";
import { freshAlarms, watchAlarms } from "../../controller/alarms/index.ts";
import { NOTHING_KNOWN } from "../../controller/quantities/ledger/status.ts";
import type {
  AlarmStatus,
  ContactPart,
  ContactSignal,
  HeatStatus,
  Latch,
  Quantities,
  Reason,
  ScanRecord,
  Signal,
  TopOffStatus,
} from "../../shared/contract/index.ts";
import { ALL_WELL_BESIDE, EVERYTHING_OFF } from "../../shared/contract/index.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";
import { PROVEN } from "./proven.ts";

/** A box on a good day, and what a test changes of it. */

export const SETTINGS: Settings = rehearsalSettings();

export const good = (value: number, uncertainty: number | null = null): Signal => ({
  value,
  quality: "good",
  doubt: null,
  ageMs: 200,
  uncertainty,
  lastValue: value,
  lastValueAgeMs: 200,
});

export const bad = (doubt: NonNullable<Signal["doubt"]>): Signal => ({
  value: null,
  quality: "bad",
  doubt,
  ageMs: 20_000,
  uncertainty: null,
  lastValue: null,
  lastValueAgeMs: 0,
});

export const uncertain = (value: number, doubt: NonNullable<Signal["doubt"]>): Signal => ({
  ...good(value),
  quality: "uncertain",
  doubt,
});

export const contact = (position: ContactSignal["position"], doubt: ContactSignal["doubt"] = null): ContactSignal => ({
  position,
  doubt: position === "unknown" && doubt === null ? "stale" : doubt,
  ageMs: 100,
  chattering: false,
});

export const latch = (reason: Reason, clearable = false): Latch => ({
  reason,
  occurrence: 1,
  clearable,
  atTank: false,
});

const CONTACTS: AlarmFacts["contacts"] = {
  "working-float": contact("on"),
  "high-float": contact("off"),
  "low-float": contact("on"),
  "reservoir-float": contact("on"),
  "floor-sensor": contact("off"),
  "mains-sensor": contact("on"),
  "return-sensor": contact("on"),
};

export interface Change
  extends Partial<Omit<AlarmFacts, "contacts" | "quantities" | "topOff" | "heaters" | "hold" | "start">> {
  readonly contacts?: { readonly [Part in ContactPart]?: ContactSignal };
  readonly quantities?: Partial<Quantities>;
  readonly topOff?: Partial<TopOffStatus>;
  /** Of the first heater. */
  readonly heat?: Partial<HeatStatus>;
  readonly secondHeat?: HeatStatus;
  readonly hold?: Partial<AlarmFacts["hold"]>;
  readonly start?: Partial<AlarmFacts["start"]>;
}

export function healthy(change: Change = {}): AlarmFacts {
  return {
    scan: 1000,
    elapsedMs: 250,
    thermometers: [good(25), good(25.1)],
    ...PROVEN,
    ledger: NOTHING_KNOWN,
    absence: { state: "none", beginsInMs: 0, endsInMs: null, due: [] },
    sourceWater: { tds: good(0.2, 0.5), litresSinceChange: 120, daysSinceChange: 60 },
    commands: EVERYTHING_OFF,
    memorySequence: 1,
    stoppedBy: null,
    board: "ready",
    disk: "working",
    beside: ALL_WELL_BESIDE,
    ...change,
    contacts: { ...CONTACTS, ...change.contacts },
    quantities: {
      temperature: good(25),
      warmest: good(25.1),
      cellTemperature: good(25),
      room: good(22),
      conductivity: good(53.1),
      salinity: good(35, 0.9),
      specificGravity: good(1.0264),
      level: { fromMm: 0, toMm: 70, estimateMm: 1, state: "at-mark" },
      salinityChangePer6h: 0,
      ...change.quantities,
    },
    topOff: {
      state: "resting",
      why: "water-at-mark",
      blockers: [],
      latch: null,
      waterGuardLatch: null,
      bucketL: 2,
      bucketSizeL: 3,
      excessL: 0.2,
      excessLimitL: 8,
      pouredSinceFullL: 0,
      dueL: 0.1,
      pouredTotalL: 12,
      reservoirL: 8,
      daysInReservoir: 5,
      failures: 0,
      surgeMissing: false,
      ...change.topOff,
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
        dutyPercent: 20,
        setpointC: 25,
        offForMs: 0,
        ...change.heat,
      },
      ...(change.secondHeat ? [change.secondHeat] : []),
    ],
    hold: { active: false, withHeat: false, leftMs: 0, question: false, questionForMs: 0, ...change.hold },
    start: { steady: true, steadyLeftMs: 0, topOffLeftMs: 0, heatLeftMs: 0, ...change.start },
  };
}

export const recordOf = (change: Change = {}, alarms: readonly AlarmStatus[] = []): ScanRecord => ({
  ...healthy(change),
  alarms,
  outcomes: [],
});

/** A box watched over time: each call is a spell of scans with the same facts. */
export class Watch {
  memory: AlarmsMemory = freshAlarms();
  alarms: readonly AlarmStatus[] = [];
  changes = 0;

  private readonly settings: Settings;
  constructor(settings: Settings = SETTINGS) {
    this.settings = settings;
  }

  see(change: Change, forMs: number, acknowledged: readonly string[] = []): this {
    const facts = healthy(change);
    for (let leftMs = forMs, first = true; leftMs > 0; leftMs -= 250, first = false) {
      const elapsedMs = Math.min(250, leftMs);
      const result = watchAlarms(this.memory, facts, this.settings, first ? acknowledged : [], elapsedMs);
      this.memory = result.memory;
      this.alarms = result.alarms;
      if (result.changed) this.changes++;
    }
    return this;
  }

  state(id: string): AlarmStatus["state"] | "normal" {
    return this.alarms.find((alarm) => alarm.id === id)?.state ?? "normal";
  }
}
