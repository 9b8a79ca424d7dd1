import type { FanSeen } from "../fan.ts";
import type { LearnedEvaporation, LedgerDurable, OpenHour } from "./memory.ts";

/** Evaporation without a fan and with one, each measured, and learned from there. */

export const evaporationOf = (commissionedLPerDay: number, evaporationDoubt: number): LearnedEvaporation => ({
  evaporationLPerDay: commissionedLPerDay,
  evaporationDoubt,
  commissionedLPerDay,
});

/** How much faster the water goes than without the fan. Unknown counts as without: litres that nobody can explain are
 *  then found rather too early than too late. */
export const dryingSpeed = ({ evaporationLPerDay, withFan }: LedgerDurable, fan: FanSeen): number =>
  fan === "on" ? withFan.evaporationLPerDay / evaporationLPerDay : 1;

/** Of these the one that holds now. */
export const evaporationNow = (durable: LedgerDurable, fan: FanSeen): LearnedEvaporation =>
  fan === "on" ? durable.withFan : durable;

export const withFanHour = (open: OpenHour, fan: FanSeen): OpenHour => ({ ...open, fan: joined(open.fan, fan) });

/** Several looks as one: what they do not agree about is unknown. */
export const joined = (before: FanSeen | null, fan: FanSeen): FanSeen =>
  before === null || before === fan ? fan : "unknown";
