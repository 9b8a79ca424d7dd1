import {
  EVAPORATION_MEASURED,
  followLedger,
  freshLedger,
  freshLedgerVolatile,
  type LedgerDurable,
  type LedgerSeen,
  type LedgerVolatile,
} from "../../controller/quantities/ledger/index.ts";
import type { LedgerStatus } from "../../shared/contract/ledger.ts";
import { rehearsalSettings, type Settings } from "../../shared/settings/index.ts";
import { good } from "../alarms/healthy.ts";

/** A box of a few lines, looked at once a minute: evaporation, a float that is filled up to, a probe, a heater. */
export interface Ways {
  /** Litres a day. */
  evaporation: number;
  leak: number;
  /** Of the proven flow. */
  pump: number;
  /** Of the water in the reservoir. */
  reservoirSalinity: number;
  /** Of the probe, a day. */
  drift: number;
  /** Share of the salt, a day. */
  saltLoss: number;
}

const FILL_L = 0.1;
const MINUTES_A_DAY = 1440;
const VOLUME_L = 140;

export class LedgerWorld {
  settings: Settings = rehearsalSettings();
  durable: LedgerDurable = freshLedger(this.settings, EVAPORATION_MEASURED);
  volatile: LedgerVolatile = freshLedgerVolatile();
  readonly ways: Ways = { evaporation: 1.5, leak: 0, pump: 1, reservoirSalinity: 0, drift: 0, saltLoss: 0 };
  salinity = 35;
  offset = 0.2;
  pouredTotalL = 0;
  reservoirL = 10;
  calibrationDays = 3;
  probe = true;
  /** Added to everything that is seen. */
  extra: Partial<LedgerSeen> = {};
  #missingL = 0;
  #minutes = 0;
  #noise = 1;

  get status(): LedgerStatus {
    return this.volatile.status;
  }

  run(hours: number): this {
    for (let minute = 0; minute < hours * 60; minute++) this.minute();
    return this;
  }

  minute(seen: Partial<LedgerSeen> = {}): void {
    this.#minutes += 1;
    this.#pass();
    const full = this.#missingL >= FILL_L && this.extra.hands !== true && this.extra.judged !== false;
    if (full) this.#fill();
    this.calibrationDays += 1 / MINUTES_A_DAY;
    this.look({ elapsedMs: 60_000, full, ...seen });
  }

  look(seen: Partial<LedgerSeen>): void {
    const heaterOn = this.#minutes % 60 < 20;
    const all: LedgerSeen = {
      elapsedMs: 0,
      gap: false,
      start: null,
      pouredTotalL: this.pouredTotalL,
      full: false,
      low: false,
      judged: true,
      hands: false,
      frozen: false,
      salinity: this.probe
        ? good(this.salinity + this.offset + 0.08 * this.#random(), 0.9)
        : { ...good(35), value: null, quality: "bad", doubt: "open-circuit", uncertainty: null },
      calibrationDays: this.calibrationDays,
      temperatureC: 25 + (heaterOn ? (this.#minutes % 60) / 20 - 0.5 : 0.5 - ((this.#minutes % 60) - 20) / 40) * 0.3,
      roomC: 21,
      heaterW: heaterOn ? 200 : 0,
      fan: "off",
      handTest: null,
      reservoir: null,
      reservoirL: this.reservoirL,
      ...this.extra,
      ...seen,
    };
    ({ durable: this.durable, volatile: this.volatile } = followLedger(this, all, this.settings));
  }

  handTest(wrongBy = 0): this {
    this.look({ handTest: this.salinity + wrongBy });
    return this;
  }

  /** Measured in the reservoir, or filled with water that nobody has measured. */
  reservoirTest(salinity: number | null): this {
    this.look({ reservoir: { salinity } });
    return this;
  }

  /** Salt water for salt water, with a hold and a word about it. */
  waterChange(litres: number, salinity: number): this {
    this.extra = { hands: true };
    this.run(0.25);
    this.salinity += (litres / VOLUME_L) * (salinity - this.salinity);
    this.run(0.25);
    this.extra = {};
    return this;
  }

  restart(offMs: number | null): this {
    this.volatile = freshLedgerVolatile();
    this.look({ start: { offMs } });
    return this;
  }

  #pass(): void {
    const { evaporation, leak, drift, saltLoss } = this.ways;
    const evaporatedL = evaporation / MINUTES_A_DAY;
    const leakedL = leak / MINUTES_A_DAY;
    this.#missingL += evaporatedL + leakedL;
    this.salinity *= (1 + evaporatedL / VOLUME_L) * (1 - saltLoss / MINUTES_A_DAY);
    this.offset += drift / MINUTES_A_DAY;
  }

  #fill(): void {
    const { pump, reservoirSalinity } = this.ways;
    this.salinity += (this.#missingL / VOLUME_L) * (reservoirSalinity - this.salinity);
    this.pouredTotalL += this.#missingL / pump;
    this.reservoirL = Math.max(0, this.reservoirL - this.#missingL / pump);
    if (this.reservoirL < 1) this.reservoirL = 10;
    this.#missingL = 0;
  }

  /** −1 … 1, the same every time. */
  #random(): number {
    this.#noise = (this.#noise * 1_103_515_245 + 12_345) % 2_147_483_648;
    return this.#noise / 1_073_741_824 - 1;
  }
}
