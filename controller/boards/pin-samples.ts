import type { ReadingFault } from "../../shared/contract/reading.ts";
import type { Heard } from "./heard.ts";

/** The newest report of every input of a board, and how many there were. Kept over the board's losses. */
export class PinSamples {
  readonly #reports = new Map<number, { value: boolean | number; atMs: number; sample: number }>();

  take(pin: number, value: boolean | number, nowMs: number): void {
    this.#reports.set(pin, { value, atMs: nowMs, sample: (this.#reports.get(pin)?.sample ?? 0) + 1 });
  }

  /** When the pin that has waited longest was last reported; never = minus infinity, no pins = null. */
  oldestMs(pins: readonly number[]): number | null {
    if (pins.length === 0) return null;
    return Math.min(...pins.map((pin) => this.#reports.get(pin)?.atMs ?? Number.NEGATIVE_INFINITY));
  }

  /** `faultOf` says what is wrong with the board, if anything is; a pin that was never reported is not yet there. */
  heard(pin: number, openedAtMs: number, faultOf: (wasHeard: boolean) => ReadingFault | null): Heard<boolean | number> {
    const report = this.#reports.get(pin);
    const { atMs, sample } = report ?? { atMs: openedAtMs, sample: 0 };
    const fault = faultOf(sample > 0);
    if (fault === null && report) return { value: report.value, fault: null, atMs, sample };
    return { value: null, fault: fault ?? "not-yet", atMs, sample };
  }
}
