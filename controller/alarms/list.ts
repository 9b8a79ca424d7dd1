import type { Condition } from "./condition.ts";
import { boardSilent } from "./conditions/board-silent.ts";
import { conductivityProbeFailed } from "./conditions/conductivity-probe-failed.ts";
import { dailyBudgetUsed } from "./conditions/daily-budget-used.ts";
import { diskFailed } from "./conditions/disk-failed.ts";
import { excessLitresRising } from "./conditions/excess-litres-rising.ts";
import { floatChattering } from "./conditions/float-chattering.ts";
import { floatFailed } from "./conditions/float-failed.ts";
import { floorWet } from "./conditions/floor-wet.ts";
import { frontRestarted } from "./conditions/front-restarted.ts";
import { heatLocked } from "./conditions/heat-locked.ts";
import { heatLockedAndCold } from "./conditions/heat-locked-and-cold.ts";
import { heatWithheld } from "./conditions/heat-withheld.ts";
import { heaterNoEffect } from "./conditions/heater-no-effect.ts";
import { heaterTooWeak } from "./conditions/heater-too-weak.ts";
import { heatingWhileOff } from "./conditions/heating-while-off.ts";
import { highFloatProofDue } from "./conditions/high-float-proof-due.ts";
import { historyFailed } from "./conditions/history-failed.ts";
import { holdQuestion } from "./conditions/hold-question.ts";
import { mainsLost } from "./conditions/mains-lost.ts";
import { partsNotProven } from "./conditions/parts-not-proven.ts";
import { programFault } from "./conditions/program-fault.ts";
import { proofsFallen } from "./conditions/proofs-fallen.ts";
import { protectiveDeviceTestDue } from "./conditions/protective-device-test-due.ts";
import { reservoirEmpty } from "./conditions/reservoir-empty.ts";
import { reservoirLow } from "./conditions/reservoir-low.ts";
import { reservoirNotFresh } from "./conditions/reservoir-not-fresh.ts";
import { returnPumpStopped } from "./conditions/return-pump-stopped.ts";
import { returnSensorSuspect } from "./conditions/return-sensor-suspect.ts";
import { roomThermometerFailed } from "./conditions/room-thermometer-failed.ts";
import { salinityFallingFast } from "./conditions/salinity-falling-fast.ts";
import { salinityFallsUnexplained } from "./conditions/salinity-falls-unexplained.ts";
import { salinityHigh } from "./conditions/salinity-high.ts";
import { salinityLow } from "./conditions/salinity-low.ts";
import { salinityRisingFast } from "./conditions/salinity-rising-fast.ts";
import { salinityVeryHigh } from "./conditions/salinity-very-high.ts";
import { salinityVeryLow } from "./conditions/salinity-very-low.ts";
import { scanStoppedItself } from "./conditions/scan-stopped-itself.ts";
import { sourceWaterImpure } from "./conditions/source-water-impure.ts";
import { temperatureHigh } from "./conditions/temperature-high.ts";
import { temperatureLow } from "./conditions/temperature-low.ts";
import { temperatureUnknown } from "./conditions/temperature-unknown.ts";
import { temperatureVeryHigh } from "./conditions/temperature-very-high.ts";
import { temperatureVeryLow } from "./conditions/temperature-very-low.ts";
import { thermometerFailed } from "./conditions/thermometer-failed.ts";
import { thermometersDisagree } from "./conditions/thermometers-disagree.ts";
import { topOffLocked } from "./conditions/top-off-locked.ts";
import { topOffNotAnswered } from "./conditions/top-off-not-answered.ts";
import { topOffWithheld } from "./conditions/top-off-withheld.ts";
import { waterNotOrdered } from "./conditions/water-not-ordered.ts";
import { waterOverHighMark } from "./conditions/water-over-high-mark.ts";
import { waterUnderLowMark } from "./conditions/water-under-low-mark.ts";

/**
 * Every alarm in order of rank: by priority, then by how little time it leaves. Of two that stand, the earlier one is
 * named first.
 */
export const CONDITIONS: readonly Condition[] = [
  waterOverHighMark,
  floorWet,
  waterNotOrdered,
  heatingWhileOff,
  temperatureVeryHigh,
  temperatureVeryLow,
  heatLockedAndCold,
  boardSilent,
  mainsLost,
  temperatureUnknown,
  waterUnderLowMark,
  returnPumpStopped,
  temperatureHigh,
  temperatureLow,
  salinityVeryLow,
  salinityVeryHigh,
  salinityFallingFast,
  salinityFallsUnexplained,
  topOffNotAnswered,
  topOffLocked,
  heatLocked,
  heaterNoEffect,
  returnSensorSuspect,
  reservoirEmpty,
  reservoirNotFresh,
  floatFailed,
  thermometerFailed,
  thermometersDisagree,
  diskFailed,
  scanStoppedItself,
  frontRestarted,
  programFault,
  proofsFallen,
  holdQuestion,
  dailyBudgetUsed,
  topOffWithheld,
  heatWithheld,
  heaterTooWeak,
  excessLitresRising,
  salinityLow,
  salinityHigh,
  salinityRisingFast,
  reservoirLow,
  conductivityProbeFailed,
  historyFailed,
  floatChattering,
  highFloatProofDue,
  protectiveDeviceTestDue,
  partsNotProven,
  sourceWaterImpure,
  roomThermometerFailed,
];
