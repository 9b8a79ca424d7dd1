import { type Commands, EVERYTHING_OFF, type ThermometerReading } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { createAgenda } from "./agenda.ts";
import { settingsOf, tankOf } from "./box.ts";
import { reachesBareParts } from "./faults/kind.ts";
import { doHand } from "./hands/index.ts";
import { planFaults, planHands } from "./plan.ts";
import { readContact } from "./plant/contact-sensor.ts";
import type { TankState } from "./plant/tank-state.ts";
import { readThermometer } from "./plant/thermometer.ts";
import type { Truth } from "./plant/truth.ts";
import type { RunOptions } from "./run.ts";
import type { Scenario } from "./scenario.ts";

const MS_PER_H = 3_600_000;

/**
 * The same scenario on the same tank with the parts alone: a float that switches the top-off pump by a relay, and a
 * thermostat that switches the heater. No second float is looked at, no guard opens, nobody is told anything. There is
 * no board and no computer in it, so their faults cannot happen.
 */
export function rehearseBareParts(scenario: Scenario, options: Pick<RunOptions, "seed" | "settings" | "watch">): Truth {
  const settings = settingsOf(scenario, options.settings);
  const tank = tankOf(scenario, settings, options.seed);
  const agenda = createAgenda();
  planFaults(scenario, { tank, controller: null }, agenda, reachesBareParts);
  planHands(scenario, agenda, (hand) => doHand(hand, tank, settings, null));
  const parts = createBareParts(settings);
  const lastMs = scenario.hours * MS_PER_H;
  for (let nowMs = 0; nowMs < lastMs; nowMs += settings.scanMs) {
    agenda.until(nowMs);
    tank.apply(parts(tank.state), settings.scanMs);
    options.watch?.(tank);
  }
  return tank.truth();
}

const GUARDS_CLOSED: Commands = { ...EVERYTHING_OFF, "water-guard": true, "heat-guard": true, "heat-guard-2": true };

function createBareParts({ targets, heat }: Settings): (tank: TankState) => Commands {
  const onBelowC = targets.temperatureC - heat.deadbandK / 2;
  const offAboveC = targets.temperatureC + heat.deadbandK / 2;
  const two = heat.secondHeater !== null;
  let heating = false;
  let commands = GUARDS_CLOSED;
  return ({ sensors, thermometers, random, secondMs }) => {
    const float = readContact(sensors["working-float"], random, 0);
    // The float closes when it hangs low: a broken wire never pours, two wires that touch always do.
    const low = float.fault === null ? float.value === false : float.fault === "short-circuit";
    const seenC = celsiusSeen(readThermometer(thermometers["thermometer-1"], secondMs));
    if (seenC < onBelowC) heating = true;
    else if (seenC > offAboveC) heating = false;
    if (low !== commands["top-off-pump"] || heating !== commands["heater-1"]) {
      commands = { ...GUARDS_CLOSED, "top-off-pump": low, "heater-1": heating, "heater-2": heating && two };
    }
    return commands;
  };
}

/** What a thermostat without any doubt makes of its probe: no contact and eight zeros are very cold water, a short and
 *  the value at power-on very hot water. */
function celsiusSeen({ value, fault }: ThermometerReading): number {
  if (value !== null) return value;
  return fault === "short-circuit" || fault === "power-on-value" ? 85 : 0;
}
