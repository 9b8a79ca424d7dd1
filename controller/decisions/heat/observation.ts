import { GUARD_OF, type HeaterPart } from "../../../shared/contract/parts.ts";
import type { ProofPart } from "../../../shared/contract/proving.ts";
import { AMOUNT_MOST_MS } from "../../../shared/settings/limits.ts";
import { heaterOf, type Settings } from "../../../shared/settings/schema.ts";
import { isOnOrAbsent } from "../../signals/contact.ts";
import { HOLD } from "../hold/key.ts";
import { isSeenOn, type ScanContext } from "../machine.ts";
import { PROVING } from "../proving/key.ts";
import { areProven } from "../proving/memory.ts";
import { hasFlow, isHeatSteady, planStart } from "../start.ts";
import { TOP_OFF } from "../top-off/key.ts";
import type { Cover } from "./cover.ts";
import type { HeatFacts } from "./facts.ts";
import { HEAT, TURNS } from "./key.ts";
import { type HeatPlan, planTurns } from "./plan.ts";
import { areApart, hasTurn, type OtherHeater, offForMs, otherThan } from "./turns.ts";

/** Where the heater stands in the falling water, its low float is as good as missing until it was seen to work. */
export function provenBeforeHeat(settings: Settings, heater: HeaterPart): readonly ProofPart[] {
  const own = heaterOf(settings, heater);
  if (own === null) return [];
  const switches: readonly ProofPart[] = [GUARD_OF[heater], heater];
  return own.heaterPlace === "last-chamber" ? [...switches, "low-float"] : switches;
}

/** Signals, quantities and what others remember, turned into the few things that the heat of one heater asks for. */
export function observeHeat(heater: HeaterPart, plan: HeatPlan, context: ScanContext): HeatFacts {
  const { image, elapsed, start, signals, settings } = context;
  const { contacts, vote, watched, hottest, room } = signals;
  const startPlan = planStart(settings);
  const hold = context.keptOf(HOLD).durable;
  const other = otherHeater(heater, context);
  return {
    elapsed,
    control: vote.control,
    warmest: hottest,
    surelyWarmest: signals.surelyHottest,
    coldestC: vote.coldestC,
    coldestAnsweringC: vote.coldestAnsweringC,
    answered: vote.answered,
    trust: vote.trust,
    source: vote.source,
    oneFellSilent: signals.oneFellSilent,
    // Hands pour warm and cold water: what was watched until they came says nothing of the heater afterwards.
    watched: hold.leftMs > 0 ? { ...watched, anew: true } : watched,
    rateKPerH: context.temperatureRateKPerH,
    roomC: room.value,
    board: image.board,
    steady: isHeatSteady(start, startPlan),
    flow: hasFlow(start, startPlan, plan.sharesChamber),
    flowNow: isOnOrAbsent(contacts["return-sensor"]),
    flowSuspect: context.keptOf(TOP_OFF).durable.surgeMissing,
    proven: isHeaterProven(heater, context),
    powered: contacts["mains-sensor"].position !== "off",
    thermostatProven: areProven(context.keptOf(PROVING).durable, [THERMOSTAT_OF[heater]]),
    cover: plan.coverNeeded ? coverOf(contacts) : "shown",
    holding: hold.leftMs > 0,
    holdingWithHeat: hold.leftMs > 0 && hold.withHeat,
    seenOn: image.seen[heater],
    heaterSeenOn: isSeenOn(heater, context),
    turn:
      other === null || hasTurn(heater, context.keptOf(TURNS).volatile, other, vote.control.value, planTurns(settings)),
    apart: other === null || areApart(other, planTurns(settings)),
    otherOffMs: other === null ? AMOUNT_MOST_MS : offForMs(other),
  };
}

function coverOf({ "low-float": low, "working-float": working }: ScanContext["signals"]["contacts"]): Cover {
  if (low.position !== "unknown") return low.position === "on" ? "shown" : "bare";
  return working.position === "on" && !working.chattering ? "lost-and-full" : "lost-and-low";
}

/** The heater's own thermostat, among the parts that are proven. */
export const THERMOSTAT_OF = {
  "heater-1": "heater-thermostat",
  "heater-2": "heater-2-thermostat",
} as const satisfies Record<HeaterPart, ProofPart>;

const isHeaterProven = (heater: HeaterPart, context: ScanContext): boolean =>
  areProven(context.keptOf(PROVING).durable, provenBeforeHeat(context.settings, heater));

/** Null where it is the only one. The second one sees what the first has just decided: they never start together. */
function otherHeater(heater: HeaterPart, context: ScanContext): OtherHeater | null {
  if (context.settings.heat.secondHeater === null) return null;
  const other = otherThan(heater);
  const { durable, volatile } = context.keptOf(HEAT[other]);
  return { durable, volatile, proven: isHeaterProven(other, context) };
}
