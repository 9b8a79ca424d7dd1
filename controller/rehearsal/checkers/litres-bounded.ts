import type { Settings } from "../../../shared/settings/index.ts";
import type { Checker } from "./scene.ts";

const DAY_MS = 86_400_000;

/**
 * S2: over any span, restarts included, what is ordered stays within the daily bucket and its leak, and what is ordered
 * beyond the lowest credible evaporation within the allowed dilution. Reckoned from the pump's on-time alone.
 */
export function litresBounded(): Checker {
  let inBucketL = 0;
  let excessL = 0;
  let wasOn = false;
  return ({ image, record, commands, settings }) => {
    const { topOff } = settings;
    const { elapsedMs } = image;
    const flowLPerMs = topOff.provenFlowLPerMin / 60_000;
    const orderedL = wasOn ? elapsedMs * flowLPerMs : 0;
    const coastL = wasOn && !commands["top-off-pump"] ? topOff.coastMl / 1000 : 0;
    const lowestLPerMs = (topOff.evaporationLPerDay * topOff.lowestEvaporationShare) / DAY_MS;
    inBucketL = Math.max(0, inBucketL - (elapsedMs * topOff.dailyBudgetL) / DAY_MS) + orderedL + coastL;
    excessL = Math.max(0, excessL - elapsedMs * lowestLPerMs) + orderedL + coastL;
    if (handTested(image.requests, record.outcomes)) excessL = 0;
    wasOn = commands["top-off-pump"];
    const spareL = 2 * settings.scanMs * flowLPerMs + topOff.coastMl / 1000;
    if (inBucketL > topOff.dailyBudgetL + spareL) return `${inBucketL.toFixed(3)} L in the daily bucket`;
    const mostL = dilutionL(settings);
    return excessL > mostL + spareL ? `${excessL.toFixed(3)} L in excess of ${mostL.toFixed(3)} L` : null;
  };
}

/** Fresh water that dilutes the tank by the allowed step, V·step/(S − step): reckoned here anew, so that a mistake in the
 *  limit of the decisions does not move what checks them. */
const dilutionL = ({ tank, targets, topOff }: Settings): number =>
  (tank.netVolumeL * topOff.allowedDilution) / (targets.salinity - topOff.allowedDilution);

const handTested = (
  requests: readonly { readonly id: string; readonly kind: string }[],
  outcomes: readonly { readonly id: string; readonly accepted: boolean }[],
): boolean =>
  requests.length > 0 &&
  requests.some(
    ({ id, kind }) => kind === "hand-test" && outcomes.some((outcome) => outcome.id === id && outcome.accepted),
  );
