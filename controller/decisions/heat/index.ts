import { GUARD_OF, type HeaterPart } from "../../../shared/contract/parts.ts";
import type { ProvingRun } from "../../../shared/contract/proving.ts";
import { REASONS } from "../../../shared/contract/reasons.ts";
import { LOCK_OF, type ProveRequest } from "../../../shared/contract/requests.ts";
import { HOLD } from "../hold/key.ts";
import { type Answer, accept, type Kept, type Machine, refuse, type ScanContext } from "../machine.ts";
import { PROVING } from "../proving/key.ts";
import { HEAT, type HeatDecided } from "./key.ts";
import { stepHeat } from "./machine.ts";
import {
  FRESH_HEAT_DURABLE,
  FRESH_HEAT_VOLATILE,
  type HeatDurable,
  type HeatTestimony,
  type HeatVolatile,
  heatInDoubt,
  storedHeat,
  storedHeatTestimony,
  unwatched,
} from "./memory.ts";
import { observeHeat, provenBeforeHeat, THERMOSTAT_OF } from "./observation.ts";
import { type HeatPlan, planHeat } from "./plan.ts";
import { proposeHeat } from "./proposal.ts";
import { clearHeat, type HeatAnswered, proveHeater } from "./requests.ts";
import { heatStatus } from "./status.ts";

type Own = Kept<HeatDurable, HeatVolatile>;
type OwnAnswer = Answer<HeatDurable, HeatVolatile>;

/** The heat of one heater. Of two, each is a machine of its own with a memory of its own, and they take turns. */
export function heat(heater: HeaterPart): Machine<HeatDurable, HeatVolatile, HeatDecided, HeatTestimony> {
  const key = HEAT[heater];
  const lock = LOCK_OF[heater];
  const guard = GUARD_OF[heater];
  const runs: readonly ProvingRun[] = [heater, guard, THERMOSTAT_OF[heater]];
  return {
    key,
    isFitted: (settings) => planHeat(settings, heater) !== null,
    fresh: () => ({ durable: FRESH_HEAT_DURABLE, volatile: FRESH_HEAT_VOLATILE }),
    lost: (_, { testimony, occurrence }) => heatInDoubt(FRESH_HEAT_DURABLE, testimony, occurrence),
    afterRestart: ({ durable, volatile }, restart) => ({
      durable:
        restart.memory === "sound"
          ? { ...durable, provingMs: 0 }
          : heatInDoubt(durable, restart.testimony, restart.occurrence),
      volatile,
    }),
    schema: () => storedHeat,
    testimony: {
      schema: storedHeatTestimony,
      of: ({ latch, oneContact, noEffect }) => ({ lock: (latch ?? oneContact)?.reason ?? null, noEffect }),
    },
    gates: { name: lock, of: (settings) => provenBeforeHeat(settings, heater) },
    runs,
    runOf: ({ memory, proved, why }) => {
      const { provingMs } = memory.durable;
      return { relay: heater, underWay: provingMs > 0, ended: proved, why, leftMs: provingMs, waiting: false };
    },

    /** A run that nobody follows any more, because it has failed, is over. */
    passTime: (kept, context) =>
      kept.durable.provingMs > 0 && context.keptOf(PROVING).volatile.proving.run === null ? letGo(kept) : kept,

    request(kept, request, context) {
      const plan = planHeat(context.settings, heater);
      if (request.kind === "clear" && request.machine === lock) {
        if (plan === null) return refuse(kept, NO_SECOND_HEATER);
        return answer(kept, clearHeat(kept.durable, request, observeHeat(heater, plan, context), plan));
      }
      if (request.kind === "prove" && runs.includes(request.part)) return answerProve(kept, request, plan, context);
      return request.kind === "end-run" ? accept(letGo(kept), null) : null;
    },

    step({ durable, volatile }, context) {
      const plan = planHeat(context.settings, heater) as HeatPlan;
      const facts = observeHeat(heater, plan, context);
      // A thermometer that was corrected anew steps although the water did not: what was watched by it begins again.
      const before = { durable, volatile: context.corrections.changed ? unwatched(volatile) : volatile };
      const verdict = stepHeat(before, facts, plan);
      return {
        kept: verdict.memory,
        verdict: { ...verdict, facts },
        proposal: proposeHeat(heater, verdict, context.keptOf(PROVING).volatile.proving.run?.part ?? null),
        urgent: verdict.urgent,
      };
    },

    show(draft, _, context) {
      const verdict = context.verdictOf(key) as HeatDecided;
      draft.heaters.push(heatStatus(heater, verdict, verdict.facts, planHeat(context.settings, heater) as HeatPlan));
    },
  };
}

const NO_SECOND_HEATER = "This box has no second heater: its settings name none.";
const CONTRADICTING =
  "The thermometers contradict each other. Find the one that is wrong first; then prove the heater.";

function answer({ volatile }: Own, { durable, accepted, why }: HeatAnswered): OwnAnswer {
  return { kept: { durable, volatile }, accepted, why };
}

function answerProve(kept: Own, request: ProveRequest, plan: HeatPlan | null, context: ScanContext): OwnAnswer {
  const hold = context.keptOf(HOLD).durable;
  if (context.signals.vote.trust === "undecided") return refuse(kept, CONTRADICTING);
  if (hold.leftMs > 0 && hold.withHeat) return refuse(kept, REASONS["hold-with-heat"]);
  if (plan === null) return refuse(kept, NO_SECOND_HEATER);
  const begun = answer(kept, proveHeater(kept.durable, request));
  return begun.accepted ? { ...begun, why: null } : begun;
}

/** It lets go of what it runs. A millisecond is left, so that the heat itself sees its run end. */
const letGo = ({ durable, volatile }: Own): Own => ({
  durable: { ...durable, provingMs: Math.min(1, durable.provingMs) },
  volatile,
});
