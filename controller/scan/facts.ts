import type { LedgerClass } from "../../shared/contract/ledger.ts";
import type { HeaterPart } from "../../shared/contract/parts.ts";
import { AMOUNT_MOST_MS } from "../../shared/settings/limits.ts";
import type { HeatFacts } from "../decisions/heat/facts.ts";
import { hasTurn, type OtherHeater, offForMs } from "../decisions/heat/turns.ts";
import { areProven, isOverdue } from "../decisions/proving/memory.ts";
import { GATES_TOP_OFF } from "../decisions/proving/parts.ts";
import { isPumpWatched } from "../decisions/proving/run.ts";
import { hasFlow, isHeatSteady, isLevelSettled, isSteady, isSupplied } from "../decisions/start.ts";
import type { SalinityClass, TopOffFacts } from "../decisions/top-off/blockers.ts";
import { isOnOrAbsent } from "../signals/contact.ts";
import type { Durable, Volatile } from "./memory.ts";
import type { Moment } from "./sense.ts";

/** What the machines are told: signals and quantities turned into the few things that each of them asks for. */

/** What is sensed behind a contact lags its command; only after this long does power mean a contact that did not open. */
const SENSED_LAG_MS = 2_000;
/** Salinity that fell by more than this in six hours of valid readings, after pours. */
const FAST_FALL = 0.5;

export function topOffFacts(moment: Moment, durable: Durable, volatile: Volatile): TopOffFacts {
  const { image, elapsed, start, signals, plan } = moment;
  const { contacts } = signals;
  const pumpWatched = isPumpWatched(volatile.proving);
  return {
    elapsed,
    working: contacts["working-float"],
    high: contacts["high-float"],
    low: contacts["low-float"],
    reservoir: contacts["reservoir-float"],
    floor: contacts["floor-sensor"],
    mains: contacts["mains-sensor"],
    returnPump: contacts["return-sensor"],
    levelSettled: isLevelSettled(start, plan),
    board: image.board,
    pumpLocked: image.pumpLocked === true,
    steady: isSteady(start, plan),
    supplied: isSupplied(start, plan) && !pumpWatched,
    pumpWatched,
    holding: durable.hold.leftMs > 0,
    question: durable.hold.question,
    disk: image.disk,
    durableSequence: image.durableSequence,
    nextSequence: durable.sequence + 1,
    pumpSeenOn: image.seen["top-off-pump"] === true && volatile.pumpOffMs > SENSED_LAG_MS,
    salinity: salinityClass(moment, durable, volatile.ledger.status.classes.unexplained),
    salinityRecovered: isRecovered(moment),
    evaporation: volatile.ledger.status.classes.evaporation,
    fanBlows: moment.fan === "on",
    proven: areProven(durable.proofs, GATES_TOP_OFF),
    proofOverdue: isOverdue(durable.proofs, "high-float"),
  };
}

function salinityClass({ quantities, plan }: Moment, durable: Durable, unexplained: LedgerClass): SalinityClass {
  const { salinity, salinityChangePer6h } = quantities;
  // Low salinity blocks only in agreement: here probe and ledger say the same.
  const low = salinity.value !== null && salinity.value < plan.topOff.lowSalinity;
  if (low && unexplained === "above") return "diluted";
  if (salinityChangePer6h !== null && salinityChangePer6h < -FAST_FALL && durable.topOff.excessUl > 0) return "diluted";
  // A box without a probe is kept by hand tests; a probe that fell silent, or reads low alone, restricts the budget.
  if (salinity.doubt === "not-fitted") return "credible";
  return salinity.value === null || low ? "doubtful" : "credible";
}

function isRecovered({ quantities, plan }: Moment): boolean {
  const { salinity, salinityChangePer6h } = quantities;
  const low = salinity.value === null || salinity.value < plan.topOff.lowSalinity;
  return !low && salinityChangePer6h !== null && salinityChangePer6h > -FAST_FALL / 2;
}

/** What the heat of one heater is told. `other`: of two, how the other one stands. */
export function heatFacts(
  moment: Moment,
  durable: Durable,
  volatile: Volatile,
  heater: HeaterPart,
  other: OtherHeater | null,
): HeatFacts {
  const { image, elapsed, start, signals, temperatureRateKPerH, plan } = moment;
  const own = (heater === "heater-1" ? null : plan.secondHeat) ?? plan.heat;
  const offMs = heater === "heater-1" ? volatile.heaterOffMs : volatile.secondHeaterOffMs;
  const { contacts, vote, watched, hottest, room } = signals;
  return {
    elapsed,
    control: vote.control,
    warmest: hottest,
    coldestC: vote.coldestC,
    trust: vote.trust,
    source: vote.source,
    thirdFellSilent: signals.thirdFellSilent,
    // Hands pour warm and cold water: what was watched until they came says nothing of the heater afterwards.
    watched: durable.hold.leftMs > 0 ? { ...watched, anew: true } : watched,
    rateKPerH: temperatureRateKPerH,
    roomC: room.value,
    board: image.board,
    steady: isHeatSteady(start, plan),
    flow: hasFlow(start, plan, own),
    flowNow: isOnOrAbsent(contacts["return-sensor"]),
    flowSuspect: durable.topOff.surgeMissing,
    proven: areProven(durable.proofs, plan.provenBeforeHeat[heater]),
    powered: contacts["mains-sensor"].position !== "off",
    covered: !own.coverNeeded || contacts["low-float"].position === "on",
    holdingWithHeat: durable.hold.leftMs > 0 && durable.hold.withHeat,
    heaterSeenOn: image.seen[heater] === true && offMs > SENSED_LAG_MS,
    turn: other === null || hasTurn(heater, volatile.turns, other, vote.control.value, plan.turns),
    otherOffMs: other === null ? AMOUNT_MOST_MS : offForMs(other),
  };
}
