import type { Image } from "../../shared/contract/image.ts";
import { CONTACT_PARTS, type ContactPart } from "../../shared/contract/parts.ts";
import type { ContactSignal, Signal } from "../../shared/contract/signal.ts";
import { type ConductivityMemory, FRESH_CONDUCTIVITY, readConductivity } from "./conductivity.ts";
import { type ContactMemory, FRESH_CONTACT, readContact } from "./contact.ts";
import { asSaid, type Corrections, correctedConductivity, correctedTemperature, withDoubt } from "./corrected.ts";
import { FRESH_PROBE, notFitted, type ProbeMemory } from "./probe.ts";
import { readSourceWater } from "./source-water.ts";
import {
  FRESH_THERMOMETER,
  forgive,
  ROOM_THERMOMETER,
  readThermometer,
  type ThermometerMemory,
  type ThermometerScene,
  WATER_THERMOMETER,
} from "./thermometer.ts";
import { type Apart, NEVER_APART, type Vote, vote, warmerOf } from "./vote.ts";
import { followWatched, NOTHING_WATCHED, type Watched, type WatchedMemory } from "./watched.ts";

/** Volatile: windows start empty with the process. */
export interface SignalsMemory {
  readonly contacts: Readonly<Record<ContactPart, ContactMemory>>;
  readonly first: ThermometerMemory;
  readonly second: ThermometerMemory;
  readonly room: ThermometerMemory;
  readonly conductivity: ConductivityMemory;
  readonly source: ProbeMemory;
  readonly apart: Apart;
  readonly watched: WatchedMemory;
  /** The conductivity probe's own thermometer was heard in the last scan. */
  readonly thirdHeard: boolean;
}

export interface Signals {
  readonly contacts: Readonly<Record<ContactPart, ContactSignal>>;
  readonly first: Signal;
  readonly second: Signal;
  readonly room: Signal;
  readonly conductivity: Signal;
  /** The conductivity probe's own thermometer. */
  readonly conductivityTemperature: Signal;
  /** Dissolved solids of the source water, mg/L. */
  readonly sourceTds: Signal;
  readonly vote: Vote;
  /** What cuts: the warmest that is not bad, as corrected or as the thermometer itself says, whichever is more. */
  readonly hottest: Signal;
  /** The conductivity probe's own thermometer was heard a scan ago, and may have been the one that knew of danger. */
  readonly thirdFellSilent: boolean;
  /** The temperature as what lasts for long is watched by. */
  readonly watched: Watched;
}

export interface SignalsScene extends ThermometerScene {
  readonly pouring: boolean;
  /** The return pump started a short while ago: bubbles in the cell. */
  readonly bubbles: boolean;
  /** The cell is being calibrated: it hangs in a bottle, or in the air of the room. */
  readonly cellIsOut: boolean;
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
  watched: NOTHING_WATCHED,
  thirdHeard: false,
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
  const first = readThermometer(memory.first, one, WATER_THERMOMETER, anew);
  const second = readThermometer(memory.second, two, WATER_THERMOMETER, anew);
  const firstSignal = withDoubt(first.signal, corrections.firstDoubtK);
  const secondSignal = withDoubt(second.signal, corrections.secondDoubtK);
  const room = readThermometer(memory.room, readings["room-thermometer"], ROOM_THERMOMETER, scene);
  const probe = correctedConductivity(readings["conductivity-probe"], corrections.cellFactor);
  const source = readSourceWater(memory.source, readings["source-probe"], elapsed);
  const cell = readConductivity(memory.conductivity, probe, anew.elapsed, scene.bubbles);
  // A cell that is calibrated, or measures no sea water, is out of the tank, and its thermometer with it.
  const isOut = scene.cellIsOut || cell.signals.conductivity.value === null;
  const third = isOut ? notFitted : cell.signals.temperature;
  const opinion = vote(firstSignal, secondSignal, third, memory.apart, creditMs);
  const watch = followWatched(memory.watched, opinion, ms);
  return {
    memory: {
      contacts: contacts.memory,
      first: forgive(first.memory, firstSignal, [secondSignal, third], creditMs),
      second: forgive(second.memory, secondSignal, [firstSignal, third], creditMs),
      room: room.memory,
      conductivity: cell.memory,
      source: source.memory,
      apart: opinion.apart,
      watched: watch.memory,
      thirdHeard: third.value !== null,
    },
    signals: {
      contacts: contacts.signals,
      first: firstSignal,
      second: secondSignal,
      room: room.signal,
      conductivity: cell.signals.conductivity,
      conductivityTemperature: cell.signals.temperature,
      sourceTds: source.signal,
      vote: opinion,
      hottest: hottestOf(firstSignal, secondSignal, third, opinion, corrections),
      thirdFellSilent: memory.thirdHeard && third.value === null,
      watched: watch.watched,
    },
  };
}

/** A correction may make the cut-out earlier, never later. The third cuts too where the two are not enough to outvote it. */
function hottestOf(first: Signal, second: Signal, third: Signal, { warmest, trust }: Vote, by: Corrections): Signal {
  const said = warmerOf(asSaid(first, by.firstK), asSaid(second, by.secondK));
  const hottest = warmerOf(warmest, said);
  return trust === "full" ? hottest : warmerOf(hottest, third);
}

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
