import { HTTP_PATHS, type TankAnswer } from "../../../shared/contract/index.ts";
import { type KeeperUnits, METRIC } from "../../../shared/units/index.ts";

const WITHIN_MS = 2_000;

/** The units that the keeper of a running controller chose in its settings; metric where its page does not answer. */
export async function fetchUnits(address: string): Promise<KeeperUnits> {
  try {
    const signal = AbortSignal.timeout(WITHIN_MS);
    const answer = await fetch(new URL(HTTP_PATHS.tank, address), { signal });
    return ((await answer.json()) as Partial<TankAnswer>).units ?? METRIC;
  } catch {
    return METRIC;
  }
}
