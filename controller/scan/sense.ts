import type { Elapsed } from "../../shared/contract/elapsed.ts";
import type { Image } from "../../shared/contract/image.ts";
import type { Quantities } from "../../shared/contract/record.ts";
import type { Signal } from "../../shared/contract/signal.ts";
import { SCAN_GAP_MS } from "../../shared/settings/limits.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { correctionsOf } from "../decisions/calibration/corrections.ts";
import { calibrationAgeMs } from "../decisions/calibration/memory.ts";
import { type Plan, planOf } from "../decisions/plan.ts";
import { followStart, isLevelSettled, type StartMemory } from "../decisions/start.ts";
import { type FanSeen, fanSeen } from "../quantities/fan.ts";
import { type QuantitiesMemory, reckonQuantities } from "../quantities/index.ts";
import { isOnOrAbsent } from "../signals/contact.ts";
import type { Corrections } from "../signals/corrected.ts";
import { readSignals, type Signals, type SignalsMemory, type SignalsScene } from "../signals/index.ts";
import { doubted } from "../signals/probe.ts";
import type { Durable, Memory } from "./memory.ts";

/** What one scan knows before it decides. */
export interface Moment {
  readonly image: Image;
  readonly elapsed: Elapsed;
  readonly plan: Plan;
  readonly signals: Signals;
  readonly signalsMemory: SignalsMemory;
  readonly quantities: Quantities;
  readonly quantitiesMemory: QuantitiesMemory;
  readonly temperatureRateKPerH: number | null;
  readonly start: StartMemory;
  readonly corrections: Corrections;
  readonly fan: FanSeen;
}

const MS_PER_DAY = 86_400_000;
/** After a hold, the water is stirred for this long. */
const STIRRED_MS = 1_800_000;

/** The first half of a scan: readings become signals, signals become quantities. */
export function sense({ durable, volatile }: Memory, image: Image, settings: Settings): Moment {
  const plan = planOf(settings);
  const elapsed = elapsedOf(image, plan);
  const rateMeansNothing =
    durable.hold.leftMs > 0 || durable.hold.sinceMs < STIRRED_MS || !isLevelSettled(volatile.start, plan);
  const cellIsOut = volatile.session?.session === "conductivity";
  const scene: SignalsScene = {
    elapsed,
    rateMeansNothing,
    heaterSwitched: volatile.heaterSwitched,
    pouring: durable.topOff.state === "pouring" || durable.topOff.state === "settling",
    corrections: correctionsOf(durable.calibration.values, volatile.corrected),
    cellIsOut,
    bubbles: volatile.start.flow === "on" && !isLevelSettled(volatile.start, plan),
  };
  const { memory: signalsMemory, signals } = readSignals(volatile.signals, image.readings, scene);
  const calibrationDays = cellDays(durable, settings);
  const { dueUl } = durable.topOff;
  const moving = isOnOrAbsent(signals.contacts["return-sensor"]);
  const reckoned = reckonQuantities(
    volatile.quantities,
    cellIsOut ? outOfTheTank(signals) : signals,
    {
      elapsed: scene.corrections.changed ? { ...elapsed, gap: true } : elapsed,
      rateMeansNothing,
      calibrationDays,
      dueUl,
    },
    settings,
  );
  const quantities = moving ? reckoned.quantities : ofOwnChamber(reckoned.quantities);
  return {
    image,
    elapsed,
    plan,
    signals,
    signalsMemory,
    quantities,
    quantitiesMemory: reckoned.memory,
    temperatureRateKPerH: reckoned.temperatureRateKPerH,
    corrections: scene.corrections,
    fan: fanSeen(quantities.temperature, settings.topOff.fan),
    start: followStart(volatile.start, startFacts(signals, image, elapsed), plan),
  };
}

const elapsedOf = ({ elapsedMs: ms }: Image, { creditMostMs }: Plan): Elapsed => ({
  ms,
  creditMs: Math.min(ms, creditMostMs),
  gap: ms > SCAN_GAP_MS,
});

/** While the cell is calibrated it hangs in a bottle or in the air: what it says is the session's, and never the tank's. */
const outOfTheTank = (signals: Signals): Signals => ({
  ...signals,
  conductivity: { ...doubted(signals.conductivity, "bad", "being-calibrated"), lastValue: null },
});

/** Without flow a probe knows the water around it and no other: said, and decided as before. */
const ofOwnChamber = (quantities: Quantities): Quantities => ({
  ...quantities,
  temperature: narrowed(quantities.temperature),
  warmest: narrowed(quantities.warmest),
  salinity: narrowed(quantities.salinity),
  specificGravity: narrowed(quantities.specificGravity),
});

const narrowed = (signal: Signal): Signal =>
  signal.quality === "good" ? doubted(signal, "uncertain", "own-chamber") : signal;

/** Days since the cell was calibrated: here, or as the settings say. */
export function cellDays({ calibration, calibrationMs }: Durable, { conductivity }: Settings): number {
  const ageMs = calibrationAgeMs(calibration, "conductivity");
  return ageMs === null ? conductivity.calibratedDaysAgo + calibrationMs / MS_PER_DAY : ageMs / MS_PER_DAY;
}

function startFacts({ contacts, vote }: Signals, image: Image, elapsed: Elapsed) {
  const inputsKnown = contacts["working-float"].position !== "unknown" && contacts["high-float"].position !== "unknown";
  return {
    elapsed,
    board: image.board,
    inputsKnown: inputsKnown || contacts["working-float"].doubt === "not-fitted",
    temperatureKnown: vote.trust !== "none",
    mains: contacts["mains-sensor"],
    returnPump: contacts["return-sensor"],
  };
}
