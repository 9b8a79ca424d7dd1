import * as z from "zod";
import type { AtTankRequest, Place } from "../../shared/contract/requests.ts";
import { AT_TANK_MOST_MINUTES } from "../../shared/settings/limits.ts";
import { accept, FORGETFUL, type Kept, type Key, type Machine, type Others, refuse } from "./machine.ts";

/** Somebody who said so at the tank stands at it for a while: so long, what is asked from afar counts as asked there. */
export interface PresenceMemory {
  readonly atTankMs: number;
}

export const PRESENCE: Key<null, PresenceMemory> = { name: "presence" };

export const NOT_AT_TANK =
  "Parts are proven and calibrated at the tank, by somebody who sees them: say there that you are at it (at-tank 30).";

/** Asked at the tank, or while somebody who said so there is standing at it. */
export const isAtTank = (at: Place, others: Others): boolean =>
  at === "tank" || others.keptOf(PRESENCE).volatile.atTankMs > 0;

export const presence: Machine<null, PresenceMemory> = {
  ...FORGETFUL,
  key: PRESENCE,
  fresh: () => ({ durable: null, volatile: NOBODY }),
  schema: () => z.null().catch(null),
  request: (kept, request) => (request.kind === "at-tank" ? sayPresence(kept, request) : null),
  watch(kept, { elapsed }) {
    const { atTankMs } = kept.volatile;
    if (atTankMs === 0) return { kept, urgent: false };
    return { kept: { durable: null, volatile: { atTankMs: Math.max(0, atTankMs - elapsed.ms) } }, urgent: false };
  },
};

const NOBODY: PresenceMemory = { atTankMs: 0 };

function sayPresence(kept: Kept<null, PresenceMemory>, { at, minutes }: AtTankRequest) {
  if (at !== "tank") return refuse(kept, NOT_AT_TANK);
  if (!(minutes >= 0 && minutes <= AT_TANK_MOST_MINUTES)) {
    return refuse(kept, `From 0 to ${AT_TANK_MOST_MINUTES} minutes are expected.`);
  }
  const why =
    minutes === 0
      ? "Nobody is at the tank now."
      : `You are at the tank for ${minutes} minutes: parts may be proven and calibrated from the dashboard too.`;
  return accept({ durable: null, volatile: { atTankMs: Math.round(minutes * 60_000) } }, why);
}
