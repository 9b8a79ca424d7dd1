import type { Image } from "../../shared/contract/image.ts";
import type { Outcome, ProveRequest, Request } from "../../shared/contract/requests.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { isAlarmId } from "../alarms/index.ts";
import type { HeatFacts } from "../decisions/heat/facts.ts";
import { clearHeat, proveHeater } from "../decisions/heat/requests.ts";
import { endHold, startHold } from "../decisions/hold.ts";
import { planOf } from "../decisions/plan.ts";
import { proven } from "../decisions/proofs.ts";
import type { TopOffFacts } from "../decisions/top-off/blockers.ts";
import { clearTopOff, handTest, provePump, refill } from "../decisions/top-off/requests.ts";
import { NEW_CARTRIDGE } from "../quantities/cartridge.ts";
import type { Durable } from "./memory.ts";

export interface RequestsAnswered {
  readonly durable: Durable;
  readonly outcomes: readonly Outcome[];
  readonly acknowledged: readonly string[];
}

interface Answer {
  readonly durable: Durable;
  readonly accepted: boolean;
  readonly why: string;
}

const NO_OUTCOMES: readonly Outcome[] = [];
const NOTHING_ACKNOWLEDGED: readonly string[] = [];
const ANSWERS_KEPT = 64;
const USED_BEFORE = "That id was used for another request; ask again with a new one.";

/** Answers every request of this scan in the order in which they came; the same id twice is answered, not repeated. */
export function answerRequests(
  durable: Durable,
  requests: Image["requests"],
  topOff: TopOffFacts,
  heat: HeatFacts,
  settings: Settings,
): RequestsAnswered {
  if (requests.length === 0) return { durable, outcomes: NO_OUTCOMES, acknowledged: NOTHING_ACKNOWLEDGED };
  let memory = durable;
  const outcomes: Outcome[] = [];
  const acknowledged: string[] = [];
  for (const request of requests) {
    const asked = JSON.stringify(request);
    const known = memory.answered.find((answered) => answered.id === request.id);
    if (known !== undefined) {
      const { id, accepted, why } = known;
      outcomes.push(known.asked === asked ? { id, accepted, why } : { id, accepted: false, why: USED_BEFORE });
      continue;
    }
    const answer = answerOne(memory, request, topOff, heat, settings);
    if (request.kind === "acknowledge" && answer.accepted) acknowledged.push(request.alarm);
    const outcome = { id: request.id, accepted: answer.accepted, why: answer.why };
    outcomes.push(outcome);
    memory = { ...answer.durable, answered: [...memory.answered.slice(1 - ANSWERS_KEPT), { ...outcome, asked }] };
  }
  return { durable: memory, outcomes, acknowledged };
}

function answerOne(
  durable: Durable,
  request: Request,
  topOff: TopOffFacts,
  heat: HeatFacts,
  settings: Settings,
): Answer {
  const plan = planOf(settings);
  switch (request.kind) {
    case "hold": {
      const { memory, accepted, why } = startHold(durable.hold, request);
      return { durable: { ...durable, hold: memory }, accepted, why };
    }
    case "end-hold": {
      const { memory, accepted, why } = endHold(durable.hold, request);
      return { durable: { ...durable, hold: memory }, accepted, why };
    }
    case "acknowledge": {
      const known = request.alarm === "all" || isAlarmId(request.alarm);
      return { durable, accepted: known, why: known ? "Acknowledged." : "There is no alarm of that name." };
    }
    case "clear": {
      if (request.machine === "heat") {
        const { durable: cleared, accepted, why } = clearHeat(durable.heat, request, heat, plan.heat);
        return { durable: { ...durable, heat: cleared }, accepted, why };
      }
      const { memory, accepted, why } = clearTopOff(durable.topOff, request, topOff, plan.topOff);
      return { durable: { ...durable, topOff: memory }, accepted, why };
    }
    case "hand-test": {
      const { memory, accepted, why } = handTest(durable.topOff, request, plan.topOff);
      return { durable: { ...durable, topOff: memory }, accepted, why };
    }
    case "refill": {
      const { memory, accepted, why } = refill(durable.topOff, request, plan.topOff);
      return { durable: { ...durable, topOff: memory }, accepted, why };
    }
    case "cartridge-changed":
      return {
        durable: { ...durable, cartridge: NEW_CARTRIDGE },
        accepted: true,
        why: "Noted: litres and days of the cartridge count from now.",
      };
    case "prove":
      return answerProve(durable, request, topOff, settings);
    case "proven": {
      const { memory, accepted, why } = proven(durable.proofs, request);
      return { durable: { ...durable, proofs: memory }, accepted, why };
    }
  }
}

function answerProve(durable: Durable, request: ProveRequest, topOff: TopOffFacts, settings: Settings): Answer {
  if (request.part === "heater-1") {
    const { durable: heat, accepted, why } = proveHeater(durable.heat, request);
    return { durable: { ...durable, heat }, accepted, why };
  }
  const { memory, accepted, why } = provePump(durable.topOff, request, topOff, planOf(settings).topOff);
  return { durable: { ...durable, topOff: memory }, accepted, why };
}
