import { createAgenda } from "../../controller/rehearsal/agenda.ts";
import { settingsOf, tankOf } from "../../controller/rehearsal/box.ts";
import type { ControllerFaults } from "../../controller/rehearsal/faults/kind.ts";
import { doHand } from "../../controller/rehearsal/hands/index.ts";
import type { Scenario } from "../../controller/rehearsal/index.ts";
import { planFaults, planHands } from "../../controller/rehearsal/plan.ts";
import type { Tank } from "../../controller/rehearsal/plant/tank.ts";
import type { TankState } from "../../controller/rehearsal/plant/tank-state.ts";
import { lastLevelMm, SALT_G_PER_L, salinityOf } from "../../controller/rehearsal/plant/water.ts";
import { type Commands, EVERYTHING_OFF, type HeaterPart } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";

const MS_PER_H = 3_600_000;

/**
 * The best that these parts can do: a hand on the same switches that needs no float and no probe, because it knows the
 * water itself. What it cannot prevent, no controller could. It does not know what is going to happen.
 */
export function liveAllKnowing(
  scenario: Scenario,
  options: { readonly seed: number; readonly settings: Settings; readonly watch: (tank: Tank) => void },
): void {
  const settings = settingsOf(scenario, options.settings);
  const tank = tankOf(scenario, settings, options.seed);
  const agenda = createAgenda();
  const computer = createComputer();
  planFaults(scenario, { tank, controller: computer.faults }, agenda);
  planHands(scenario, agenda, (hand) => doHand(hand, tank, settings, null));
  const decide = createKnowing(settings, salinityOf(tank.state.water));
  for (let nowMs = 0; nowMs < scenario.hours * MS_PER_H; nowMs += settings.scanMs) {
    agenda.until(nowMs);
    const commands = decide(tank.state);
    tank.apply(computer.alive(commands, settings.scanMs) ? commands : null, settings.scanMs);
    options.watch(tank);
  }
}

/** Also the best hand is on a computer, and that may die. */
function createComputer() {
  let deadMs = 0;
  let inNextPourMs: number | null = null;
  const faults: ControllerFaults = {
    kill: (forMs) => {
      deadMs = forMs;
    },
    killInNextPour: (forMs) => {
      inNextPourMs = forMs;
    },
    loseMemory: () => undefined,
    useOldMemory: () => undefined,
    jumpClock: () => undefined,
  };
  const alive = (commands: Commands, scanMs: number): boolean => {
    if (inNextPourMs !== null && commands["top-off-pump"]) {
      deadMs = inNextPourMs;
      inNextPourMs = null;
    }
    deadMs = Math.max(0, deadMs - scanMs);
    return deadMs === 0;
  };
  return { faults, alive };
}

/** It pours while the water is saltier than at the start, as long as that does not drown anything. */
const SALTIER = 0.05;
const HIGHEST_MM = 40;
/** It lifts the tube out before the pump sucks air. */
const LEFT_L = 0.05;

function createKnowing(settings: Settings, startSalinity: number): (tank: TankState) => Commands {
  const { temperatureC } = settings.targets;
  const halfBandK = settings.heat.deadbandK / 2;
  let heating = false;
  let commands = EVERYTHING_OFF;
  return (tank) => {
    const { heat } = tank;
    if (heat.restC < temperatureC - halfBandK) heating = true;
    else if (heat.restC > temperatureC + halfBandK) heating = false;
    const pours = wantsWater(tank, startSalinity);
    const first = heating && standsInWater(tank, "heater-1");
    const second = heating && standsInWater(tank, "heater-2");
    const same =
      pours === commands["top-off-pump"] && first === commands["heater-1"] && second === commands["heater-2"];
    if (!same) {
      commands = {
        "top-off-pump": pours,
        "water-guard": pours,
        "heater-1": first,
        "heat-guard": first,
        "heater-2": second,
        "heat-guard-2": second,
      };
    }
    return commands;
  };
}

function wantsWater({ water, geometry, plumbing, floor }: TankState, startSalinity: number): boolean {
  if (salinityOf(water) <= startSalinity + SALTIER || plumbing.reservoirL <= LEFT_L) return false;
  const heldL = plumbing.reservoirL + plumbing.tubeL;
  const fresher = plumbing.reservoirSaltG / (heldL * SALT_G_PER_L) < salinityOf(water);
  return fresher && floor.standingL === 0 && lastLevelMm(water, geometry) < HIGHEST_MM;
}

function standsInWater({ heaters, water, geometry }: TankState, part: HeaterPart): boolean {
  const heater = heaters[part];
  if (heater === null || heater.uncovered) return false;
  return heater.coveredToMm === null || lastLevelMm(water, geometry) >= heater.coveredToMm;
}
