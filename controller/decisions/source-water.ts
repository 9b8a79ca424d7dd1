import {
  type CartridgeMemory,
  cartridgeAfterRestart,
  followCartridge,
  NEW_CARTRIDGE,
  sourceWaterStatus,
  storedCartridge,
  UNKNOWN_CARTRIDGE,
} from "../quantities/cartridge.ts";
import { accept, type Kept, type Key, type Machine } from "./machine.ts";
import { TOP_OFF } from "./top-off/key.ts";

const SOURCE_WATER: Key<CartridgeMemory, null> = { name: "source-water" };

/** The water that fills the reservoir, and what the cartridge that makes it has given. Nothing is decided by it. */
export const sourceWater: Machine<CartridgeMemory, null> = {
  key: SOURCE_WATER,
  fresh: () => keep(NEW_CARTRIDGE),
  lost: () => UNKNOWN_CARTRIDGE,
  afterRestart: ({ durable }, restart) =>
    keep(restart.memory === "sound" ? cartridgeAfterRestart(durable, restart.offMs) : UNKNOWN_CARTRIDGE),
  schema: () => storedCartridge,
  request: (_, { kind }) => (kind === "cartridge-changed" ? accept(keep(NEW_CARTRIDGE), CHANGED) : null),
  watch({ durable }, context) {
    const pouredUl = context.keptOf(TOP_OFF).durable.pouredTotalUl - context.before(TOP_OFF).durable.pouredTotalUl;
    return { kept: keep(followCartridge(durable, context.elapsed.ms, pouredUl)), urgent: false };
  },
  show(draft, { durable }, { signals }) {
    draft.sourceWater = sourceWaterStatus(signals.sourceTds, durable);
  },
};

const CHANGED = "Noted: litres and days of the cartridge count from now.";

const keep = (durable: CartridgeMemory): Kept<CartridgeMemory, null> => ({ durable, volatile: null });
