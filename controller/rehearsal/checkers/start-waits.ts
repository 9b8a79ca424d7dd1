import { STEADY_MS, TOP_OFF_AFTER_START_MS } from "../../../shared/settings/index.ts";
import type { Checker } from "./scene.ts";

/** S5a: no pump or heater before the steady time and proof, save a proving run. */
export function startWaits(): Checker {
  let sinceStartMs = 0;
  return ({ image, record, commands }) => {
    sinceStartMs = image.start === null ? sinceStartMs + image.elapsedMs : 0;
    if (record.topOff.state === "proving") return null;
    const heats = commands["heater-1"] || commands["heater-2"];
    if (heats && sinceStartMs < STEADY_MS) return `a heater is on ${sinceStartMs} ms after the start`;
    if (commands["top-off-pump"] && sinceStartMs < TOP_OFF_AFTER_START_MS) {
      return `the pump is on ${sinceStartMs} ms after the start`;
    }
    return null;
  };
}
