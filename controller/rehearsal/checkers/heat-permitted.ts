import { type HeaterPart, heaterIn, type Signal } from "../../../shared/contract/index.ts";
import type { Checker, Scene } from "./scene.ts";

/** A cut-out may take three conversions of a thermometer, and never longer than this. */
const CUT_MS = 10_000;
const CAUTIOUS_SHARE = 0.5;
/** Careful heating goes in cycles: a span may begin with a whole spell of heat and end with another. */
const CAUTIOUS_SPARE_MS = 660_000;
/** By one contact the cycles are an hour. */
const ONE_CONTACT_SPARE_MS = 1_860_000;

/**
 * S4: heater on ⇒ at least one temperature that is not bad, the warmest of them below the cut-out, declared cover and
 * flow true, heat guard closed by the same scan, no more than cautious duty when uncertain.
 */
export function heatPermitted(): Checker {
  const [first, second] = [permitted("heater-1"), permitted("heater-2")];
  return (scene) => first(scene) ?? (scene.record.heaters.length === 1 ? null : second(scene));
}

function permitted(heater: HeaterPart): Checker {
  let hotMs = 0;
  let cautiousMs = 0;
  let cautiousOnMs = 0;
  return (scene) => {
    const { record, image, commands, settings } = scene;
    const on = commands[heater];
    const cautious = heaterIn(record, heater)?.state === "cautious";
    cautiousMs = cautious ? cautiousMs + image.elapsedMs : 0;
    if (!cautious) cautiousOnMs = 0;
    else if (on && !isCold(scene)) cautiousOnMs += image.elapsedMs;
    if (!on) {
      hotMs = 0;
      return null;
    }
    const warmestC = warmest(scene);
    hotMs = warmestC !== null && warmestC >= settings.heat.cutOutC ? hotMs + image.elapsedMs : 0;
    if (warmestC === null) return "the heater is on and no temperature can be trusted";
    if (hotMs > CUT_MS) return `the heater is on at ${warmestC} °C`;
    const byOneContact = heaterIn(record, heater)?.finding?.reason === "one-contact-heating";
    const spareMs = byOneContact ? ONE_CONTACT_SPARE_MS : CAUTIOUS_SPARE_MS;
    if (cautiousOnMs > CAUTIOUS_SHARE * cautiousMs + spareMs) {
      return `the heater was on for ${Math.round((100 * cautiousOnMs) / cautiousMs)} % of a doubtful time`;
    }
    return misplaced(heater, scene);
  };
}

function misplaced(heater: HeaterPart, { image, record, commands, settings }: Scene): string | null {
  const guard = heater === "heater-1" ? "heat-guard" : "heat-guard-2";
  if (!commands[guard]) return "the heater is on and its heat guard is not closed by the same scan";
  const latch = heaterIn(record, heater)?.latch ?? null;
  if (latch !== null) return `the heater is on although ${latch.reason} is latched`;
  const own = heater === "heater-1" ? settings.heat : settings.heat.secondHeater;
  if (own === null) return "a heater is on that the settings do not name";
  const { heaterPlace, thermometerSharesHeaterChamber } = own;
  const low = image.readings["low-float"];
  // A low float that is lost, not dry, leaves the word to the working float, which is low for minutes between two pours.
  const lost = low?.value !== false && image.readings["working-float"]?.value !== null;
  if (heaterPlace === "last-chamber" && low?.value !== true && !lost)
    return "the heater is on and its cover is not shown";
  const flow = image.readings["return-sensor"];
  // The one exception: a sensor that the water contradicts may not chill the box.
  const contradicted = record.topOff.surgeMissing;
  if (!thermometerSharesHeaterChamber && flow !== null && flow.value !== true && !contradicted) {
    return "the heater is on, no flow is shown and no thermometer shares its chamber";
  }
  return null;
}

/** Below the low limit no doubt keeps the heat from a box, as long as the warmest is below the setpoint. */
function isCold(scene: Scene): boolean {
  const { thermometers, quantities } = scene.record;
  const warmestC = warmest(scene);
  const { temperatureBandC } = scene.settings.alarms;
  const all = [...thermometers, quantities.cellTemperature].flatMap(({ value }) => (value === null ? [] : [value]));
  return warmestC !== null && warmestC < scene.settings.targets.temperatureC && Math.min(...all) < temperatureBandC[0];
}

/** The warmest of what the thermometers say in this image, of those whose signal is not bad. */
function warmest({ image, record }: Scene): number | null {
  const [first, second] = record.thermometers;
  const own = image.readings["conductivity-probe"]?.value?.temperatureC ?? null;
  const candidates = [
    said(image.readings["thermometer-1"]?.value ?? null, first),
    said(image.readings["thermometer-2"]?.value ?? null, second),
  ].filter((value) => value !== null);
  if (candidates.length > 0) return Math.max(...candidates);
  return record.quantities.temperature.quality === "bad" ? null : own;
}

const said = (value: number | null, signal: Signal): number | null =>
  signal.quality === "bad" ? null : (value ?? signal.value);
