import type { ContactReading } from "../../shared/contract/reading.ts";
import type { ContactWiring, Supervision } from "../../shared/settings/index.ts";
import type { Heard } from "../boards/index.ts";
import { reading, type Unusable, unusable } from "./reading.ts";

/**
 * A contact to ground on a pin with pull-up: closed reads low. A broken wire reads high as an open contact does, which
 * is why the settings choose for each part which of the two is its dangerous side.
 */
export const contactReading = (
  pinHigh: Heard<boolean>,
  { closedWhen }: Pick<ContactWiring, "closedWhen">,
  nowMs: number,
): ContactReading => reading(pinHigh, nowMs, (high) => (closedWhen === "on" ? !high : high));

/** A contact with resistors at the end of its line, on a pin that reads the voltage: broken and shorted are both known. */
export const supervisedReading = (
  shareOfSupply: Heard<number>,
  { closedWhen }: Pick<ContactWiring, "closedWhen">,
  supervision: Supervision,
  nowMs: number,
): ContactReading =>
  reading(shareOfSupply, nowMs, (share) => {
    const contact = contactBehind(share, supervision);
    return typeof contact === "object" ? contact : (contact === "closed") === (closedWhen === "on");
  });

/** Half of the way to the next state is still this one, but for a tenth in the middle that is neither. */
const NEITHER = 0.1;

/**
 * Four states along the supply: shorted (0), closed, open, broken (1). Between closed and open lies what only a corroded
 * joint or a wet connector makes.
 */
function contactBehind(share: number, supervision: Supervision): "closed" | "open" | Unusable {
  const { pullUpOhms, closedOhms, openOhms } = supervision;
  const closed = closedOhms / (closedOhms + pullUpOhms);
  const open = openOhms / (openOhms + pullUpOhms);
  if (share < closed / 2) return unusable("short-circuit");
  if (share > (open + 1) / 2) return unusable("open-circuit");
  const way = (share - closed) / (open - closed);
  if (Math.abs(way - 0.5) < NEITHER / 2) return unusable("garbled");
  return way < 0.5 ? "closed" : "open";
}
