import type { Calibrated } from "../../shared/contract/calibration.ts";
import type { Image } from "../../shared/contract/image.ts";
import type { WaterThermometer } from "../../shared/contract/parts.ts";
import { REASONS } from "../../shared/contract/reasons.ts";
import type { CalibrateRequest, HoldRequest, Outcome, ProveRequest, Request } from "../../shared/contract/requests.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { isAlarmId, SCAN_STOPPED } from "../alarms/index.ts";
import { settingsWith } from "../decisions/calibration/effective.ts";
import type { CalibrationMemory } from "../decisions/calibration/memory.ts";
import { undoCalibration } from "../decisions/calibration/requests.ts";
import type { SessionMemory, SessionReads } from "../decisions/calibration/session.ts";
import { calibrate } from "../decisions/calibration/steps.ts";
import type { HeatFacts } from "../decisions/heat/facts.ts";
import { clearHeat, proveHeater } from "../decisions/heat/requests.ts";
import { endHold, startHold } from "../decisions/hold.ts";
import { planOf } from "../decisions/plan.ts";
import { type ProvingMemory, voided } from "../decisions/proving/memory.ts";
import {
  atTank,
  begun,
  endRun,
  isAtTank,
  NOT_AT_TANK,
  proven,
  runRefused,
  type WatchFacts,
  watchRefused,
} from "../decisions/proving/requests.ts";
import { HEATER_RUNS, isSwitched, PUMP_RUNS } from "../decisions/proving/run.ts";
import { begunWords } from "../decisions/proving/words.ts";
import type { TopOffFacts } from "../decisions/top-off/blockers.ts";
import { clearTopOff, endPumpRun, handTest, provePump, refill } from "../decisions/top-off/requests.ts";
import { NEW_CARTRIDGE } from "../quantities/cartridge.ts";
import { reservoirAnswer } from "../quantities/ledger/index.ts";
import type { Answered, Durable } from "./memory.ts";
import { trusted } from "./trust.ts";

/** What a request may change. */
export interface Answering {
  readonly durable: Durable;
  readonly proving: ProvingMemory;
  /** The calibration under way. */
  readonly session: SessionMemory | null;
  /** Refusals already given, newest last. They changed nothing, so no disk need keep them. */
  readonly refused: readonly Answered[];
}

/** What is looked at to answer it. */
export interface RequestFacts {
  readonly topOff: TopOffFacts;
  readonly heat: HeatFacts;
  /** Null where there is no second heater. */
  readonly secondHeat: HeatFacts | null;
  readonly watch: WatchFacts;
  /** Which thermometers moved faster than water can. */
  readonly outOfWater: readonly WaterThermometer[];
  readonly reads: SessionReads;
  /** As calibrated, and as the file says. */
  readonly settings: Settings;
  readonly file: Settings;
}

export interface RequestsAnswered extends Answering {
  readonly outcomes: readonly Outcome[];
  readonly acknowledged: readonly string[];
}

interface Answer extends Omit<Answering, "refused"> {
  readonly accepted: boolean;
  readonly why: string;
}

const NO_OUTCOMES: readonly Outcome[] = [];
const NOTHING_ACKNOWLEDGED: readonly string[] = [];
const ANSWERS_KEPT = 64;
const CONTRADICTING =
  "The thermometers contradict each other. Find the one that is wrong first; then prove the heater.";
const NO_SECOND_HEATER = "This box has no second heater: its settings name none.";
const USED_BEFORE = "That id was used for another request; ask again with a new one.";

/**
 * Answers every request of this scan in the order in which they came. Here alone repeated ids are judged, wherever they
 * came from: the same id with the same request is answered as before and not carried out again; with another request
 * it is refused. A refusal leaves the durable memory as it was, object for object, so that nothing is written for it.
 */
export function answerRequests(
  before: Answering,
  requests: Image["requests"],
  factsOf: (durable: Durable) => RequestFacts,
): RequestsAnswered {
  if (requests.length === 0) return { ...before, outcomes: NO_OUTCOMES, acknowledged: NOTHING_ACKNOWLEDGED };
  let state = before;
  const facts = factsOf(before.durable);
  const outcomes: Outcome[] = [];
  const acknowledged: string[] = [];
  for (const request of requests) {
    const asked = JSON.stringify(request);
    const known = answerTo(request.id, state);
    if (known !== undefined) {
      const { id, accepted, why } = known;
      outcomes.push(known.asked === asked ? { id, accepted, why } : { id, accepted: false, why: USED_BEFORE });
      continue;
    }
    const answer = answerOne(state, request, facts);
    if (request.kind === "acknowledge" && answer.accepted) acknowledged.push(request.alarm);
    const outcome = { id: request.id, accepted: answer.accepted, why: answer.why };
    outcomes.push(outcome);
    state = remembered(state, answer, { ...outcome, asked });
  }
  return { ...state, outcomes, acknowledged };
}

const answerTo = (id: string, { durable, refused }: Answering): Answered | undefined =>
  durable.answered.find((answered) => answered.id === id) ?? refused.find((answered) => answered.id === id);

function remembered(before: Answering, { durable, proving, session, accepted }: Answer, given: Answered): Answering {
  if (!accepted) {
    const refused = [...before.refused.slice(1 - ANSWERS_KEPT), given];
    // What was shown to be wrong may void a proof although it is refused: that is kept.
    const changed = (Object.keys(durable) as (keyof Durable)[]).some((part) => durable[part] !== before.durable[part]);
    return { durable: changed ? durable : before.durable, proving, session, refused };
  }
  const answered = [...durable.answered.slice(1 - ANSWERS_KEPT), given];
  return { durable: { ...durable, answered }, proving, session, refused: before.refused };
}

function answerOne(state: Answering, request: Request, facts: RequestFacts): Answer {
  const { durable, proving, session } = state;
  switch (request.kind) {
    case "at-tank":
      return { durable, session, ...atTank(proving, request) };
    case "prove":
      return answerProve(state, request, facts);
    case "end-run":
      return isAtTank(request.at, proving) ? answerEndRun(state) : refused(state, NOT_AT_TANK);
    case "proven": {
      const { proofs, calibration } = durable;
      const { accepted, why, ...after } = proven({ proofs, proving, calibration }, request, facts.file);
      const { proving: seen, ...kept } = after;
      return { durable: { ...durable, ...kept }, proving: seen, session, accepted, why };
    }
    case "trust":
      return { ...state, ...trusted(request, isAtTank(request.at, proving), facts.outOfWater) };
    case "calibrate":
      return isAtTank(request.at, proving) ? answerCalibrate(state, request, facts) : refused(state, NOT_AT_TANK);
    case "undo-calibration": {
      if (!isAtTank(request.at, proving)) return refused(state, NOT_AT_TANK);
      // What a session has read was corrected by what would be taken back.
      if (session !== null) return refused(state, "A calibration is under way: accept or abandon it first.");
      const { calibration, accepted, why } = undoCalibration(durable.calibration, request, facts.file);
      // The pump was proven with the flow that is taken back, the level with its mark.
      const numberOf = ({ values }: CalibrationMemory, what: Calibrated) => values[what]?.number;
      const other = (what: Calibrated) => numberOf(calibration, what) !== numberOf(durable.calibration, what);
      const pump = other("top-off-flow") ? voided(durable.proofs, "top-off-pump") : durable.proofs;
      const level = other("pump-off-level-mm") || other("high-float-mm");
      const proofs = level ? voided(pump, "pump-off-level") : pump;
      return { durable: { ...durable, calibration, proofs }, proving, session, accepted, why };
    }
    case "hold":
      return answerHold(state, request);
    default:
      return { proving, session, ...answerWater(durable, request, facts, isAtTank(request.at, proving)) };
  }
}

const refused = (state: Answering, why: string): Answer => ({ ...state, accepted: false, why });

type WaterRequest = Exclude<
  Request,
  { readonly kind: "at-tank" | "prove" | "end-run" | "proven" | "trust" | "calibrate" | "undo-calibration" | "hold" }
>;

/** What is asked of the water itself. */
function answerWater(
  durable: Durable,
  request: WaterRequest,
  facts: RequestFacts,
  thereNow: boolean,
): Omit<Answer, "proving" | "session"> {
  const plan = planOf(facts.settings);
  switch (request.kind) {
    case "end-hold": {
      const { memory, accepted, why } = endHold(durable.hold, request, thereNow);
      return { durable: { ...durable, hold: memory }, accepted, why };
    }
    case "acknowledge": {
      const known = request.alarm === "all" || isAlarmId(request.alarm);
      return {
        durable: toldOfStop(durable, request.alarm),
        accepted: known,
        why: known ? "Acknowledged." : "There is no alarm of that name.",
      };
    }
    case "clear": {
      if (request.machine === "heat") {
        const { durable: heat, accepted, why } = clearHeat(durable.heat, request, facts.heat, plan.heat);
        return { durable: { ...durable, heat }, accepted, why };
      }
      if (request.machine === "second-heat") {
        if (facts.secondHeat === null) return { durable, accepted: false, why: NO_SECOND_HEATER };
        const answer = clearHeat(durable.secondHeat, request, facts.secondHeat, plan.heat);
        const { durable: secondHeat, accepted, why } = answer;
        return { durable: { ...durable, secondHeat }, accepted, why };
      }
      const { memory, accepted, why } = clearTopOff(durable.topOff, request, facts.topOff, plan.topOff);
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
    case "reservoir-test":
      return { durable, ...reservoirAnswer(request.salinity) };
    case "cartridge-changed":
      return {
        durable: { ...durable, cartridge: NEW_CARTRIDGE },
        accepted: true,
        why: "Noted: litres and days of the cartridge count from now.",
      };
  }
}

/** Whoever acknowledges what was announced has been told; in the scan that announces it nobody can have been. */
function toldOfStop(durable: Durable, acknowledged: string): Durable {
  const announced = durable.alarms.restless.some(({ id, active }) => id === SCAN_STOPPED && active);
  const meant = acknowledged === "all" || acknowledged === SCAN_STOPPED;
  return announced && meant ? { ...durable, stoppedBy: null } : durable;
}

/** A hold stops the pump at once, in a proving run too: that run may be begun anew in the hold, by whoever stands there. */
function answerHold(state: Answering, request: HoldRequest): Answer {
  const { durable, proving, session } = state;
  // Whoever said at the tank that they are at it holds the heat too, from the page in their hand.
  const asked = isAtTank(request.at, proving) ? ({ ...request, at: "tank" } as const) : request;
  const { memory: hold, accepted, why } = startHold(durable.hold, asked);
  const held = { durable: { ...durable, hold }, proving, session, accepted, why };
  if (!accepted || durable.topOff.state !== "proving") return held;
  const ended = answerEndRun(state);
  return { ...held, durable: { ...runsEnded(ended.durable), hold }, proving: ended.proving };
}

/** Begins a run: of the pump or the heater by their own machines, under all of their trips, or a watch of the scan. */
function answerProve(state: Answering, request: ProveRequest, facts: RequestFacts): Answer {
  const { durable, proving, session } = state;
  const { part, seconds } = request;
  const no = runRefused(proving, request);
  if (no !== null) return refused(state, no);
  const proofs = { ...durable.proofs, running: part };
  const run = begun(proving, request);
  if (PUMP_RUNS.includes(part)) {
    const plan = planOf(facts.settings).topOff;
    const { memory: topOff, accepted, why } = provePump(durable.topOff, request, facts.topOff, plan);
    return accepted
      ? { durable: { ...durable, topOff, proofs }, proving: run, session, accepted, why: begunWords(part, seconds) }
      : refused(state, why);
  }
  if (isSwitched(part)) {
    if (facts.heat.trust === "undecided") return refused(state, CONTRADICTING);
    if (durable.hold.leftMs > 0 && durable.hold.withHeat) return refused(state, REASONS["hold-with-heat"]);
    const machine = HEATER_RUNS.includes(part) ? "heat" : "secondHeat";
    if (facts[machine] === null) return refused(state, NO_SECOND_HEATER);
    const { durable: heat, accepted, why } = proveHeater(durable[machine], request);
    const heated = { ...durable, [machine]: heat, proofs };
    return accepted
      ? { durable: heated, proving: run, session, accepted, why: begunWords(part, seconds) }
      : refused(state, why);
  }
  const watch = watchRefused(part, facts.watch);
  if (watch !== null) return refused(state, watch);
  return { durable: { ...durable, proofs }, proving: run, session, accepted: true, why: begunWords(part, seconds) };
}

/** The machines are told to end what they run; what they say of it no longer counts. */
function answerEndRun(state: Answering): Answer {
  const { durable } = state;
  const { proving, accepted, why } = endRun(state.proving);
  if (!accepted) return refused(state, why);
  const proofs = { ...durable.proofs, running: null };
  return { ...state, durable: runsEnded({ ...durable, proofs }), proving, accepted, why };
}

/** The machines let go of what they run. A millisecond is left, so that the heat itself sees its run end. */
const runsEnded = (durable: Durable): Durable => ({
  ...durable,
  topOff: endPumpRun(durable.topOff),
  heat: { ...durable.heat, provingMs: Math.min(1, durable.heat.provingMs) },
  secondHeat: { ...durable.secondHeat, provingMs: Math.min(1, durable.secondHeat.provingMs) },
});

/** A run that nobody follows any more, because it has failed, is over for its machine too. */
export function onlyFollowedRuns(state: Answering): Answering {
  const { durable, proving } = state;
  const heats = durable.heat.provingMs > 0 || durable.secondHeat.provingMs > 0;
  if (proving.run !== null || (durable.topOff.state !== "proving" && !heats)) return state;
  return { ...state, durable: runsEnded(durable) };
}

function answerCalibrate(state: Answering, request: CalibrateRequest, facts: RequestFacts): Answer {
  const { durable, session: before } = state;
  const asked = { calibration: durable.calibration, session: before };
  const { calibration, session, accepted, why } = calibrate(asked, request, facts.reads, facts.file);
  // Less room between the water with the return pump off and the high float than was seen to be enough.
  const narrower = roomMm(calibration, facts.file) < roomMm(durable.calibration, facts.file);
  if (!narrower) return { ...state, durable: { ...durable, calibration }, session, accepted, why };
  const proofs = voided(durable.proofs, "pump-off-level");
  return { ...state, durable: { ...durable, calibration, proofs }, session, accepted, why: `${why} ${NARROWER}` };
}

const NARROWER = "Less room is left over the water with the return pump off: prove that level again.";

function roomMm({ values }: CalibrationMemory, file: Settings): number {
  const { highFloatMm, pumpOffLevelMm } = settingsWith(file, values).tank;
  return highFloatMm - pumpOffLevelMm;
}
