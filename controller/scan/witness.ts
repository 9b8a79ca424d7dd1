import * as z from "zod";
import type { Witness } from "../../shared/contract/witness.ts";
import { EVERY_MACHINE } from "../decisions/list.ts";
import type { StoredMemory } from "./memory.ts";
import { isFirstWitness, migrateFirstWitness } from "./migrate-first-format.ts";

/** What is kept a second time of this memory: the testimony of each machine that has one, by its name. */
export function witnessOf({ machines }: StoredMemory): Witness {
  const told = EVERY_MACHINE.flatMap(({ key, testimony }) =>
    testimony === undefined ? [] : [[key.name, testimony.of(machines[key.name])] as const],
  );
  return Object.fromEntries(told);
}

const storedWitness = z.object(
  Object.fromEntries(
    EVERY_MACHINE.flatMap(({ key, testimony }) => (testimony === undefined ? [] : [[key.name, testimony.schema]])),
  ),
);

/** As it was stored; null where any of it cannot be read, for then all of it is in doubt. */
export function readWitness(stored: unknown): Witness | null {
  const read = storedWitness.safeParse(isFirstWitness(stored) ? migrateFirstWitness(stored) : stored);
  return read.success ? read.data : null;
}
