import type { ProvingRun } from "../../../shared/contract/proving.ts";
import { creditMostMs } from "../../../shared/settings/waits.ts";
import { type Answer, accept, type Kept, type Machine, type MachineRun } from "../machine.ts";
import { PROVING } from "../proving/key.ts";
import { POURING_RUNS } from "../proving/parts.ts";
import { TOP_OFF, type TopOffDecided } from "./key.ts";
import { stepTopOff } from "./machine.ts";
import {
  lostTopOff,
  olderTopOff,
  provenTopOff,
  storedTopOff,
  storedTopOffTestimony,
  type TopOffMemory,
  type TopOffTestimony,
  topOffAfterRestart,
} from "./memory.ts";
import { observeTopOff, PROVEN_BEFORE_TOP_OFF } from "./observation.ts";
import { planTopOff } from "./plan.ts";
import { proposePour } from "./proposal.ts";
import { type Answered, clearTopOff, endPumpRun, handTest, provePump, refill } from "./requests.ts";
import { topOffStatus } from "./status.ts";

/** Fresh water for what has evaporated: the pump and its guard. */
export const topOff: Machine<TopOffMemory, null, TopOffDecided, TopOffTestimony> = {
  key: TOP_OFF,
  fresh: (settings) => keep(provenTopOff(planTopOff(settings))),
  lost: (settings, { testimony, occurrence }) => lostTopOff(planTopOff(settings), occurrence, testimony),
  afterRestart({ durable }, restart, settings) {
    const plan = planTopOff(settings);
    return keep(
      restart.memory === "sound"
        ? topOffAfterRestart(durable, restart.offMs, plan)
        : olderTopOff(durable, plan, restart.occurrence, restart.testimony),
    );
  },
  schema: () => storedTopOff,
  testimony: {
    schema: storedTopOffTestimony,
    of: ({ latch, guardLatched }) => ({ lock: latch?.reason ?? null, guardLocked: guardLatched }),
  },
  gates: { name: "top-off", of: () => PROVEN_BEFORE_TOP_OFF },
  runs: POURING_RUNS,
  runOf,

  /** A run that nobody follows any more, because it has failed, is over. */
  passTime: (kept, context) =>
    kept.durable.state === "proving" && context.keptOf(PROVING).volatile.proving.run === null
      ? keep(endPumpRun(kept.durable))
      : kept,

  request({ durable }, request, context) {
    const plan = planTopOff(context.settings);
    switch (request.kind) {
      case "clear":
        return request.machine === "top-off"
          ? answer(clearTopOff(durable, request, observeTopOff(context), plan))
          : null;
      case "hand-test":
        return answer(handTest(durable, request, plan));
      case "refill":
        return answer(refill(durable, request, plan));
      case "prove": {
        if (!(POURING_RUNS as readonly ProvingRun[]).includes(request.part)) return null;
        const begun = answer(provePump(durable, request, observeTopOff(context), plan));
        return begun.accepted ? { ...begun, why: null } : begun;
      }
      // A hold stops the pump at once, in a proving run too.
      case "hold":
      case "end-run":
        return accept(keep(endPumpRun(durable)), null);
      default:
        return null;
    }
  },

  step({ durable }, context) {
    const facts = observeTopOff(context);
    const verdict = stepTopOff(durable, facts, planTopOff(context.settings), creditMostMs(context.settings));
    return {
      kept: keep(verdict.memory),
      verdict: { ...verdict, facts },
      proposal: proposePour(verdict, context.keptOf(PROVING).volatile.proving.run?.part ?? null),
      urgent: verdict.urgent,
    };
  },

  show(draft, _, context) {
    const verdict = context.verdictOf(TOP_OFF) as TopOffDecided;
    draft.topOff = topOffStatus(verdict, verdict.facts, planTopOff(context.settings));
  },
};

const keep = (durable: TopOffMemory): Kept<TopOffMemory, null> => ({ durable, volatile: null });

const answer = ({ memory, accepted, why }: Answered): Answer<TopOffMemory, null> => ({
  kept: keep(memory),
  accepted,
  why,
});

function runOf({ memory, proved, pour, why }: TopOffDecided): MachineRun {
  const underWay = memory.state === "proving";
  return {
    relay: "top-off-pump",
    underWay,
    ended: proved,
    why,
    leftMs: underWay ? memory.provingMs - memory.pourMs : 0,
    waiting: underWay && !pour,
  };
}
