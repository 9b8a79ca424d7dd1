import type { Image } from "../../shared/contract/image.ts";
import { HEATER_PARTS, type WaterThermometer } from "../../shared/contract/parts.ts";
import type { Quantities } from "../../shared/contract/record.ts";
import type { Signal } from "../../shared/contract/signal.ts";
import { MIXED_AFTER_MS } from "../../shared/settings/limits.ts";
import type { Settings } from "../../shared/settings/schema.ts";
import { correctionsOf } from "../decisions/calibration/corrections.ts";
import { settingsWith } from "../decisions/calibration/effective.ts";
import { CALIBRATION } from "../decisions/calibration/key.ts";
import { type CalibrationMemory, calibrationAgeMs } from "../decisions/calibration/memory.ts";
import { HEAT } from "../decisions/heat/key.ts";
import { planHeat } from "../decisions/heat/plan.ts";
import { HOLD } from "../decisions/hold/key.ts";
import type { Sensed } from "../decisions/machine.ts";
import { followStart, isLevelSettled, planStart } from "../decisions/start.ts";
import { THERMOMETER_TRUST } from "../decisions/thermometer-trust.ts";
import { TOP_OFF } from "../decisions/top-off/key.ts";
import { fanSeen } from "../quantities/fan.ts";
import { reckonQuantities } from "../quantities/index.ts";
import { isOnOrAbsent } from "../signals/contact.ts";
import { readSignals, type Signals, type SignalsMemory, type SignalsScene } from "../signals/index.ts";
import { doubted } from "../signals/probe.ts";
import { believed, type ThermometerMemory } from "../signals/thermometer.ts";
import { elapsedSince } from "./elapsed.ts";
import { keptIn, type Memory, type Volatile } from "./memory.ts";

/** What one scan knows before anything is decided, and what sensing remembers of it. */
export interface SensedNow extends Sensed {
  readonly memory: Pick<Volatile, "signals" | "quantities" | "start">;
}

const MS_PER_DAY = 86_400_000;

/** The first half of a scan: readings become signals, signals become quantities. */
export function sense(memory: Memory, image: Image, file: Settings): SensedNow {
  const { volatile } = memory;
  const calibration = keptIn(memory, CALIBRATION);
  const settings = settingsWith(file, calibration.durable.values);
  const scene = sceneOf(memory, image, settings);
  const before = withTrust(volatile.signals, keptIn(memory, THERMOMETER_TRUST).durable);
  const { memory: signalsMemory, signals } = readSignals(before, image.readings, scene);
  const calibrationDays = cellDays(calibration.durable, settings);
  const { elapsed, corrections, rateMeansNothing } = scene;
  const reckoned = reckonQuantities(
    volatile.quantities,
    scene.cellIsOut ? outOfTheTank(signals) : signals,
    {
      elapsed: corrections.changed ? { ...elapsed, gap: true } : elapsed,
      rateMeansNothing,
      calibrationDays,
      dueUl: keptIn(memory, TOP_OFF).durable.dueUl,
    },
    settings,
  );
  const moving = isOnOrAbsent(signals.contacts["return-sensor"]);
  const quantities = moving ? reckoned.quantities : ofOwnChamber(reckoned.quantities);
  const start = followStart(volatile.start, startFacts(signals, image, scene), planStart(settings));
  return {
    image,
    elapsed,
    settings,
    file,
    signals,
    outOfWater: outOfWater(signalsMemory),
    quantities,
    temperatureRateKPerH: reckoned.temperatureRateKPerH,
    start,
    corrections,
    fan: fanSeen(quantities.temperature, settings.topOff.fan),
    calibrationDays,
    memory: { signals: signalsMemory, quantities: reckoned.memory, start },
  };
}

/** What was decided until now, as far as it bears on what readings mean. */
function sceneOf(memory: Memory, image: Image, settings: Settings): SignalsScene {
  const { start, commands, commandsBefore } = memory.volatile;
  const hold = keptIn(memory, HOLD).durable;
  const topOff = keptIn(memory, TOP_OFF).durable;
  const { durable, volatile } = keptIn(memory, CALIBRATION);
  const settled = isLevelSettled(start, planStart(settings));
  const rateMeansNothing = hold.leftMs > 0 || hold.sinceMs < MIXED_AFTER_MS || !settled;
  const session = volatile.session?.session ?? null;
  return {
    elapsed: elapsedSince(image.elapsedMs, settings),
    rateMeansNothing,
    heaterSwitched: HEATER_PARTS.some((heater) => commands[heater] !== commandsBefore[heater]),
    pouring: topOff.state === "pouring" || topOff.state === "settling",
    corrections: correctionsOf(durable.values, volatile.corrected),
    cellIsOut: session === "conductivity",
    firstIsOut: session === "thermometer-1" || session === "thermometers",
    secondIsOut: session === "thermometer-2" || session === "thermometers",
    ...heatScene(memory, image, settings, rateMeansNothing),
    bubbles: start.flow === "on" && !settled,
  };
}

/** What the heaters have made of the water since the last scan, for whoever looks at which thermometer follows them. */
function heatScene(memory: Memory, { readings }: Image, settings: Settings, rateMeansNothing: boolean) {
  const { commands } = memory.volatile;
  let [heatKPerMs, fullKPerMs, isVital, isDoubted] = [0, 0, false, false];
  for (const heater of HEATER_PARTS) {
    const plan = planHeat(settings, heater);
    if (plan === null) continue;
    const { noEffect, oneContact } = keptIn(memory, HEAT[heater]).durable;
    if (commands[heater]) heatKPerMs += plan.heaterKPerMs;
    fullKPerMs += plan.heaterKPerMs;
    isVital ||= !plan.sharesChamber;
    isDoubted ||= noEffect || oneContact !== null;
  }
  const flow = readings["return-sensor"];
  const isShown = flow === null || flow.value === true;
  // A sensor that the water contradicts is not believed; whether the water really flows, the thermometers will tell.
  const isFlowing = isShown || keptIn(memory, TOP_OFF).durable.surgeMissing;
  return {
    heatKPerMs,
    fullKPerMs,
    isFlowing,
    isStanding: !isFlowing && flow?.value === false,
    heatMeansNothing: rateMeansNothing || !isFlowing || readings["mains-sensor"]?.value === false,
    // Nor does what was seen while a heater went on that was commanded off, or had no effect.
    heatIsDoubted: isDoubted || (isVital && !isShown),
  };
}

/** Windows start empty with the process; what is held against a thermometer stays held until it is believed again. */
function withTrust(memory: SignalsMemory, held: readonly WaterThermometer[]): SignalsMemory {
  const first = trusted(memory.first, held.includes("thermometer-1"));
  const second = trusted(memory.second, held.includes("thermometer-2"));
  return first === memory.first && second === memory.second ? memory : { ...memory, first, second };
}

function trusted(thermometer: ThermometerMemory, isHeld: boolean): ThermometerMemory {
  if (thermometer.rateFault === isHeld) return thermometer;
  return isHeld ? { ...thermometer, rateFault: true } : believed(thermometer);
}

const ALL_IN_WATER: readonly WaterThermometer[] = [];

function outOfWater({ first, second }: SignalsMemory): readonly WaterThermometer[] {
  if (!first.rateFault && !second.rateFault) return ALL_IN_WATER;
  return [
    ...(first.rateFault ? (["thermometer-1"] as const) : []),
    ...(second.rateFault ? (["thermometer-2"] as const) : []),
  ];
}

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
function cellDays(calibration: CalibrationMemory, { conductivity }: Settings): number {
  const ageMs = calibrationAgeMs(calibration, "conductivity");
  if (ageMs !== null) return ageMs / MS_PER_DAY;
  return conductivity.calibratedDaysAgo + calibration.cellAgeMs / MS_PER_DAY;
}

function startFacts({ contacts, vote }: Signals, image: Image, { elapsed }: SignalsScene) {
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
