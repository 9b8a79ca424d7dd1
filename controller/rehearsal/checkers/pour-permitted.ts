import type { ContactReading, Image } from "../../../shared/contract/index.ts";
import { CONTACT_STALE_MS } from "../../../shared/settings/index.ts";
import type { Checker, Scene } from "./scene.ts";

/**
 * S1: pump on ⇒ state pouring or proving run; no latch; every trip clear in that image; inputs fresh; full charge
 * durable; guard close commanded by the same scan.
 */
export function pourPermitted(): Checker {
  let bucketL = 0;
  let chargedAt: number | null = null;
  let wasOn = false;
  return (scene) => {
    const { record, image, commands, settings } = scene;
    if (image.start !== null) chargedAt = null;
    const slice = settings.topOff.sliceMl / 1000;
    if (bucketL - record.topOff.bucketL > slice * 0.9) chargedAt = record.memorySequence;
    bucketL = record.topOff.bucketL;
    const on = commands["top-off-pump"];
    const starts = on && !wasOn;
    wasOn = on;
    if (!on) return null;
    if (starts && chargedAt === null) return "the pump starts without a charge";
    if (starts && image.durableSequence < (chargedAt as number)) return "the pump starts before its charge is on disk";
    if (starts) chargedAt = null;
    return forbidden(scene);
  };
}

function forbidden({ record, image, commands }: Scene): string | null {
  const { state, latch, waterGuardLatch } = record.topOff;
  if (state !== "pouring" && state !== "proving") return `the pump is on in the state ${state}`;
  if (latch !== null) return `the pump is on although ${latch.reason} is latched`;
  if (waterGuardLatch !== null) return "the pump is on although the water guard is latched open";
  if (!commands["water-guard"]) return "the pump is on and the water guard is not closed by the same scan";
  if (image.board !== "ready") return `the pump is on and the board is ${image.board}`;
  return tripped(image);
}

/** What each input must show for the pump to run. */
const MUST_SHOW = [
  ["working-float", false],
  ["high-float", false],
  ["floor-sensor", false],
  ["reservoir-float", true],
  ["mains-sensor", true],
  ["return-sensor", true],
] as const;

function tripped({ readings }: Image): string | null {
  for (const [part, wanted] of MUST_SHOW) {
    const reading: ContactReading | null = readings[part];
    if (reading === null) continue;
    if (reading.fault !== null) return `the pump is on and the ${part} reports ${reading.fault}`;
    if (reading.ageMs > CONTACT_STALE_MS) return `the pump is on and the ${part} is ${reading.ageMs} ms old`;
    if (reading.value !== wanted) return `the pump is on and the ${part} reads ${reading.value}`;
  }
  return null;
}
