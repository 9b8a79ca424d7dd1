import type { Commands, Field, Image } from "../../../shared/contract/index.ts";
import type { Settings } from "../../../shared/settings/index.ts";
import { passTime, renew } from "./board.ts";
import { readConductivity } from "./conductivity-probe.ts";
import { readContact } from "./contact-sensor.ts";
import { applyFastLaws } from "./fast-laws.ts";
import { applySecondLaws } from "./second-laws.ts";
import { createTankState, type TankOptions, type TankState } from "./tank-state.ts";
import { readThermometer } from "./thermometer.ts";
import { type Truth, truthOf } from "./truth.ts";

/**
 * The simulated tank. It stands where boards, floats, pumps and water would, and knows nothing of how anybody decides.
 * It is a machine with a state that moves on, not a value: whoever wants two runs builds two.
 */
export interface Tank {
  readonly state: TankState;
  look(): ReturnType<Field["look"]>;
  /** Lets time pass with these commands renewed at its beginning; null = nobody renews anything. */
  apply(commands: Commands | null, dtMs: number): void;
  truth(): Truth;
}

export function createTank(seed: number, settings: Settings, options: TankOptions = {}): Tank {
  const state = createTankState(seed, settings, options);
  // The probes have been in the water for long: what they first say is already a measurement.
  applySecondLaws(state, 0);
  return {
    state,
    look: () => look(state),
    apply: (commands, dtMs) => {
      renew(state.board, state.contacts, commands);
      for (let leftMs = dtMs; leftMs > 0; leftMs -= LONGEST_STEP_MS) step(state, Math.min(leftMs, LONGEST_STEP_MS));
    },
    truth: () => truthOf(state),
  };
}

const LONGEST_STEP_MS = 250;
const SECOND_MS = 1000;

function step(state: TankState, dtMs: number): void {
  passTime(state.board, state.contacts, dtMs);
  state.nowMs += dtMs;
  applyFastLaws(state, dtMs / 1000);
  state.secondMs += dtMs;
  if (state.secondMs < SECOND_MS) return;
  applySecondLaws(state, state.secondMs / 1000);
  state.secondMs = 0;
}

/** Nothing is sensed behind the contacts of the default tank: welds show by their effect. */
const NOT_SENSED: Image["seen"] = {
  "top-off-pump": null,
  "heater-1": null,
  "water-guard": null,
  "heat-guard": null,
  "heater-2": null,
  "heat-guard-2": null,
};

function look(state: TankState): ReturnType<Field["look"]> {
  const { sensors, thermometers, random, board, secondMs } = state;
  const { mutedMs, silent, restarted } = board;
  board.restarted = false;
  return {
    readings: {
      "working-float": readContact(sensors["working-float"], random, mutedMs),
      "high-float": readContact(sensors["high-float"], random, mutedMs),
      "low-float": readContact(sensors["low-float"], random, mutedMs),
      "reservoir-float": readContact(sensors["reservoir-float"], random, mutedMs),
      "floor-sensor": readContact(sensors["floor-sensor"], random, mutedMs),
      "mains-sensor": readContact(sensors["mains-sensor"], random, mutedMs),
      "return-sensor": readContact(sensors["return-sensor"], random, mutedMs),
      "thermometer-1": readThermometer(thermometers["thermometer-1"], secondMs),
      "thermometer-2": readThermometer(thermometers["thermometer-2"], secondMs),
      "room-thermometer": readThermometer(thermometers["room-thermometer"], secondMs),
      "conductivity-probe": readConductivity(state.probe, secondMs),
    },
    seen: NOT_SENSED,
    board: silent ? "silent" : restarted ? "restarted" : "ready",
  };
}
