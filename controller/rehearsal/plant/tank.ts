import type { Commands, ContactPart, Field, Image, ThermometerPart } from "../../../shared/contract/index.ts";
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
  const { sensors, thermometers, random, board, secondMs, without } = state;
  const { mutedMs, silent, restarted } = board;
  board.restarted = false;
  const contact = (part: ContactPart) => (without.has(part) ? null : readContact(sensors[part], random, mutedMs));
  const thermometer = (part: ThermometerPart) =>
    without.has(part) ? null : readThermometer(thermometers[part], secondMs);
  return {
    readings: {
      "working-float": contact("working-float"),
      "high-float": contact("high-float"),
      "low-float": contact("low-float"),
      "reservoir-float": contact("reservoir-float"),
      "floor-sensor": contact("floor-sensor"),
      "mains-sensor": contact("mains-sensor"),
      "return-sensor": contact("return-sensor"),
      "thermometer-1": thermometer("thermometer-1"),
      "thermometer-2": thermometer("thermometer-2"),
      "room-thermometer": thermometer("room-thermometer"),
      "conductivity-probe": without.has("conductivity-probe") ? null : readConductivity(state.probe, secondMs),
    },
    seen: NOT_SENSED,
    board: silent ? "silent" : restarted ? "restarted" : "ready",
  };
}
