import {
  allowedDilutionL,
  type BoxBudget,
  boxBudget,
  FLOW_MARGIN,
  heaterPowerOf,
  type LargeReservoir,
  type Settings,
  wattsPerKelvinHour,
} from "../../shared/settings/index.ts";
import { formatDifference, formatTemperature, formatVolume } from "../../shared/units/index.ts";

/** What a settings file means for the box, in the keeper's units: what check, the wiring sheet and init say of it. */
export const describeBox = (settings: Settings): string[] => [
  ...(settings.outputs["top-off-pump"] === undefined ? [] : describeWater(settings)),
  ...(settings.outputs["heater-1"] === undefined ? [] : describeHeat(settings)),
];

function describeWater(settings: Settings): string[] {
  const { topOff, units } = settings;
  const budget = boxBudget(settings);
  const sliceS = topOff.sliceMl / 1000 / (topOff.provenFlowLPerMin / 60);
  return [
    `Reservoir: ${formatVolume(topOff.reservoirL, units)}, ${budget.autonomyDays.toFixed(1)} days at ` +
      `${formatVolume(topOff.evaporationLPerDay, units)} a day. The box takes at most ` +
      `${formatVolume(budget.largestReservoirL, units)} of fresh water at once: ${budget.because}.`,
    ...describeLargeReservoir(settings, budget),
    ...describeFan(settings),
    `Top-off: at most ${formatVolume(topOff.dailyBudgetL, units)} a day, ${topOff.sliceMl} mL (${sliceS.toFixed(0)} s) at once.`,
  ];
}

const NO_SIPHON: Readonly<Record<LargeReservoir["noSiphon"], string>> = {
  "air-gap": "the tube ends in air above the highest level",
  "pump-that-blocks": "the pump lets nothing through while it stands still",
};
const DISPLAY_GUARD: Readonly<Record<LargeReservoir["displayGuard"], string>> = {
  "display-float": "a float in the display stops the pump when its weir clogs",
  overflow: "an overflow carries off what a clogged weir keeps in the display",
  "no-weir": "the display has no weir that could clog",
};

function describeLargeReservoir(
  { topOff: { largeReservoir: large, reservoirL } }: Settings,
  budget: BoxBudget,
): string[] {
  if (large === null || reservoirL <= budget.largestReservoirL) return [];
  return [
    `Larger than that, and accepted: “${large.because}” It is harmless as long as ${NO_SIPHON[large.noSiphon]}; relay and ` +
      `water guard are two contacts; the high float's own contact stands in the pump's supply; ` +
      `${DISPLAY_GUARD[large.displayGuard]}. What of this is lost makes the reservoir too large.`,
  ];
}

/** What the fan takes beyond the evaporation that is sure without it counts as unexplained until a hand test. */
function describeFan(settings: Settings): string[] {
  const { topOff, units } = settings;
  const { fan } = topOff;
  if (fan === null) return [];
  const chargedL = Math.min(FLOW_MARGIN * fan.evaporationLPerDay, topOff.dailyBudgetL);
  const excessL = chargedL - topOff.evaporationLPerDay * topOff.lowestEvaporationShare;
  const days =
    excessL > 0
      ? ` After ${(allowedDilutionL(settings) / excessL).toFixed(1)} such days top-off waits for a hand test.`
      : "";
  return [
    `Fan above ${formatTemperature(fan.aboveC, units)}: ${formatVolume(fan.evaporationLPerDay, units)} a day, ` +
      `${(topOff.reservoirL / fan.evaporationLPerDay).toFixed(1)} days. No budget grows with it.${days}`,
  ];
}

function describeHeat({ tank, targets, heat, units }: Settings): string[] {
  const { secondHeater } = heat;
  const heldDownToC = targets.temperatureC - (heaterPowerOf(heat) + heat.returnPumpW) / heat.lossWPerK;
  const largestW = Math.max(heat.heaterW, secondHeater?.heaterW ?? 0);
  const riseK = largestW / wattsPerKelvinHour(tank.netVolumeL);
  const watts = secondHeater === null ? `${heat.heaterW} W` : `${heat.heaterW} W and ${secondHeater.heaterW} W`;
  const setpoint = formatTemperature(targets.temperatureC, units);
  return [
    `Heat: ${watts} in ${formatVolume(tank.netVolumeL, units)} hold ${setpoint} down to a room of ` +
      `${formatTemperature(heldDownToC, units)}. Stuck on, ${secondHeater === null ? "it warms" : "the stronger warms"} the ` +
      `water by ${formatDifference(riseK, units)} an hour at most; cut-out at ${formatTemperature(heat.cutOutC, units)}.`,
  ];
}
