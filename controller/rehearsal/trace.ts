import { closed } from "./plant/contact.ts";
import { powerThere } from "./plant/mains.ts";
import type { Tank } from "./plant/tank.ts";
import { lastLevelMm, salinityOf } from "./plant/water.ts";

/** One column of a plot: lowest and highest of what was true in it, and the share of it that a part was on. */
export interface Column {
  temperatureMinC: number;
  temperatureMaxC: number;
  salinityMin: number;
  salinityMax: number;
  levelMinMm: number;
  levelMaxMm: number;
  /** Litres since the start, at the end of the column. */
  pouredL: number;
  evaporatedL: number;
  spilledL: number;
  heaterShare: number;
  pumpShare: number;
}

/** The truth of a run, thinned to a plot's width without losing an extreme. */
export interface Trace {
  readonly columns: readonly Column[];
  /** Hours that one column is wide. */
  readonly columnH: number;
  see(tank: Tank): void;
}

const COLUMNS_MOST = 720;
const COLUMN_LEAST_MS = 1_000;
const MS_PER_H = 3_600_000;

export function createTrace(hours: number): Trace {
  const columns: Column[] = [];
  const columnMs = Math.max(COLUMN_LEAST_MS, (hours * MS_PER_H) / COLUMNS_MOST);
  const last = Math.max(0, Math.ceil((hours * MS_PER_H) / columnMs) - 1);
  let seen = 0;
  let heaterOnS = 0;
  return {
    columns,
    columnH: columnMs / MS_PER_H,
    see: (tank) => {
      const { state } = tank;
      const place = Math.min(last, Math.floor((state.nowMs - 1) / columnMs));
      while (columns.length <= place) {
        columns.push(emptyColumn());
        seen = 0;
      }
      const column = columns[place] as Column;
      seen += 1;
      widen(column, tank);
      const { accounts } = state;
      const heats = accounts.heaterOnS > heaterOnS ? 1 : 0;
      heaterOnS = accounts.heaterOnS;
      column.heaterShare += (heats - column.heaterShare) / seen;
      column.pumpShare += ((pumps(tank) ? 1 : 0) - column.pumpShare) / seen;
    },
  };
}

const emptyColumn = (): Column => ({
  temperatureMinC: Infinity,
  temperatureMaxC: -Infinity,
  salinityMin: Infinity,
  salinityMax: -Infinity,
  levelMinMm: Infinity,
  levelMaxMm: -Infinity,
  pouredL: 0,
  evaporatedL: 0,
  spilledL: 0,
  heaterShare: 0,
  pumpShare: 0,
});

function widen(column: Column, { state }: Tank): void {
  const celsius = state.heat.restC;
  const salinity = salinityOf(state.water);
  const levelMm = lastLevelMm(state.water, state.geometry);
  column.temperatureMinC = Math.min(column.temperatureMinC, celsius);
  column.temperatureMaxC = Math.max(column.temperatureMaxC, celsius);
  column.salinityMin = Math.min(column.salinityMin, salinity);
  column.salinityMax = Math.max(column.salinityMax, salinity);
  column.levelMinMm = Math.min(column.levelMinMm, levelMm);
  column.levelMaxMm = Math.max(column.levelMaxMm, levelMm);
  const { accounts } = state;
  column.pouredL = accounts.pouredL;
  column.evaporatedL = accounts.evaporatedL;
  column.spilledL = accounts.overRimL + accounts.tubeSpilledL;
}

/** Water moves in the tube: by the pump, or by a siphon. */
const pumps = ({ state }: Tank): boolean =>
  state.plumbing.siphonLPerS > 0 ||
  (powerThere(state.mains, state.nowMs) &&
    closed(state.contacts["top-off-pump"]) &&
    closed(state.contacts["water-guard"]));
