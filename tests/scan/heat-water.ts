import type { HeaterPart, ReadingFault } from "../../shared/contract/index.ts";
import { GUARD_OF, HEATER_PARTS } from "../../shared/contract/index.ts";
import { heaterOf, type Settings } from "../../shared/settings/index.ts";
import { Box, SETTINGS, type Sight } from "./box.ts";

/**
 * Water that does what a heater, a return pump and a room make of it, before a box that sees it through its
 * thermometers: one body of water, C dT/dt = P − UA (T − T_room). It stands where a rehearsal would be too much, and
 * knows nothing of how anybody decides.
 */

/** Scans of twice the period, the longest whose time counts in full. */
export const CALM: Settings = { ...SETTINGS, scanMs: 400 };
const SCAN_MS = 800;
/** Sea water of 35 at 25 °C, J/(L K): 1.023 kg/L × 3,998 J/(kg K) (UNESCO 44). */
const J_PER_L_K = 4_090;
/** A sleeve in moving water, and one in air, s (*common practice*, from memory). */
const WATER_LAG_S = 8;
const AIR_LAG_S = 90;
/** A pocket beside the heater that hardly any water flows through, K and s (from memory). */
const POCKET_K = 1.5;
const POCKET_LAG_S = 120;
/** A cup of a third of a litre takes on the room's temperature, s (from memory). */
const CUP_LAG_S = 3_600;

export type Hangs = "water" | "air" | "cup" | "frozen" | "beside-heater" | ReadingFault;
const THERMOMETERS = ["thermometer-1", "thermometer-2", "cell"] as const;
type Thermometer = (typeof THERMOMETERS)[number];

interface Sleeve {
  hangs: Hangs;
  offsetK: number;
  celsius: number;
  cupC: number;
}

export class Water {
  readonly box: Box;
  celsius: number;
  roomC: number;
  /** Above and below that, warmest in the afternoon; the story begins at midnight. */
  swingC = 0;
  coldestC: number;
  warmestC: number;
  hours = 0;
  /** Contacts that do not open any more, and heaters that make no heat. */
  readonly welded = new Set<string>();
  readonly dead = new Set<HeaterPart>();
  /** What is sensed behind the first heater's contacts, where anything is. */
  senses = false;
  readonly #sleeves: Record<Thermometer, Sleeve>;

  constructor(box: Box, celsius: number, roomC = 22) {
    this.box = box;
    this.celsius = celsius;
    this.roomC = roomC;
    this.coldestC = celsius;
    this.warmestC = celsius;
    const sleeve = (): Sleeve => ({ hangs: "water", offsetK: 0, celsius, cupC: celsius });
    this.#sleeves = { "thermometer-1": sleeve(), "thermometer-2": sleeve(), cell: sleeve() };
    this.#show();
  }

  /** A box at rest in water of this temperature. */
  static at(celsius: number, roomC: number, settings: Settings = CALM, sight: Sight = {}): Water {
    const seen = { "thermometer-1": celsius, "thermometer-2": celsius, probeTemperature: celsius };
    return new Water(new Box(settings, { ...seen, ...sight }), celsius, roomC);
  }

  hang(thermometer: Thermometer, hangs: Hangs, offsetK = 0): this {
    const sleeve = this.#sleeves[thermometer];
    sleeve.hangs = hangs;
    sleeve.offsetK = offsetK;
    return this;
  }

  /** A cup with its own water, into which a thermometer is hung. */
  cup(thermometer: Thermometer, cupC: number): this {
    this.#sleeves[thermometer].cupC = cupC;
    return this.hang(thermometer, "cup");
  }

  flows(hours: number, look: ((water: this) => void) | null = null): this {
    const scans = Math.round((hours * 3_600_000) / SCAN_MS);
    for (let scan = 0; scan < scans; scan++) {
      this.#warm(SCAN_MS / 1000);
      this.#show();
      this.box.scan(SCAN_MS);
      look?.(this);
    }
    return this;
  }

  /** From now on. */
  forget(): this {
    this.coldestC = this.celsius;
    this.warmestC = this.celsius;
    return this;
  }

  isHeated(heater: HeaterPart): boolean {
    const isClosed = (contact: "heater-1" | "heater-2" | "heat-guard" | "heat-guard-2") =>
      this.box.commands[contact] || this.welded.has(contact);
    return isClosed(heater) && isClosed(GUARD_OF[heater]);
  }

  #warm(dtS: number): void {
    const { heat, tank } = this.box.settings;
    this.hours += dtS / 3600;
    let watts = heat.returnPumpW - heat.lossWPerK * (this.celsius - this.#airC());
    for (const heater of HEATER_PARTS) {
      const fitted = heaterOf(this.box.settings, heater);
      if (fitted !== null && this.isHeated(heater) && !this.dead.has(heater)) watts += fitted.heaterW;
    }
    this.celsius += (watts * dtS) / (tank.netVolumeL * J_PER_L_K);
    this.coldestC = Math.min(this.coldestC, this.celsius);
    this.warmestC = Math.max(this.warmestC, this.celsius);
    for (const thermometer of THERMOMETERS) this.#follow(this.#sleeves[thermometer], dtS);
  }

  #follow(sleeve: Sleeve, dtS: number): void {
    const { hangs } = sleeve;
    if (hangs === "frozen") return;
    const airC = this.#airC();
    sleeve.cupC = hangs === "cup" ? sleeve.cupC + ((airC - sleeve.cupC) * dtS) / CUP_LAG_S : sleeve.cupC;
    const heated = this.isHeated("heater-1") ? POCKET_K : 0;
    const aroundC =
      hangs === "air" ? airC : hangs === "cup" ? sleeve.cupC : this.celsius + (hangs === "beside-heater" ? heated : 0);
    const lagS = hangs === "air" ? AIR_LAG_S : hangs === "beside-heater" ? POCKET_LAG_S : WATER_LAG_S;
    sleeve.celsius += (aroundC - sleeve.celsius) * Math.min(1, dtS / lagS);
  }

  #airC(): number {
    return this.roomC + this.swingC * Math.cos(((this.hours - 16) / 24) * 2 * Math.PI);
  }

  #show(): void {
    // One that repeats itself does so to the last digit: the noise that a box adds to its thermometers is taken back.
    const nextSample = (this.box.image?.readings["thermometer-1"]?.sample ?? 0) + 1;
    const noiseK = nextSample % 2 === 0 ? 0.03 : -0.03;
    const says = (thermometer: Thermometer) => {
      const { hangs, celsius, offsetK } = this.#sleeves[thermometer];
      if (hangs === "frozen") return celsius - noiseK;
      return hangs === "water" || hangs === "air" || hangs === "cup" || hangs === "beside-heater"
        ? celsius + offsetK
        : hangs;
    };
    const cell = says("cell");
    this.box.sees({
      "thermometer-1": says("thermometer-1"),
      "thermometer-2": says("thermometer-2"),
      "room-thermometer": this.box.sight["room-thermometer"] === "not-fitted" ? "not-fitted" : this.#airC(),
      probeTemperature: typeof cell === "number" ? cell : null,
      ...(this.senses ? { heaterPowered: this.isHeated("heater-1") } : {}),
    });
  }
}
