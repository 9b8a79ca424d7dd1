import type { Doubtful, LearnedHeat } from "../../shared/contract/ledger.ts";
import { SEA_WATER_J_PER_L_K } from "../../shared/settings/limits.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import type { Hour, LearnedEvaporation, LedgerDurable, OpenHour, Spell } from "./ledger/memory.ts";

/** What the box teaches of itself: evaporation, the heat it loses, the power of its heater. */

/** Learned evaporation stays within these shares of the commissioned, another one with the fan on, and moves by this much a day. */
const LEAST_SHARE = 0.5;
const MOST_SHARE = 1.5;
const DAILY_SHARE = 0.05;
/** One day's evaporation against another's: no learning makes the doubt smaller. */
const DOUBT_LEAST = 0.07;
const DOUBT_MOST = 0.25;
const SECONDS_AN_HOUR = 3600;
const HOURS_A_DAY = 24;
/** Means over about a week, and over about ten spells of the heater. */
const DAYS_MEANT = 7;
const SPELLS_MEANT = 10;
const SPELLS_LEAST = 6;
const SPELL_LEAST_MS = 300_000;
const MS_AN_HOUR = 3_600_000;
/** Warmer than the room by less than this, a loss per kelvin is a division by almost nothing. */
const LEAST_ABOVE_ROOM_K = 1;

/** One quiet day, all without the fan or all with it, has shown this much. */
export function withEvaporation<Learned extends LearnedEvaporation>(durable: Learned, shownLPerDay: number): Learned {
  const { evaporationLPerDay: before, commissionedLPerDay: commissioned } = durable;
  const step = clamp(shownLPerDay - before, -DAILY_SHARE * before, DAILY_SHARE * before);
  const surprise = Math.abs(shownLPerDay - before) / before;
  return {
    ...durable,
    evaporationLPerDay: clamp(before + step, LEAST_SHARE * commissioned, MOST_SHARE * commissioned),
    evaporationDoubt: clamp(0.85 * durable.evaporationDoubt + 0.04 * surprise, DOUBT_LEAST, DOUBT_MOST),
  };
}

/** Watts that left the water in an hour: what came in, less what warmed it. Lamp heat counts as loss avoided. */
export function lossOf(open: OpenHour, { heat, tank }: Settings): number | null {
  if (!open.watched || open.firstC === null || open.lastC === null || open.ms === 0) return null;
  const inW = (open.heaterJ * 1000) / open.ms + heat.returnPumpW;
  const warmedJ = tank.netVolumeL * SEA_WATER_J_PER_L_K * (open.lastC - open.firstC);
  return inW - warmedJ / ((open.ms / MS_AN_HOUR) * SECONDS_AN_HOUR);
}

/** A day of hours, each with its loss: a slow mean of watts per kelvin above the room. */
export function withLoss(durable: LedgerDurable, hours: readonly Hour[]): LedgerDurable {
  let lossW = 0;
  let aboveK = 0;
  let count = 0;
  for (const hour of hours.slice(-HOURS_A_DAY)) {
    if (hour.lossW === null || hour.aboveRoomK === null) continue;
    lossW += hour.lossW;
    aboveK += hour.aboveRoomK;
    count += 1;
  }
  if (count < HOURS_A_DAY / 2 || aboveK / count < LEAST_ABOVE_ROOM_K || lossW <= 0) return durable;
  const lossDays = Math.min(DAYS_MEANT, durable.lossDays + 1);
  return { ...durable, lossDays, lossWPerK: durable.lossWPerK + (lossW / aboveK - durable.lossWPerK) / lossDays };
}

/**
 * A spell of the heater has ended: its slope joins the mean of its kind. Short ones show only the thermometer, and two
 * heaters together, or a second one of other power, say nothing of this one.
 */
export function withSpell(durable: LedgerDurable, spell: Spell, lastC: number, { heat }: Settings): LedgerDurable {
  if (spell.ms < SPELL_LEAST_MS || (spell.heaterW !== 0 && spell.heaterW !== heat.heaterW)) return durable;
  const slope = ((lastC - spell.firstC) * MS_AN_HOUR) / spell.ms;
  if (spell.heaterW > 0) {
    const risingSpells = Math.min(SPELLS_MEANT, durable.risingSpells + 1);
    const risingKPerH = durable.risingKPerH + (slope - durable.risingKPerH) / risingSpells;
    return { ...durable, risingSpells, risingKPerH };
  }
  const fallingSpells = Math.min(SPELLS_MEANT, durable.fallingSpells + 1);
  const fallingKPerH = durable.fallingKPerH + (slope - durable.fallingKPerH) / fallingSpells;
  return { ...durable, fallingSpells, fallingKPerH };
}

export function learnedHeat(durable: LedgerDurable, hours: readonly Hour[], { tank }: Settings): LearnedHeat {
  const day = hours.slice(-HOURS_A_DAY);
  const losses = day.map((hour) => hour.lossW);
  const known = losses.filter((loss) => loss !== null);
  const mean = known.reduce((sum, loss) => sum + loss, 0) / Math.max(1, known.length);
  const enough = known.length >= HOURS_A_DAY / 2;
  return {
    lossW: enough ? { value: mean, uncertainty: 4 + 0.1 * Math.abs(mean) } : null,
    lossByHourW: losses,
    lossWPerK: durable.lossDays === 0 ? null : shareOf(durable.lossWPerK, 0.15),
    heaterW: heaterSeen(durable, tank.netVolumeL * SEA_WATER_J_PER_L_K),
  };
}

/** The water rises with the heater and sinks without: the difference is the heater, whatever the room does. */
function heaterSeen(durable: LedgerDurable, jPerK: number): Doubtful | null {
  if (durable.risingSpells < SPELLS_LEAST || durable.fallingSpells < SPELLS_LEAST) return null;
  const watts = ((durable.risingKPerH - durable.fallingKPerH) * jPerK) / SECONDS_AN_HOUR;
  return watts > 0 ? shareOf(watts, 0.2) : null;
}

const shareOf = (value: number, share: number): Doubtful => ({ value, uncertainty: share * value });
const clamp = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value));
