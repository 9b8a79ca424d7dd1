import { CLEAN_DRIFT_PERCENT_PER_DAY, type ConductivityProbe } from "../plant/conductivity-probe.ts";
import type { Thermometer } from "../plant/thermometer.ts";
import { type Fault, type FaultKind, NO_VALUE, number, type World } from "./kind.ts";

const WATER_THERMOMETERS = ["thermometer-1", "thermometer-2"] as const;
const PROBES = [...WATER_THERMOMETERS, "conductivity-probe"] as const;

const thermometer = (world: World, part: string): Thermometer =>
  world.tank.state.thermometers[part as (typeof WATER_THERMOMETERS)[number]];

function ail(
  world: World,
  fault: Fault,
  ofThermometer: Thermometer["ailment"],
  ofProbe: ConductivityProbe["ailment"],
): void {
  if (fault.part === "conductivity-probe") world.tank.state.probe.ailment = ofProbe;
  else thermometer(world, fault.part).ailment = ofThermometer;
}

const probe = (
  kind: string,
  ofThermometer: Thermometer["ailment"],
  ofProbe: ConductivityProbe["ailment"],
  says: string,
): FaultKind => ({
  kind,
  parts: PROBES,
  partImplied: false,
  value: NO_VALUE,
  says,
  begin: (world, fault) => ail(world, fault, ofThermometer, ofProbe),
  end: (world, fault) => ail(world, fault, "none", "none"),
});

function offset(world: World, fault: Fault, value: number): void {
  if (fault.part === "conductivity-probe") world.tank.state.probe.offsetPercent = value;
  else thermometer(world, fault.part).offsetK = value;
}

const onProbe = (
  kind: string,
  value: FaultKind["value"],
  says: string,
  change: (part: ConductivityProbe, value: number) => void,
  back: (part: ConductivityProbe) => void,
): FaultKind => ({
  kind,
  parts: ["conductivity-probe"],
  partImplied: true,
  value,
  says,
  begin: ({ tank }, fault) => change(tank.state.probe, fault.value),
  end: ({ tank }) => back(tank.state.probe),
});

function bus(world: World, ailment: Thermometer["ailment"]): void {
  for (const part of WATER_THERMOMETERS) thermometer(world, part).ailment = ailment;
}

/** Thermometers and the conductivity probe. */
export const PROBE_FAULTS: readonly FaultKind[] = [
  probe("probe-out-of-water", "out-of-water", "out-of-water", "A probe hangs in the air."),
  probe("probe-open", "open-circuit", "open", "The wire of a probe is broken."),
  probe("probe-short", "short-circuit", "short", "The wires of a probe touch."),
  probe("probe-frozen", "frozen", "frozen", "A probe repeats its last value for ever."),
  {
    ...probe("probe-power-on-value", "power-on-value", "none", "A thermometer gives 85.0 °C: it never converted."),
    parts: WATER_THERMOMETERS,
  },
  {
    ...probe("probe-offset", "none", "none", "A probe reads wrong: K for a thermometer, % for the conductivity probe."),
    value: number(-30, 30, 1, "K or %"),
    begin: (world, fault) => offset(world, fault, fault.value),
    end: (world, fault) => offset(world, fault, 0),
  },
  {
    kind: "thermometer-bus-short",
    parts: WATER_THERMOMETERS,
    partImplied: true,
    value: NO_VALUE,
    says: "The bus of the two thermometers is shorted: eight zero bytes, whose checksum passes.",
    begin: (world) => bus(world, "all-zero"),
    end: (world) => bus(world, "none"),
  },
  onProbe(
    "conductivity-fouling",
    number(-20, 20, -0.5, "% a day"),
    "The conductivity cell fouls; at untilH it is cleaned.",
    (part, value) => {
      part.driftPercentPerDay = value;
    },
    (part) => {
      part.driftPercentPerDay = CLEAN_DRIFT_PERCENT_PER_DAY;
      part.driftedPercent = 0;
    },
  ),
  onProbe(
    "conductivity-bubbles",
    NO_VALUE,
    "Bubbles cling to the conductivity cell: it reads low and noisy.",
    (part) => {
      part.bubbling = true;
    },
    (part) => {
      part.bubbling = false;
    },
  ),
];
