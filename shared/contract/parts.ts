/** The parts of the box by name. The same names stand in settings, scenarios, topics and messages. */

/** Inputs that are either wet or dry, running or stopped. */
export const CONTACT_PARTS = [
  "working-float",
  "high-float",
  "low-float",
  "reservoir-float",
  "floor-sensor",
  "mains-sensor",
  "return-sensor",
] as const;
export type ContactPart = (typeof CONTACT_PARTS)[number];

/** Inputs that give a temperature. */
export const THERMOMETER_PARTS = ["thermometer-1", "thermometer-2", "room-thermometer"] as const;
export type ThermometerPart = (typeof THERMOMETER_PARTS)[number];

/** Those of them that hang in the tank. */
export const WATER_THERMOMETERS = ["thermometer-1", "thermometer-2"] as const;
export type WaterThermometer = (typeof WATER_THERMOMETERS)[number];

/** Inputs that give a conductivity: the cell in the tank, and one in the water that fills the reservoir. */
export const CONDUCTIVITY_PARTS = ["conductivity-probe", "source-probe"] as const;

export const INPUT_PARTS = [...CONTACT_PARTS, ...THERMOMETER_PARTS, "conductivity-probe"] as const;
export type InputPart = (typeof INPUT_PARTS)[number];

/**
 * Switches. A pump runs only while its relay is on *and* its guard contact is closed; so does a heater. The last two are
 * there only in a box with two heaters.
 */
export const OUTPUT_PARTS = [
  "top-off-pump",
  "heater-1",
  "water-guard",
  "heat-guard",
  "heater-2",
  "heat-guard-2",
] as const;
export type OutputPart = (typeof OUTPUT_PARTS)[number];

export const HEATER_PARTS = ["heater-1", "heater-2"] as const satisfies readonly OutputPart[];
export type HeaterPart = (typeof HEATER_PARTS)[number];

/** The second switch in series with each relay. A cause of one heater never opens the guard of the other. */
export const GUARD_OF = {
  "top-off-pump": "water-guard",
  "heater-1": "heat-guard",
  "heater-2": "heat-guard-2",
} as const satisfies Partial<Record<OutputPart, OutputPart>>;

/** How a part is called in a sentence. */
export const PART_WORDS: Record<InputPart | OutputPart, string> = {
  "working-float": "working float",
  "high-float": "high float",
  "low-float": "low float",
  "reservoir-float": "reservoir float",
  "floor-sensor": "floor sensor",
  "mains-sensor": "mains sensor",
  "return-sensor": "return-pump sensor",
  "thermometer-1": "thermometer 1",
  "thermometer-2": "thermometer 2",
  "room-thermometer": "room thermometer",
  "conductivity-probe": "conductivity probe",
  "top-off-pump": "top-off pump",
  "heater-1": "heater",
  "water-guard": "water guard",
  "heat-guard": "heat guard",
  "heater-2": "second heater",
  "heat-guard-2": "second heat guard",
};
