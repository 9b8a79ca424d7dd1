import type { ContactReading } from "../../shared/contract/reading.ts";
import type { ContactWiring } from "../../shared/settings/index.ts";
import type { Heard } from "../boards/index.ts";
import { reading } from "./reading.ts";

/**
 * A contact to ground on a pin with pull-up: closed reads low. A broken wire reads high as an open contact does, which
 * is why the settings choose for each part which of the two is its dangerous side.
 */
export const contactReading = (
  pinHigh: Heard<boolean>,
  { closedWhen }: Pick<ContactWiring, "closedWhen">,
  nowMs: number,
): ContactReading => reading(pinHigh, nowMs, (high) => (closedWhen === "on" ? !high : high));
