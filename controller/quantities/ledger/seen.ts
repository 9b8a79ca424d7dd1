import type { BoardState } from "../../../shared/contract/image.ts";
import type { Quantities, ScanRecord } from "../../../shared/contract/record.ts";
import type { Signal } from "../../../shared/contract/signal.ts";
import type { Settings } from "../../../shared/settings/schema.ts";
import type { FanSeen } from "../fan.ts";

/** What the ledger looks at, once a minute and whenever somebody enters a hand test. */
export interface LedgerSeen {
  /** Since it last looked. */
  readonly elapsedMs: number;
  /** A scan came so late that nobody knows what happened between. */
  readonly gap: boolean;
  /** Null = no start. */
  readonly start: { readonly offMs: number | null } | null;
  /** Litres poured in all, at the proven flow. */
  readonly pouredTotalL: number;
  /** The water has stood at its mark for its time and nothing was poured since. */
  readonly full: boolean;
  /** The working float reads low. */
  readonly low: boolean;
  /** The return pump runs, the level has settled, nobody's hands are in: floats and probe mean the water. */
  readonly judged: boolean;
  readonly hands: boolean;
  /** Level or salinity alarm, or top-off locked: nothing is learned. */
  readonly frozen: boolean;
  readonly salinity: Signal;
  readonly calibrationDays: number;
  readonly temperatureC: number | null;
  readonly roomC: number | null;
  /** Watts of the heaters that are on. */
  readonly heaterW: number;
  readonly fan: FanSeen;
  readonly handTest: number | null;
  /** What was said of the reservoir: its salinity, or null for new water that nobody has measured. Null = nothing. */
  readonly reservoir: { readonly salinity: number | null } | null;
  readonly reservoirL: number | null;
}

/** The ledger looks this often; a scan that comes this late has seen nothing of the time between. */
export const LEDGER_EVERY_MS = 60_000;
const LEDGER_GAP_MS = 60_000;

/** What a scan knows of the box when the ledger looks at it. */
export interface LedgerScene
  extends Pick<LedgerSeen, "start" | "pouredTotalL" | "reservoirL" | "calibrationDays" | "heaterW" | "fan">,
    Pick<LedgerSeen, "handTest" | "reservoir"> {
  /** Since the last scan, and since the ledger last looked. */
  readonly scanMs: number;
  readonly elapsedMs: number;
  readonly contacts: ScanRecord["contacts"];
  readonly quantities: Quantities;
  readonly board: BoardState;
  /** The return pump has neither stopped nor started lately. */
  readonly levelSettled: boolean;
  /** Nothing is poured, and nothing was poured since the water last stood at its mark. */
  readonly restsAtMark: boolean;
  readonly topOffLocked: boolean;
  /** Hands are in the tank, or nobody has said yet what they did. */
  readonly hands: boolean;
}

export function lookAt(scene: LedgerScene, { targets, alarms }: Settings): LedgerSeen {
  const { contacts, quantities, start, pouredTotalL, calibrationDays, heaterW, fan, handTest } = scene;
  const { salinity, level, temperature, room } = quantities;
  const working = contacts["working-float"].position;
  const off = Math.abs((salinity.value ?? targets.salinity) - targets.salinity);
  return {
    elapsedMs: scene.elapsedMs,
    gap: scene.scanMs > LEDGER_GAP_MS,
    start,
    pouredTotalL,
    full: working === "on" && scene.restsAtMark,
    low: working === "off",
    judged:
      scene.board === "ready" &&
      working !== "unknown" &&
      contacts["return-sensor"].position !== "off" &&
      scene.levelSettled,
    hands: scene.hands,
    frozen: off > alarms.salinityWithin || scene.topOffLocked || (level.state !== "at-mark" && level.state !== "low"),
    salinity,
    calibrationDays,
    temperatureC: temperature.value,
    roomC: room.value,
    heaterW,
    fan,
    handTest,
    reservoir: scene.reservoir,
    reservoirL: scene.reservoirL,
  };
}
