import type { ContactPart } from "../../../shared/contract/index.ts";
import { beginSplashes, type ContactSensor } from "../plant/contact-sensor.ts";
import { type Fault, type FaultKind, NO_VALUE, number, type World } from "./kind.ts";

const FLOATS = ["working-float", "high-float", "low-float", "reservoir-float"] as const;

const ail = (world: World, part: ContactPart, ailment: ContactSensor["ailment"]) => {
  world.tank.state.sensors[part].ailment = ailment;
};

const float = (kind: string, ailment: ContactSensor["ailment"], says: string): FaultKind => ({
  kind,
  parts: FLOATS,
  partImplied: false,
  value: NO_VALUE,
  says,
  begin: (world, fault) => ail(world, fault.part as ContactPart, ailment),
  end: (world, fault) => ail(world, fault.part as ContactPart, "none"),
});

const sensor = (kind: string, part: ContactPart, ailment: ContactSensor["ailment"], says: string): FaultKind => ({
  kind,
  parts: [part],
  partImplied: true,
  value: NO_VALUE,
  says,
  begin: (world) => ail(world, part, ailment),
  end: (world) => ail(world, part, "none"),
});

/** Floats and their cables, and the two sensors that watch power and flow. */
export const CONTACT_FAULTS: readonly FaultKind[] = [
  {
    ...float("float-stuck", "stuck-on", "A float stays where it is, whatever the water does."),
    value: { of: "choice", choices: ["dry", "wet"] },
    begin: (world, fault) => ail(world, fault.part as ContactPart, stuck(fault)),
  },
  float("float-open-circuit", "open", "The wire of a float is broken."),
  float("float-short", "short", "The two wires of a float touch."),
  float("float-chatter", "chatter", "A float's contact opens and closes at random."),
  {
    ...float("float-splash", "none", "Four times a day a splash wets a float for a moment."),
    value: number(0.05, 60, 0.5, "s wet"),
    begin: (world, fault) => beginSplashes(world.tank.state.sensors[fault.part as ContactPart], fault.value),
    end: (world, fault) => {
      world.tank.state.sensors[fault.part as ContactPart].splash = null;
    },
  },
  {
    kind: "shared-cable-short",
    parts: ["working-float", "high-float"],
    partImplied: true,
    value: NO_VALUE,
    says: "Working and high float run in one cable, and it is crushed: both are shorted.",
    begin: (world) => both(world, "short"),
    end: (world) => both(world, "none"),
  },
  sensor("mains-sensor-open", "mains-sensor", "open", "The wire of the mains sensor is broken."),
  sensor("return-sensor-wrong", "return-sensor", "inverted", "The return-pump sensor says the opposite of the truth."),
];

const stuck = (fault: Fault): ContactSensor["ailment"] => (fault.choice === "wet" ? "stuck-on" : "stuck-off");

function both(world: World, ailment: ContactSensor["ailment"]): void {
  ail(world, "working-float", ailment);
  ail(world, "high-float", ailment);
}
