import { isOnOrAbsent } from "../../signals/contact.ts";
import type { Answer, Kept, Machine, ScanContext } from "../machine.ts";
import { isAtTank } from "../presence.ts";
import { isLevelSettled, planStart } from "../start.ts";
import {
  endHold,
  followHold,
  type HoldMemory,
  type HoldTestimony,
  holdAfterRestart,
  holdInDoubt,
  holdStatus,
  NO_HOLD,
  startHold,
  storedHold,
  storedHoldTestimony,
} from "./hold.ts";
import { HOLD } from "./key.ts";

/** Hands in the tank: a timed stop, and the question at its end. */
export const hold: Machine<HoldMemory, null, null, HoldTestimony> = {
  key: HOLD,
  fresh: () => keep(NO_HOLD),
  // In a box that never ran nobody has held anything.
  lost: (_, { testimony, isNew }) => (isNew ? NO_HOLD : holdInDoubt(NO_HOLD, testimony)),
  afterRestart: ({ durable }, restart) =>
    keep(restart.memory === "sound" ? holdAfterRestart(durable) : holdInDoubt(durable, restart.testimony)),
  schema: () => storedHold,
  testimony: {
    schema: storedHoldTestimony,
    of: ({ leftMs, fullMs, withHeat, question }) => ({ holdMs: leftMs > 0 ? fullMs : 0, withHeat, question }),
  },

  passTime(kept, context) {
    const { image, elapsed } = context;
    // A hold is served only in scans that see the tank: everything is off while its board is silent, and hands that were
    // in before may be in when it is heard again.
    const served = image.board === "ready" ? elapsed : { ...elapsed, creditMs: 0 };
    const durable = followHold(kept.durable, isAnswered(context), served);
    return durable === kept.durable ? kept : keep(durable);
  },

  request({ durable }, request, context) {
    if (request.kind === "hold") {
      // Whoever said at the tank that they are at it holds the heat too, from the page in their hand.
      return answer(startHold(durable, isAtTank(request.at, context) ? { ...request, at: "tank" } : request));
    }
    if (request.kind === "end-hold") return answer(endHold(durable, request, isAtTank(request.at, context)));
    return null;
  },

  watch: (kept, context) => ({
    kept,
    urgent: kept.durable.leftMs === 0 && context.before(HOLD).durable.leftMs > 0,
  }),

  show(draft, { durable }) {
    draft.hold = holdStatus(durable);
  },
};

const keep = (durable: HoldMemory): Kept<HoldMemory, null> => ({ durable, volatile: null });

const answer = ({ memory, accepted, why }: ReturnType<typeof startHold>): Answer<HoldMemory, null> => ({
  kept: keep(memory),
  accepted,
  why,
});

/** Water that reads full answers the question after a hold. The surge of a return pump that stands is no such answer. */
function isAnswered({ signals, start, settings }: ScanContext): boolean {
  const { "return-sensor": flow, "working-float": working } = signals.contacts;
  const full = working.position === "on" && isOnOrAbsent(flow) && isLevelSettled(start, planStart(settings));
  // Where no float shows the level, nothing is poured either, and there is nothing to ask.
  return full || working.doubt === "not-fitted";
}
