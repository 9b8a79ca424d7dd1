import type { Heater } from "../plant/heater.ts";
import { type FaultKind, NO_VALUE, number } from "./kind.ts";

const heater = (kind: string, which: "dead" | "thermostatStuck" | "uncovered", says: string): FaultKind => ({
  kind,
  parts: ["heater-1", "heater-2"],
  partImplied: false,
  value: NO_VALUE,
  says,
  begin: (world) => set(world.tank.state.heater, which, true),
  end: (world) => set(world.tank.state.heater, which, false),
});

function set(part: Heater, which: "dead" | "thermostatStuck" | "uncovered", value: boolean): void {
  part[which] = value;
}

/** Heater and room. */
export const HEAT_FAULTS: readonly FaultKind[] = [
  heater("heater-dead", "dead", "The heater takes power and gives no heat."),
  heater("heater-thermostat-stuck", "thermostatStuck", "The heater's own thermostat does not open any more."),
  heater("heater-uncovered", "uncovered", "The heater stands out of the water."),
  {
    kind: "room-temperature",
    parts: ["room-thermometer"],
    partImplied: true,
    value: number(-20, 60, 35, "°C"),
    says: "The room is this warm, without its daily swing, until untilH.",
    begin: ({ tank }, fault) => {
      tank.state.room.overrideC = fault.value;
    },
    end: ({ tank }) => {
      tank.state.room.overrideC = null;
    },
  },
];
