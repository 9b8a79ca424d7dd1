import * as z from "zod";
import { PART_WORDS, WATER_THERMOMETERS, type WaterThermometer } from "../../shared/contract/parts.ts";
import { type Answer, accept, type Kept, type Key, type Machine, refuse } from "./machine.ts";
import { isAtTank } from "./presence.ts";

/** Thermometers that moved faster than water can, and have not been believed again since. */
type OutOfWater = readonly WaterThermometer[];

export interface TrustVolatile {
  /** Those that somebody at the tank has just seen in the water. */
  readonly seenInWater: OutOfWater;
}

export const THERMOMETER_TRUST: Key<OutOfWater, TrustVolatile> = { name: "thermometer-trust" };

type Own = Kept<OutOfWater, TrustVolatile>;

const parts = z.array(z.enum(WATER_THERMOMETERS)).readonly();
const storedTestimony = z.object({ outOfWater: parts }).readonly();
type Testimony = z.infer<typeof storedTestimony>;

/** A thermometer that hung in the air is believed again when it agrees with another, or when a person says so. */
export const thermometerTrust: Machine<OutOfWater, TrustVolatile, null, Testimony> = {
  key: THERMOMETER_TRUST,
  fresh: () => ({ durable: NONE, volatile: NOBODY_LOOKED }),
  lost: (_, { testimony, isNew }) => (isNew ? NONE : inDoubt(NONE, testimony)),
  afterRestart: ({ durable, volatile }, restart) => ({
    durable: restart.memory === "sound" ? durable : inDoubt(durable, restart.testimony),
    volatile,
  }),
  // Without a word about them both may hang in the air, and neither can vouch for the other: the cell's own agrees with
  // them for a while, or somebody at the tank says so.
  schema: () => parts.catch(WATER_THERMOMETERS),
  testimony: { schema: storedTestimony, of: (outOfWater) => ({ outOfWater }) },

  request(kept, request, context) {
    if (request.kind !== "trust") return null;
    return answerTrust(kept, request.part, isAtTank(request.at, context), context.outOfWater);
  },

  /** The same list while nothing changed: what changed must be on disk, so that no restart forgives. */
  watch(kept, { outOfWater }) {
    const { durable, volatile } = kept;
    if (outOfWater.length === 0 && durable.length === 0) return { kept, urgent: false };
    const now = outOfWater.filter((part) => !volatile.seenInWater.includes(part));
    const same = durable.length === now.length && durable.every((part) => now.includes(part));
    return { kept: { durable: same ? durable : now, volatile: NOBODY_LOOKED }, urgent: !same };
  },
};

const NONE: OutOfWater = [];
const NOBODY_LOOKED: TrustVolatile = { seenInWater: NONE };

/** Where nobody knows, both. */
const inDoubt = (known: OutOfWater, testimony: Testimony | null): OutOfWater =>
  testimony === null
    ? WATER_THERMOMETERS
    : WATER_THERMOMETERS.filter((part) => known.includes(part) || testimony.outOfWater.includes(part));

function answerTrust(
  kept: Own,
  part: WaterThermometer,
  atTank: boolean,
  outOfWater: OutOfWater,
): Answer<OutOfWater, TrustVolatile> {
  if (!atTank) return refuse(kept, "Only somebody at the tank sees that it hangs in the water again.");
  if (!outOfWater.includes(part)) return refuse(kept, `Nothing is held against ${PART_WORDS[part]}.`);
  const seenInWater = [...kept.volatile.seenInWater, part];
  return accept({ durable: kept.durable, volatile: { seenInWater } }, `Believed again: ${PART_WORDS[part]}.`);
}
