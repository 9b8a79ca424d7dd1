import type { Key } from "../../controller/decisions/machine.ts";
import { TOP_OFF } from "../../controller/decisions/top-off/key.ts";
import {
  keptIn,
  type Memory,
  provenMemory,
  restored,
  type StoredMemory,
  toStore,
  withKept,
} from "../../controller/scan/memory.ts";
import { step } from "../../controller/scan/step.ts";
import { readMemory } from "../../controller/scan/stored.ts";
import { witnessOf } from "../../controller/scan/witness.ts";
import type {
  Commands,
  ConductivityReading,
  ContactPart,
  HeatStatus,
  Image,
  InputPart,
  Reading,
  ReadingFault,
  Reason,
  Request,
  ScanRecord,
  StartNews,
  ThermometerPart,
} from "../../shared/contract/index.ts";
import { CONTACT_PARTS, EVERYTHING_OFF, heaterIn, REASONS } from "../../shared/contract/index.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";

/**
 * A box whose parts say what a story wants them to say. Nothing is simulated: water does not rise because a pump runs.
 * Time is added, never waited for.
 */
export const SETTINGS: Settings = rehearsalSettings();

/** `wet` and `dry` for floats and floor, `there` and `gone` for what is supplied; anything else is no position. */
type ContactSays = "wet" | "dry" | "there" | "gone" | "nothing" | "not-fitted" | ReadingFault | "old";
type NumberSays = number | "nothing" | "not-fitted" | ReadingFault | "old";

export type Sight = { readonly [Part in ContactPart]?: ContactSays } & {
  readonly [Part in ThermometerPart]?: NumberSays;
} & {
  readonly conductivity?: NumberSays;
  readonly probeTemperature?: number | null;
  readonly board?: Image["board"];
  readonly disk?: Image["disk"] | "slow";
  readonly pumpPowered?: boolean | null;
  readonly heaterPowered?: boolean | null;
  readonly secondHeaterPowered?: boolean | null;
  readonly pumpLocked?: boolean;
  readonly sourceWater?: ConductivityReading | "not-fitted" | ReadingFault;
};

export const HEALTHY: Required<Sight> = {
  "working-float": "wet",
  "high-float": "dry",
  "low-float": "wet",
  "reservoir-float": "wet",
  "floor-sensor": "dry",
  "mains-sensor": "there",
  "return-sensor": "there",
  "thermometer-1": 25,
  "thermometer-2": 25,
  "room-thermometer": 22,
  conductivity: 53.065,
  probeTemperature: 25,
  board: "ready",
  disk: "working",
  pumpPowered: null,
  heaterPowered: null,
  secondHeaterPowered: null,
  pumpLocked: false,
  sourceWater: "not-fitted",
};

const MINUTE_MS = 60_000;
const RESTED = new Map<Settings, Box>();

export class Box {
  readonly settings: Settings;
  memory: Memory;
  sight: Required<Sight>;
  commands: Commands = EVERYTHING_OFF;
  #record: ScanRecord | null = null;
  #news: StartNews | null = { memory: "sound", offMs: 0 };
  #asked: Request[] = [];
  #sample = 0;
  #ids = 0;
  /** What is on disk, and what was handed to it and will be there at the next scan. */
  #disk: StoredMemory;
  #handed: StoredMemory;
  #found: StartNews["memory"] = "sound";
  /** Of the last scan: the memory before it, and what it saw. */
  before: Memory;
  image: Image | null = null;
  /** Since the beginning: how long the pump and the heater were on. */
  pumpMs = 0;
  heaterMs = 0;
  witnessLost = false;
  outcome = "";
  accepted: boolean | null = null;

  constructor(settings: Settings = SETTINGS, sight: Sight = {}) {
    this.settings = settings;
    this.memory = provenMemory(settings);
    this.before = this.memory;
    this.sight = { ...HEALTHY, ...sight };
    this.#disk = toStore(this.memory);
    this.#handed = this.#disk;
  }

  /** A box that has been running quietly for so long that every wait after the start is over. */
  static atRest(sight: Sight = {}, settings: Settings = SETTINGS): Box {
    const known = RESTED.get(settings) ?? new Box(settings).after(16);
    RESTED.set(settings, known);
    return known.twin().sees(sight);
  }

  /** The same for a box whose parts have said this since its start: nothing steps, as water never does. */
  static alwaysAt(sight: Sight, settings: Settings = SETTINGS): Box {
    return new Box(settings, sight).after(36);
  }

  /** Water that moves as water does: both thermometers and the probe's own, a scan every half second. */
  drifts(toC: number, kelvinPerHour: number): this {
    const fromC = this.sight["thermometer-1"] as number;
    const scans = Math.round((Math.abs(toC - fromC) / kelvinPerHour) * 7200);
    for (let scan = 1; scan <= scans; scan++) {
      const celsius = fromC + ((toC - fromC) * scan) / scans;
      this.sees({ "thermometer-1": celsius, "thermometer-2": celsius, probeTemperature: celsius }).scan(500);
    }
    return this;
  }

  /** Another box in the same state: memory is never changed in place, so that it can be shared. */
  twin(): Box {
    const twin = new Box(this.settings, this.sight);
    twin.memory = this.memory;
    twin.commands = this.commands;
    twin.#record = this.#record;
    twin.#news = this.#news;
    twin.#sample = this.#sample;
    twin.#ids = this.#ids;
    twin.#disk = this.#disk;
    twin.#handed = this.#handed;
    twin.#found = this.#found;
    return twin;
  }

  /** From the next scan on, these parts say this. */
  sees(sight: Sight): this {
    this.sight = { ...this.sight, ...sight };
    return this;
  }

  after(minutes: number, everyMs = 2 * this.settings.scanMs): this {
    return this.afterMs(minutes * MINUTE_MS, everyMs);
  }

  afterSeconds(seconds: number, everyMs: number = this.settings.scanMs): this {
    return this.afterMs(seconds * 1000, everyMs);
  }

  /** Scans until something is so; the number of milliseconds that it took. Throws when it never comes. */
  until(holds: (box: this) => boolean, mostMinutes: number, everyMs: number = this.settings.scanMs): number {
    for (let spentMs = 0; spentMs <= mostMinutes * MINUTE_MS; spentMs += everyMs) {
      if (holds(this)) return spentMs;
      this.scan(everyMs);
    }
    throw new Error(`not within ${mostMinutes} min; top-off: ${this.why}, heat: ${this.heatWhy}`);
  }

  untilPouring(mostMinutes = 15): number {
    return this.until((box) => box.pumpOn, mostMinutes);
  }

  untilHeating(mostMinutes = 15): number {
    return this.until((box) => box.heaterOn, mostMinutes);
  }

  private afterMs(ms: number, everyMs: number): this {
    for (let leftMs = ms; leftMs > 0; leftMs -= everyMs) this.scan(Math.min(leftMs, everyMs));
    return this;
  }

  /** Asked in the next scan, which is made at once. */
  asks(request: DistributedOmit<Request, "id"> & { readonly id?: string }): this {
    this.#ids += 1;
    this.#asked.push({ id: `story-${this.#ids}`, ...request } as Request);
    this.scan();
    const outcome = this.record.outcomes.at(-1);
    this.outcome = outcome?.why ?? "";
    this.accepted = outcome?.accepted ?? null;
    return this;
  }

  /** Kill −9 now: only what was on disk comes back. What is lost stays lost until something was written again; the
   *  witness lies in a file of its own. */
  isKilled(offMs: number | null = 0, found: StartNews["memory"] = "sound", older: StoredMemory = this.#disk): this {
    if (found !== "sound") this.#found = found;
    const witness = this.witnessLost ? null : witnessOf(this.#disk);
    const isThere = this.#found === "sound" || this.#found === "older";
    if (this.#found === "older") this.#disk = { ...older, sequence: this.#disk.sequence };
    const kept = isThere ? (JSON.parse(JSON.stringify(this.#disk)) as StoredMemory) : null;
    return this.starts(kept, { memory: this.#found, offMs, witness });
  }

  /** Starts with its memory as it is, but for what this machine must not forget. */
  startsWith<Own>(key: Key<Own, unknown, unknown>, own: Own, offMs: number | null = 0): this {
    return this.starts(withStored(toStore(this.memory), key, own), { memory: "sound", offMs });
  }

  /** Starts with this memory. */
  starts(kept: StoredMemory | null, news: StartNews): this {
    this.memory = restored(kept, this.settings, this.#disk.sequence);
    this.#handed = this.#disk;
    this.#news = news;
    this.commands = EVERYTHING_OFF;
    return this;
  }

  /** Asked in the next scan, whenever that is. */
  willAsk(request: DistributedOmit<Request, "id">): this {
    this.#ids += 1;
    this.#asked.push({ id: `story-${this.#ids}`, ...request } as Request);
    return this;
  }

  /** What is on disk of one machine. */
  stored<Own>({ name }: Key<Own, unknown, unknown>): Own {
    return this.#disk.machines[name] as Own;
  }

  get onDisk(): StoredMemory {
    return this.#disk;
  }

  scan(elapsedMs: number = this.settings.scanMs): this {
    if (this.sight.disk === "working" && this.#disk !== this.#handed) {
      this.#disk = this.#handed;
      this.#found = "sound";
    }
    // What ran since the last scan ran at its command.
    if (this.commands["top-off-pump"]) this.pumpMs += elapsedMs;
    if (this.commands["heater-1"]) this.heaterMs += elapsedMs;
    const image: Image = {
      elapsedMs,
      start: this.#news,
      readings: this.#readings(),
      seen: {
        "top-off-pump": this.sight.pumpPowered,
        "heater-1": this.sight.heaterPowered,
        "water-guard": null,
        "heat-guard": null,
        "heater-2": this.sight.secondHeaterPowered,
        "heat-guard-2": null,
      },
      board: this.sight.board,
      pumpLocked: this.sight.pumpLocked,
      durableSequence: this.#disk.sequence,
      disk: this.sight.disk === "failed" ? "failed" : "working",
      requests: this.#asked,
    };
    this.before = this.memory;
    this.image = image;
    const { memory, commands, record } = step(this.memory, image, this.settings);
    this.memory = memory;
    this.commands = commands;
    this.#record = record;
    this.#news = null;
    this.#asked = [];
    if (memory.durable.sequence !== this.before.durable.sequence) this.#handed = toStore(memory);
    for (const why of [
      record.topOff.why,
      ...record.heaters.map(({ why }) => why),
      ...record.topOff.blockers,
    ] satisfies Reason[]) {
      if (!(why in REASONS)) throw new Error(`a reason that nobody can read: ${why}`);
    }
    return this;
  }

  get record(): ScanRecord {
    if (this.#record === null) throw new Error("no scan yet");
    return this.#record;
  }
  get pumpOn(): boolean {
    return this.commands["top-off-pump"];
  }
  get heaterOn(): boolean {
    return this.commands["heater-1"];
  }
  get why(): Reason {
    return this.record.topOff.why;
  }
  get heatWhy(): Reason {
    return this.heat.why;
  }
  get latch(): Reason | null {
    return this.record.topOff.latch?.reason ?? null;
  }
  get heatLatch(): Reason | null {
    return this.heat.latch?.reason ?? null;
  }
  get topOff() {
    return this.durable(TOP_OFF);
  }
  /** The first heater, which every box has. */
  get heat(): HeatStatus {
    return this.record.heaters[0] as HeatStatus;
  }
  get secondHeat(): HeatStatus | null {
    return heaterIn(this.record, "heater-2");
  }

  /** What one machine remembers. */
  durable<Own>(key: Key<Own, unknown, unknown>): Own {
    return keptIn(this.memory, key).durable;
  }
  volatile<Own>(key: Key<unknown, Own, unknown>): Own {
    return keptIn(this.memory, key).volatile;
  }
  /** What begins anew in it with the process is made another from here on. */
  seems<Own extends object>(key: Key<unknown, Own, unknown>, change: Partial<Own>): this {
    const { durable, volatile } = keptIn(this.memory, key);
    this.memory = withKept(this.memory, key, { durable, volatile: { ...volatile, ...change } });
    return this;
  }
  /** What it must not forget is made another from here on. */
  remembers<Own extends object>(key: Key<Own, unknown, unknown>, change: Partial<Own>): this {
    const { durable, volatile } = keptIn(this.memory, key);
    this.memory = withKept(this.memory, key, { durable: { ...durable, ...change }, volatile });
    return this;
  }

  #readings(): Image["readings"] {
    this.#sample += 1;
    const sample = this.#sample;
    // Real probes are never quite still: half a step up, half a step down.
    const noise = sample % 2 === 0 ? 0.5 : -0.5;
    const { sight } = this;
    const contacts = Object.fromEntries(CONTACT_PARTS.map((part) => [part, contactReading(sight[part], sample)]));
    const cell = numberReading(sight.conductivity, sample, 0.002 * noise);
    return {
      ...(contacts as { [Part in ContactPart]: Reading<boolean> | null }),
      "thermometer-1": numberReading(sight["thermometer-1"], sample, 0.06 * noise),
      "thermometer-2": numberReading(sight["thermometer-2"], sample, 0.06 * noise),
      "room-thermometer": numberReading(sight["room-thermometer"], sample, 0.06 * noise),
      "conductivity-probe":
        cell === null || cell.value === null
          ? cell
          : { ...cell, value: { conductivityMsPerCm: cell.value, temperatureC: sight.probeTemperature } },
      "source-probe": sourceReading(sight.sourceWater, sample),
    };
  }
}

export const withStored = <Own>(
  stored: StoredMemory,
  { name }: Key<Own, unknown, unknown>,
  own: Own,
): StoredMemory => ({ ...stored, machines: { ...stored.machines, [name]: own } });

/** What a start would take up of it; null = it is corrupt. */
export function readSound(stored: unknown, settings: Settings = SETTINGS): StoredMemory | null {
  const found = readMemory(stored, settings);
  return found.state === "sound" ? found.memory : null;
}

type DistributedOmit<Whole, Key extends PropertyKey> = Whole extends unknown ? Omit<Whole, Key> : never;

function contactReading(says: ContactSays, sample: number): Reading<boolean> | null {
  switch (says) {
    case "not-fitted":
      return null;
    case "wet":
    case "there":
      return { value: true, fault: null, ageMs: 100, sample };
    case "dry":
    case "gone":
      return { value: false, fault: null, ageMs: 100, sample };
    case "old":
      return { value: false, fault: null, ageMs: 2_001, sample: 1 };
    case "nothing":
      return { value: null, fault: "disconnected", ageMs: 60_000, sample: 0 };
    default:
      return { value: null, fault: says, ageMs: 100, sample };
  }
}

function sourceReading(says: Required<Sight>["sourceWater"], sample: number): Reading<ConductivityReading> | null {
  if (says === "not-fitted") return null;
  if (typeof says === "string") return { value: null, fault: says, ageMs: 200, sample };
  return { value: says, fault: null, ageMs: 200, sample };
}

function numberReading(says: NumberSays, sample: number, noise: number): Reading<number> | null {
  if (typeof says === "number") return { value: says + noise, fault: null, ageMs: 200, sample };
  switch (says) {
    case "not-fitted":
      return null;
    case "old":
      return { value: 25, fault: null, ageMs: 10_001, sample: 1 };
    case "nothing":
      return { value: null, fault: "disconnected", ageMs: 60_000, sample: 0 };
    default:
      return { value: null, fault: says, ageMs: 200, sample };
  }
}

/** Every part that a fault can take away. */
export const GONE: { readonly [Part in InputPart]: Sight } = {
  "working-float": { "working-float": "nothing" },
  "high-float": { "high-float": "nothing" },
  "low-float": { "low-float": "nothing" },
  "reservoir-float": { "reservoir-float": "nothing" },
  "floor-sensor": { "floor-sensor": "nothing" },
  "mains-sensor": { "mains-sensor": "nothing" },
  "return-sensor": { "return-sensor": "nothing" },
  "thermometer-1": { "thermometer-1": "nothing" },
  "thermometer-2": { "thermometer-2": "nothing" },
  "room-thermometer": { "room-thermometer": "nothing" },
  "conductivity-probe": { conductivity: "nothing" },
};
