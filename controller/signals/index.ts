import type { Image } from "../../shared/contract/image.ts";
import { CONTACT_PARTS, type ContactPart } from "../../shared/contract/parts.ts";
import type { ContactSignal, Signal } from "../../shared/contract/signal.ts";
import { type AnswerMemory, doubtAnswers, followAnswers, NOTHING_ANSWERED } from "./answer.ts";
import { type ConductivityMemory, FRESH_CONDUCTIVITY, readConductivity } from "./conductivity.ts";
import { type ContactMemory, FRESH_CONTACT, readContact } from "./contact.ts";
import { asSaid, type Corrections, correctedConductivity, correctedTemperature, withDoubt } from "./corrected.ts";
import { doubted, FRESH_PROBE, notFitted, type ProbeMemory } from "./probe.ts";
import { NOTHING_SETTLED, type SettledMemory, settle } from "./settled.ts";
import { readSourceWater } from "./source-water.ts";
import {
  expel,
  FRESH_THERMOMETER,
  forgive,
  hangBack,
  ROOM_THERMOMETER,
  readThermometer,
  type ThermometerMemory,
  type ThermometerScene,
  WATER_THERMOMETER,
} from "./thermometer.ts";
import { type Apart, NEAR_NOBODY, NEVER_APART, type Near, type Trust, type Vote, vote, warmerOf } from "./vote.ts";
import { followWatched, NOTHING_WATCHED, type Watched, type WatchedMemory } from "./watched.ts";
import type { Witness, Witnesses } from "./witness.ts";

/** Volatile: windows start empty with the process. */
export interface SignalsMemory {
  readonly contacts: Readonly<Record<ContactPart, ContactMemory>>;
  readonly first: ThermometerMemory;
  readonly second: ThermometerMemory;
  readonly room: ThermometerMemory;
  readonly conductivity: ConductivityMemory;
  readonly source: ProbeMemory;
  readonly apart: Apart;
  readonly near: Near;
  readonly settled: SettledMemory;
  readonly answers: AnswerMemory;
  readonly watched: WatchedMemory;
  /** How many thermometers were heard in the last scan, the air or the water around them alike: a bit each. */
  readonly heard: number;
}

export interface Signals {
  readonly contacts: Readonly<Record<ContactPart, ContactSignal>>;
  readonly first: Signal;
  readonly second: Signal;
  /** °C: what the two read wherever they hang, in a cup to be calibrated too. */
  readonly readC: { readonly first: number | null; readonly second: number | null };
  readonly room: Signal;
  readonly conductivity: Signal;
  /** The conductivity probe's own thermometer, and the same as far as it hangs in the tank. */
  readonly conductivityTemperature: Signal;
  readonly third: Signal;
  /** Dissolved solids of the source water, mg/L. */
  readonly sourceTds: Signal;
  readonly vote: Vote;
  /** What cuts: the warmest that is not bad, as corrected or as the thermometer itself says, whichever is more. */
  readonly hottest: Signal;
  /** The same of those without a rate fault, as long as one is left. */
  readonly surelyHottest: Signal;
  /** A thermometer was heard a scan ago and is not any more: it may have been the one that knew of danger. */
  readonly oneFellSilent: boolean;
  /** The temperature as what lasts for long is watched by. */
  readonly watched: Watched;
}

export interface SignalsScene extends Omit<ThermometerScene, "isOut"> {
  readonly pouring: boolean;
  /** The return pump started a short while ago: bubbles in the cell. */
  readonly bubbles: boolean;
  /** The cell is being calibrated: it hangs in a bottle, or in the air of the room. So may a thermometer, in its cup. */
  readonly cellIsOut: boolean;
  readonly firstIsOut: boolean;
  readonly secondIsOut: boolean;
  /** Kelvin per millisecond of the heaters that were on since the last scan. */
  readonly heatKPerMs: number;
  /** The return pump is shown running, or the water contradicts the sensor that says it is not, or there is no sensor. */
  readonly isFlowing: boolean;
  /** It is seen to stand still. A sensor that is lost shows neither. */
  readonly isStanding: boolean;
  /** Hands, no flow or no mains: what a reading does says nothing of the heater. */
  readonly heatMeansNothing: boolean;
  /** The heater was found without effect, or flow is not shown where it is needed. */
  readonly heatIsDoubted: boolean;
  readonly corrections: Corrections;
}

export const freshSignals = (): SignalsMemory => ({
  contacts: Object.fromEntries(CONTACT_PARTS.map((part) => [part, FRESH_CONTACT])) as SignalsMemory["contacts"],
  first: FRESH_THERMOMETER,
  second: FRESH_THERMOMETER,
  room: FRESH_THERMOMETER,
  conductivity: FRESH_CONDUCTIVITY,
  source: FRESH_PROBE,
  apart: NEVER_APART,
  near: NEAR_NOBODY,
  settled: NOTHING_SETTLED,
  answers: NOTHING_ANSWERED,
  watched: NOTHING_WATCHED,
  heard: 0,
});

export function readSignals(
  memory: SignalsMemory,
  readings: Image["readings"],
  scene: SignalsScene,
): { memory: SignalsMemory; signals: Signals } {
  const { elapsed, corrections } = scene;
  const { ms, creditMs } = elapsed;
  const contacts = readContacts(memory.contacts, readings, scene);
  const anew = corrections.changed ? { ...scene, elapsed: { ...elapsed, gap: true } } : scene;
  const one = correctedTemperature(readings["thermometer-1"], corrections.firstK);
  const two = correctedTemperature(readings["thermometer-2"], corrections.secondK);
  const first = readThermometer(memory.first, one, WATER_THERMOMETER, thermometerScene(anew, scene.firstIsOut));
  const second = readThermometer(memory.second, two, WATER_THERMOMETER, thermometerScene(anew, scene.secondIsOut));
  const firstSignal = withDoubt(first.signal, corrections.firstDoubtK);
  const secondSignal = withDoubt(second.signal, corrections.secondDoubtK);
  const inRoom = thermometerScene(scene, false);
  const room = readThermometer(memory.room, readings["room-thermometer"], ROOM_THERMOMETER, inRoom);
  const probe = correctedConductivity(readings["conductivity-probe"], corrections.cellFactor);
  const source = readSourceWater(memory.source, readings["source-probe"], elapsed);
  const cell = readConductivity(memory.conductivity, probe, anew.elapsed, scene.bubbles);
  // A cell that is calibrated, or measures no sea water, is out of the tank, and its thermometer with it.
  const isOut = scene.cellIsOut || cell.signals.conductivity.value === null;
  const third = isOut ? notFitted : cell.signals.temperature;
  const answers = doubtAnswers(memory.answers, scene.heatIsDoubted);
  const { first: ofFirst, second: ofSecond, third: ofThird } = answers;
  const all: Witnesses = {
    first: { who: "first", signal: firstSignal, answer: ofFirst.answer },
    second: { who: "second", signal: secondSignal, answer: ofSecond.answer },
    third: { who: "third", signal: third, answer: ofThird.answer },
  };
  const raw = vote(all, memory, creditMs, scene.isFlowing);
  const settled = settle(memory.settled, raw, all, creditMs);
  const opinion = settled.trust === raw.trust ? raw : asSettled(raw, settled.trust);
  const watch = followWatched(memory.watched, opinion, ms);
  const hottest = hottestOf(firstSignal, secondSignal, third, corrections);
  const heard = heardBits(all);
  const judge = (before: ThermometerMemory, now: ThermometerMemory, others: readonly Signal[]) =>
    expel(forgive(hangBack(now, before.outMs > 0, others), others, creditMs), settled.isSettled);
  return {
    memory: {
      contacts: contacts.memory,
      first: judge(memory.first, first.memory, [secondSignal, third]),
      second: judge(memory.second, second.memory, [firstSignal, third]),
      room: room.memory,
      conductivity: cell.memory,
      source: source.memory,
      apart: opinion.apart,
      near: opinion.near,
      settled: settled.memory,
      answers: followAnswers(answers, readingsOf(all), answerScene(anew)),
      watched: watch.memory,
      heard,
    },
    signals: {
      contacts: contacts.signals,
      first: firstSignal,
      second: secondSignal,
      readC: { first: first.memory.probe.value, second: second.memory.probe.value },
      room: room.signal,
      conductivity: cell.signals.conductivity,
      conductivityTemperature: cell.signals.temperature,
      third,
      sourceTds: source.signal,
      vote: opinion,
      hottest,
      surelyHottest: surelyHottestOf(all, hottest, corrections),
      oneFellSilent: (memory.heard & ~heard) !== 0,
      watched: watch.watched,
    },
  };
}

/** What is not believed yet is not called good. */
const asSettled = (raw: Vote, trust: Trust): Vote => ({
  ...raw,
  trust,
  control: doubted(raw.control, "uncertain", raw.control.doubt ?? "single"),
});

/** A correction may make the cut-out earlier, never later. */
const hottestOf = (first: Signal, second: Signal, third: Signal, by: Corrections): Signal =>
  warmerOf(warmerOf(first, asSaid(first, by.firstK)), warmerOf(warmerOf(second, asSaid(second, by.secondK)), third));

function surelyHottestOf({ first, second, third }: Witnesses, hottest: Signal, by: Corrections): Signal {
  if (first.signal.doubt !== "rate" && second.signal.doubt !== "rate" && third.signal.doubt !== "rate") return hottest;
  const sure = ({ signal }: Witness): Signal => (signal.doubt === "rate" ? notFitted : signal);
  const sureOnes = hottestOf(sure(first), sure(second), sure(third), by);
  return sureOnes.value === null ? hottest : sureOnes;
}

const thermometerScene = (scene: SignalsScene, isOut: boolean): ThermometerScene => ({
  elapsed: scene.elapsed,
  // Without flow a heater warms its own chamber as fast as no tank. A sensor that is lost excuses nobody.
  rateMeansNothing: scene.rateMeansNothing || scene.isStanding,
  heaterSwitched: scene.heaterSwitched,
  fullKPerMs: scene.fullKPerMs,
  isOut,
});

const heardBits = ({ first, second, third }: Witnesses): number =>
  (first.signal.value === null ? 0 : 1) +
  (second.signal.value === null ? 0 : 2) +
  (third.signal.value === null ? 0 : 4);

/** What was replaced as a spike was measured by nobody. */
const readingsOf = ({ first, second, third }: Witnesses) => ({
  first: first.signal.value,
  second: second.signal.value,
  third: third.signal.value,
});

const answerScene = (scene: SignalsScene) => ({
  creditMs: scene.elapsed.creditMs,
  heatKPerMs: scene.heatKPerMs,
  fullKPerMs: scene.fullKPerMs,
  meansNothing: scene.heatMeansNothing || scene.elapsed.gap,
});

/** Written out by name: read in every scan, and objects read or grown by computed keys cost as much as the rest of it. */
function readContacts(before: SignalsMemory["contacts"], readings: Image["readings"], scene: SignalsScene) {
  const { elapsed, pouring } = scene;
  const { ms } = elapsed;
  const working = readContact(before["working-float"], readings["working-float"], ms, pouring);
  const high = readContact(before["high-float"], readings["high-float"], ms, false);
  const low = readContact(before["low-float"], readings["low-float"], ms, false);
  const reservoir = readContact(before["reservoir-float"], readings["reservoir-float"], ms, false);
  const floor = readContact(before["floor-sensor"], readings["floor-sensor"], ms, false);
  const mains = readContact(before["mains-sensor"], readings["mains-sensor"], ms, false);
  const pump = readContact(before["return-sensor"], readings["return-sensor"], ms, false);
  const memory: SignalsMemory["contacts"] = {
    "working-float": working.memory,
    "high-float": high.memory,
    "low-float": low.memory,
    "reservoir-float": reservoir.memory,
    "floor-sensor": floor.memory,
    "mains-sensor": mains.memory,
    "return-sensor": pump.memory,
  };
  const signals: Signals["contacts"] = {
    "working-float": working.signal,
    "high-float": high.signal,
    "low-float": low.signal,
    "reservoir-float": reservoir.signal,
    "floor-sensor": floor.signal,
    "mains-sensor": mains.signal,
    "return-sensor": pump.signal,
  };
  return { memory, signals };
}
