import {
  ASK_GUARD_DESCRIPTION,
  COUNTER_WRAPS_AT,
  createGuardEar,
  feedMessage,
  type GuardDescription,
  type GuardReport,
  SYSTEM_RESET,
} from "./guard-protocol.ts";
import type { OutputPin } from "./port-image.ts";

/** What a board with guard firmware has said about itself, and what keeps it fed. */
export class GuardSide {
  onReport: () => void = nobodyListens;
  onDescription: () => void = nobodyListens;
  readonly hear: (bytes: Iterable<number>) => void;
  readonly #outputs: readonly OutputPin[];
  #report: GuardReport | null = null;
  #description: GuardDescription | null = null;
  #scans = 0;

  constructor(outputs: readonly OutputPin[]) {
    this.#outputs = outputs;
    this.hear = createGuardEar({
      reported: (report) => {
        this.#report = report;
        this.onReport();
      },
      described: (description) => {
        this.#description = description;
        this.onDescription();
      },
    });
  }

  /** The newest report since the greeting; null = there was none. */
  get report(): GuardReport | null {
    return this.#report;
  }

  /** Forgets a trip and asks what the firmware was built for. */
  greeting(): readonly number[] {
    this.forget();
    return [SYSTEM_RESET, ...ASK_GUARD_DESCRIPTION];
  }

  forget(): void {
    this.#report = null;
    this.#description = null;
  }

  /** The guard message of one more healthy scan. */
  nextFeed(): readonly number[] {
    this.#scans = (this.#scans + 1) % COUNTER_WRAPS_AT;
    return feedMessage(this.#scans);
  }

  /** Why this firmware does not fit these settings; null = it does. */
  get problem(): string | null {
    for (const { pin, part, restHigh } of this.#outputs) {
      const built = this.#description?.outputs.find((output) => output.pin === pin);
      if (built?.part !== part) {
        const right = this.#description?.outputs.find((output) => output.part === part);
        return `its firmware was built for ${part} on pin ${right?.pin ?? "none"}, the settings say pin ${pin}`;
      }
      if (built.restHigh !== restHigh) {
        const level = built.restHigh ? "low" : "high";
        return `its firmware was built for a ${part} that a ${level} level energises, the settings say the other`;
      }
    }
    return null;
  }

  /** It keeps that output off although it was told to switch it on. */
  withholds(pin: number): boolean {
    const isPump = this.#outputs.some(
      (output) => output.pin === pin && (output.part === "top-off-pump" || output.part === "water-guard"),
    );
    return isPump && this.#report?.pumpLocked === true;
  }

  /** What a person must know and do; null = nothing. */
  get complaint(): string | null {
    if (this.#report?.pumpLocked) {
      return (
        `the guard firmware has locked the pump: it ran ${this.#description?.pumpMostS ?? 60} s within ten minutes. ` +
        "Find out why, look at the water, then take the power from the board for a minute"
      );
    }
    return this.#report?.afterHang
      ? "its firmware hung and was restarted by its watchdog; replace it if it does again"
      : null;
  }
}

const nobodyListens = (): void => undefined;
