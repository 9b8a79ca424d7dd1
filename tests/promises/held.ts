import type { HealthyRow, Hold } from "../../controller/rehearsal/healthy/holds.ts";
import type { Report, Scenario } from "../../controller/rehearsal/index.ts";
import { rarelyAsks } from "./checkers/asks.ts";
import { besideBareParts } from "./checkers/beside-bare-parts.ts";
import { mishap } from "./checkers/mishap.ts";
import { noSilence } from "./checkers/no-silence.ts";
import { oneSensor } from "./checkers/one-sensor.ts";
import { ANYWHERE, type Reach, wholeBox, wholeBoxWithoutProbe } from "./checkers/whole-box.ts";
import { type Broken, type Life, spanOf } from "./life.ts";
import { type LiveOptions, liveBare, liveBest, liveOurs } from "./live.ts";

/** A scenario lived, with all that it is held against. The other lives are lived only where a promise asks for them. */
export interface Lived {
  readonly ours: Life;
  readonly report: Report;
  bare(): Life;
  best(): Life;
  /** The same box with nothing broken. */
  whole(): Life;
}

export function liveAll(scenario: Scenario, options: LiveOptions): Lived {
  const { life: ours, report } = liveOurs(scenario, options);
  return {
    ours,
    report,
    bare: once(() => liveBare(scenario, options)),
    best: once(() => liveBest(scenario, options)),
    whole: once(() => liveOurs({ ...scenario, faults: [] }, options).life),
  };
}

export const brokenPromises = (lived: Lived, { holds }: Pick<HealthyRow, "holds">): readonly Broken[] =>
  holds.flatMap((hold) => brokenBy(lived, hold));

function brokenBy(lived: Lived, hold: Hold): readonly Broken[] {
  const { ours } = lived;
  switch (hold.promise) {
    case "H1":
      return wholeBox(ours, reachOf(lived), hold.allows);
    case "H2":
      return wholeBoxWithoutProbe(ours, reachOf(lived));
    case "H3":
      return besideBareParts(ours, lived.bare(), hold.throttledFromH);
    case "H4":
      return mishap(ours, hold.atH);
    case "H5":
      return rarelyAsks([ours]);
    case "H6":
      return oneSensor(ours, lived.whole(), hold);
    case "H7":
      return noSilence(ours, hold.atH);
  }
}

const STAYS_K = 0.5;

/** Asked of the best hand only where the temperature leaves its band at all. */
export function reachOf({ ours, best }: Pick<Lived, "ours" | "best">): Reach {
  const { lowest, highest } = spanOf(ours.samples, "celsius");
  if (lowest >= ours.setpointC - STAYS_K && highest <= ours.setpointC + STAYS_K) return ANYWHERE;
  const reached = spanOf(best().samples, "celsius");
  return { lowestC: reached.lowest, highestC: reached.highest };
}

function once<Value>(make: () => Value): () => Value {
  let made: { readonly value: Value } | null = null;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}
