import type { Elapsed } from "../../shared/contract/elapsed.ts";
import type { Quantities } from "../../shared/contract/record.ts";
import type { Signal } from "../../shared/contract/signal.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import type { Signals } from "../signals/index.ts";
import { aged, EMPTY_WINDOW, followed, type RateShape, type RateWindow, ratePerHour } from "../signals/rate-window.ts";
import type { Watched } from "../signals/watched.ts";
import { levelFrom } from "./level.ts";
import { FRESH_SALINITY, type SalinityMemory, salinityFrom } from "./salinity.ts";

/** Volatile. */
export interface QuantitiesMemory {
  readonly salinity: SalinityMemory;
  readonly salinityTrend: RateWindow;
  readonly temperatureTrend: RateWindow;
  readonly sinceTrendMs: number;
}

export const FRESH_QUANTITIES: QuantitiesMemory = {
  salinity: FRESH_SALINITY,
  salinityTrend: EMPTY_WINDOW,
  temperatureTrend: EMPTY_WINDOW,
  sinceTrendMs: 0,
};

/** Twelve half hours for salinity, twenty minutes for temperature; a sample of each every five seconds is enough. */
const SALINITY_SHAPE: RateShape = { bins: 12, binMs: 1_800_000 };
const TEMPERATURE_SHAPE: RateShape = { bins: 20, binMs: 60_000 };
const TREND_EVERY_MS = 5_000;

export interface QuantitiesScene {
  /** Across its gap a trend would be invented. */
  readonly elapsed: Elapsed;
  /** Hands, poured water and a return pump that starts make temperature step: no trend. */
  readonly rateMeansNothing: boolean;
  readonly calibrationDays: number;
  /** From the top-off's memory: what must have evaporated since the working float last read full. */
  readonly dueUl: number;
}

export interface Reckoned {
  readonly memory: QuantitiesMemory;
  readonly quantities: Quantities;
  /** K/h over twenty full minutes; null until known. */
  readonly temperatureRateKPerH: number | null;
}

export function reckonQuantities(
  memory: QuantitiesMemory,
  signals: Signals,
  scene: QuantitiesScene,
  settings: Settings,
): Reckoned {
  const { control, warmest } = signals.vote;
  const water = signals.conductivity.value === null ? control : waterOf(signals);
  const salted = salinityFrom(
    memory.salinity,
    signals.conductivity,
    water,
    scene.calibrationDays,
    scene.elapsed.ms,
    settings,
  );
  const trends = followTrends(
    memory,
    salted.salinity.quality === "good" ? salted.salinity.value : null,
    signals.watched,
    scene,
  );
  const { contacts } = signals;
  const level = levelFrom(
    contacts["working-float"],
    contacts["high-float"],
    contacts["low-float"],
    scene.dueUl,
    settings,
  );
  const perHour = ratePerHour(trends.salinityTrend, SALINITY_SHAPE);
  return {
    memory: {
      salinity: salted.memory,
      salinityTrend: trends.salinityTrend,
      temperatureTrend: trends.temperatureTrend,
      sinceTrendMs: trends.sinceTrendMs,
    },
    quantities: {
      temperature: control,
      warmest,
      cellTemperature: signals.third,
      room: signals.room,
      conductivity: withCellDoubt(signals.conductivity, scene.calibrationDays, settings),
      salinity: salted.salinity,
      specificGravity: salted.gravity,
      level,
      salinityChangePer6h: perHour === null ? null : perHour * 6,
    },
    temperatureRateKPerH: ratePerHour(trends.temperatureTrend, TEMPERATURE_SHAPE),
  };
}

/** Beside its own noise a cell is as sure as its calibration, and less with every day since (half-widths, k = 2). */
function withCellDoubt(signal: Signal, calibrationDays: number, { conductivity }: Settings): Signal {
  const { value, quality, doubt, ageMs, uncertainty: noise, lastValue, lastValueAgeMs } = signal;
  if (value === null || noise === null) return signal;
  const { cellConstantPercent, driftPercentPerMonth } = conductivity;
  const percent = Math.hypot(cellConstantPercent, (driftPercentPerMonth * calibrationDays) / DAYS_OF_DRIFT);
  const uncertainty = Math.hypot(noise, (HALF_WIDTH_AT_2 * value * percent) / 100);
  return { value, quality, doubt, ageMs, uncertainty, lastValue, lastValueAgeMs };
}

/** Drift is told for thirty days; an even spread of a half-width has a standard deviation of it through √3 (JCGM 100, 4.3.7). */
const DAYS_OF_DRIFT = 30;
const HALF_WIDTH_AT_2 = 2 / Math.sqrt(3);

/** The probe's own thermometer is in the very water that it measures; without one, the tank's. */
const waterOf = (signals: Signals) =>
  signals.conductivityTemperature.value === null ? signals.vote.control : signals.conductivityTemperature;

type Trends = Omit<QuantitiesMemory, "salinity">;

function followTrends(
  memory: QuantitiesMemory,
  salinity: number | null,
  watched: Watched,
  scene: QuantitiesScene,
): Trends {
  const sinceTrendMs = memory.sinceTrendMs + scene.elapsed.creditMs;
  const salinityTrend = scene.elapsed.gap ? EMPTY_WINDOW : memory.salinityTrend;
  const anew = scene.elapsed.gap || scene.rateMeansNothing || watched.anew;
  const temperatureTrend = anew ? EMPTY_WINDOW : memory.temperatureTrend;
  if (sinceTrendMs < TREND_EVERY_MS) return { salinityTrend, temperatureTrend, sinceTrendMs };
  return {
    salinityTrend: follow(salinityTrend, SALINITY_SHAPE, salinity, sinceTrendMs),
    temperatureTrend: follow(temperatureTrend, TEMPERATURE_SHAPE, watched.valueC, sinceTrendMs),
    sinceTrendMs: 0,
  };
}

const follow = (window: RateWindow, shape: RateShape, value: number | null, ms: number): RateWindow =>
  value === null ? aged(window, shape, ms) : followed(window, shape, ms, value);
