import type { AbsenceStatus } from "./absence.ts";
import type { CalibrationStatus } from "./calibration.ts";
import type { Beside, BoardState, Commands } from "./image.ts";
import type { LedgerStatus } from "./ledger.ts";
import type { ContactPart, HeaterPart } from "./parts.ts";
import type { ProofPart, ProvingStatus } from "./proving.ts";
import type { Reason } from "./reasons.ts";
import type { Outcome } from "./requests.ts";
import type { ContactSignal, Signal } from "./signal.ts";

/** What one scan saw, decided and why. The only thing that leaves the scan; everything shown is made from it. */
export interface ScanRecord {
  readonly scan: number;
  readonly elapsedMs: number;
  readonly contacts: { readonly [Part in ContactPart]: ContactSignal };
  readonly thermometers: readonly [Signal, Signal];
  readonly quantities: Quantities;
  readonly topOff: TopOffStatus;
  /** One for each heater that the box has, in the order of their numbers. */
  readonly heaters: readonly HeatStatus[];
  readonly hold: HoldStatus;
  readonly absence: AbsenceStatus;
  readonly start: StartStatus;
  /** Milliseconds since a part was last seen to work; null = never proven, and so off. */
  readonly proofs: { readonly [Part in ProofPart]: number | null };
  /** The walk along the parts. Made anew once a minute and when something of it changed. */
  readonly proving: ProvingStatus;
  readonly calibration: CalibrationStatus;
  readonly sourceWater: SourceWaterStatus;
  /** What the ledger of water and salt believes, made anew once a minute. */
  readonly ledger: LedgerStatus;
  readonly commands: Commands;
  /** Every alarm that is not normal, in order of rank. */
  readonly alarms: readonly AlarmStatus[];
  readonly outcomes: readonly Outcome[];
  /** The sequence number of the durable memory that goes with this scan. */
  readonly memorySequence: number;
  /** Why the scan stopped itself the last time, until somebody has acknowledged that they were told; else null. */
  readonly stoppedBy: string | null;
  readonly board: BoardState;
  readonly disk: "working" | "failed";
  readonly beside: Beside;
}

export interface Quantities {
  /** °C, what the heat is controlled by. */
  readonly temperature: Signal;
  /** °C, the warmest that is not bad, as corrected. The cut-out looks at what the thermometers say themselves, too. */
  readonly warmest: Signal;
  /** °C, of the conductivity probe's own thermometer. */
  readonly cellTemperature: Signal;
  /** °C. */
  readonly room: Signal;
  /** mS/cm, raw. */
  readonly conductivity: Signal;
  /** Practical salinity (PSS-78), no unit. */
  readonly salinity: Signal;
  /** Specific gravity 25/25 °C: density at 25 °C to pure water at 25 °C, made from salinity. */
  readonly specificGravity: Signal;
  readonly level: Level;
  /** Change of salinity in 6 h of valid readings; null until the window is full. */
  readonly salinityChangePer6h: number | null;
}

/** The water that fills the reservoir, and the cartridge that makes it. Nothing is decided by it. */
export interface SourceWaterStatus {
  /** Dissolved solids, mg/L, by the factor of sodium chloride. */
  readonly tds: Signal;
  /** Litres that top-off has poured since the cartridge was changed; null = nobody has said when that was. */
  readonly litresSinceChange: number | null;
  readonly daysSinceChange: number | null;
}

/** The level in the last chamber, from floats: an interval between marks, and the ledger's estimate inside it. */
export interface Level {
  /** Millimetres above the working mark; null = not bounded on that side. */
  readonly fromMm: number | null;
  readonly toMm: number | null;
  /** Null when nothing is known. */
  readonly estimateMm: number | null;
  readonly state: "low" | "at-mark" | "high" | "contradiction" | "unknown";
}

export interface TopOffStatus {
  readonly state: "resting" | "confirming" | "pouring" | "settling" | "held" | "locked" | "proving";
  readonly why: Reason;
  /** What stands in the way of a pour at the moment, whether or not one is due. */
  readonly blockers: readonly Reason[];
  readonly latch: Latch | null;
  /** The same lock, while it holds the guard open too; its reason is what opened that, which may have come later. */
  readonly waterGuardLatch: Latch | null;
  /** Litres that may still be poured out of the daily bucket. */
  readonly bucketL: number;
  readonly bucketSizeL: number;
  /** Litres poured beyond the lowest credible evaporation since the last hand test. */
  readonly excessL: number;
  readonly excessLimitL: number;
  /** Litres poured since the working float last read full. */
  readonly pouredSinceFullL: number;
  /** Litres due: what must have evaporated since the working float last read full. */
  readonly dueL: number;
  /** Litres poured in all since the memory began. */
  readonly pouredTotalL: number;
  /** Litres left in the reservoir by the ledger; null = never told. */
  readonly reservoirL: number | null;
  readonly daysInReservoir: number | null;
  /** Failed pours: +2 on failure, −1 on success, locks at 6. */
  readonly failures: number;
  /** The return pump is shown stopped and the water did not rise, or fell too soon: float or sensor is wrong. */
  readonly surgeMissing: boolean;
}

export interface HeatStatus {
  readonly heater: HeaterPart;
  readonly state: "off" | "heating" | "cautious" | "held" | "waiting" | "cut-out" | "locked";
  readonly why: Reason;
  readonly latch: Latch | null;
  /** Without a latch: what makes it heat carefully until the water follows or a person clears it. */
  readonly finding: Latch | null;
  readonly guard: "closed" | "open" | "latched-open";
  /** It has power although it was switched off: sensed behind both contacts, whatever lock came first. */
  readonly seenOn: boolean;
  /** The water warmed with the heater off, and no less with its second switch open: what else may do it. A day long, or
   *  until the heater was on again; `no` where nothing of the kind was seen. */
  readonly warming: "no" | "room" | "unexplained";
  /** Share of the last 24 h that the heater was on, 0–100; null until a day is known. */
  readonly dutyPercent: number | null;
  readonly setpointC: number;
  /** Since the heater was last on; 0 while it is, and at a start, for nobody knows. */
  readonly offForMs: number;
}

/** How that heater stands; null = the box has none of that name. */
export const heaterIn = ({ heaters }: Pick<ScanRecord, "heaters">, heater: HeaterPart): HeatStatus | null =>
  heaters.find((each) => each.heater === heater) ?? null;

export interface Latch {
  readonly reason: Reason;
  readonly occurrence: number;
  /** True when the cause is gone and a person may clear it. */
  readonly clearable: boolean;
  /** True when it may be cleared only by somebody who stands at the tank. */
  readonly atTank: boolean;
}

export interface HoldStatus {
  readonly active: boolean;
  readonly withHeat: boolean;
  readonly leftMs: number;
  /** After a hold with a low level: pouring waits for an answer. */
  readonly question: boolean;
  readonly questionForMs: number;
}

export interface StartStatus {
  /** True once inputs have been good for the steady time. */
  readonly steady: boolean;
  readonly steadyLeftMs: number;
  readonly topOffLeftMs: number;
  /** Heat waits for the steady time and for the flow of the return pump. */
  readonly heatLeftMs: number;
}

export type AlarmPriority = "low" | "medium" | "high";

export interface AlarmStatus {
  readonly id: string;
  readonly priority: AlarmPriority;
  readonly state: "unacknowledged" | "acknowledged" | "returned" | "latched" | "suppressed";
  readonly active: boolean;
  /** Milliseconds since it last became active. */
  readonly forMs: number;
  /** The first of the alarms that now stand. */
  readonly first: boolean;
  /** How often it became active in the last hour, leaky. */
  readonly timesInHour: number;
}

/** The words of an alarm, fixed with its condition. */
export interface AlarmWords {
  readonly id: string;
  readonly title: string;
  readonly priority: AlarmPriority;
  readonly cause: string;
  readonly consequence: string;
  readonly whatToDo: string;
  readonly timeToRespond: string;
}
