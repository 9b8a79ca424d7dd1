import { HEATER_PARTS, type HeaterPart } from "../../../shared/contract/index.ts";
import { type Fault, type FaultKind, NO_VALUE, number, type World } from "./kind.ts";

const heater = (kind: string, which: "dead" | "thermostatStuck" | "uncovered", says: string): FaultKind => ({
  kind,
  parts: HEATER_PARTS,
  partImplied: false,
  value: NO_VALUE,
  says,
  begin: (world, fault) => set(world, fault, which, true),
  end: (world, fault) => set(world, fault, which, false),
});

function set({ tank }: World, { part }: Fault, which: "dead" | "thermostatStuck" | "uncovered", value: boolean): void {
  const heater = tank.state.heaters[part as HeaterPart];
  if (heater !== null) heater[which] = value;
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
