import type { AlarmWords, ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";

/** What conditions look at: everything the scan saw and decided. */
export type AlarmFacts = Omit<ScanRecord, "alarms" | "outcomes">;

/**
 * How an alarm goes back to normal once its cause is gone: by itself, when somebody has acknowledged it, or when
 * somebody has acknowledged it *and* the machine that it mirrors has been cleared.
 */
export type Clears = "by-itself" | "acknowledged" | "cleared";

/**
 * Whom it is for while nobody but a sitter is there: `for-sitter`: whoever comes by can do the first of what is to be done;
 * `for-keeper`: it is told as ever, and wants somebody who knows the box; `rests`: it only reminds the keeper, and waits.
 */
export type InAbsence = "for-sitter" | "for-keeper" | "rests";

/** What the engine must know of an alarm. It never looks inside the facts. */
export interface Watched<Facts, Limits> {
  readonly id: string;
  readonly onDelayMs: number;
  readonly offDelayMs: number;
  readonly clears: Clears;
  /**
   * Whether the cause is there in this scan. `isActive` is for the condition's own deadband, and for a value that is
   * unknown: an alarm that stands does not end because its probe died.
   */
  readonly stands: (facts: Facts, limits: Limits, isActive: boolean) => boolean;
  /** Suppression by design: the state of the box makes the alarm meaningless, or another alarm names the cause. */
  readonly suppressed: (facts: Facts, limits: Limits) => boolean;
  /** The lockout that this alarm mirrors stands. It is shown whatever the delays and the suppression say. */
  readonly lockedOut: (facts: Facts) => boolean;
}

/** An alarm with its rationalisation; one file each in `conditions/`, named by its id. */
export interface Condition extends Watched<AlarmFacts, Settings>, AlarmWords {
  readonly inAbsence: InAbsence;
  /** In words, with its unit; null where the condition is a contact or a state. */
  readonly deadband: string | null;
  /** The limit in words, as it is with the settings as they come. */
  readonly limit: string;
  /** In words, what `suppressed` does. */
  readonly suppressedWhen: string;
  /** What exactly, at the moment: which float, what value. Fits after the title and a colon. */
  readonly detail: (facts: AlarmFacts, settings: Settings) => string | null;
}

export const never = (): false => false;

/** Most alarms mirror no lockout and are never suppressed: these are not asked, for a call costs more than the answer. */
export const isLockedOut = <Facts, Limits>({ lockedOut }: Watched<Facts, Limits>, facts: Facts): boolean =>
  lockedOut !== never && lockedOut(facts);
export const isSuppressed = <Facts, Limits>(
  { suppressed }: Watched<Facts, Limits>,
  facts: Facts,
  limits: Limits,
): boolean => suppressed !== never && suppressed(facts, limits);

export const noDetail = (): null => null;
