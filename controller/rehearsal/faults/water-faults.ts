import { drainReservoir, fillReservoir, saltReservoir } from "../plant/reservoir.ts";
import type { TankState } from "../plant/tank-state.ts";
import { type Fault, type FaultKind, type FaultValue, NO_VALUE, number, type ScenarioPart } from "./kind.ts";

type Change = (tank: TankState, fault: Fault) => void;

/** The kind says what is broken; a part named beside it only has to be the right one. */
const whole = (
  kind: string,
  part: ScenarioPart | null,
  value: FaultValue,
  says: string,
  begin: Change,
  end: Change | null,
): FaultKind => ({
  kind,
  parts: part === null ? [] : [part],
  partImplied: true,
  value,
  says,
  begin: (world, fault) => begin(world.tank.state, fault),
  end: end === null ? null : (world, fault) => end(world.tank.state, fault),
});

const PUMP_FAULTS: readonly FaultKind[] = [
  whole(
    "pump-worn",
    "top-off-pump",
    number(0, 1, 0.5, "of its flow left"),
    "The top-off pump has lost part of its flow.",
    (tank, fault) => {
      tank.plumbing.strength = fault.value;
    },
    (tank) => {
      tank.plumbing.strength = 1;
    },
  ),
  whole(
    "siphon",
    "top-off-pump",
    number(0.05, 5, 1, "L/min"),
    "After the next pump stop the water goes on running through the tube.",
    (tank, fault) => {
      tank.plumbing.siphonArmedLPerS = fault.value / 60;
    },
    (tank) => {
      tank.plumbing.siphonArmedLPerS = 0;
      tank.plumbing.siphonLPerS = 0;
    },
  ),
  whole(
    "tube-off",
    "top-off-pump",
    NO_VALUE,
    "The tube has slipped out of the tank and ends over the floor.",
    (tank) => {
      tank.plumbing.tubeOff = true;
    },
    (tank) => {
      tank.plumbing.tubeOff = false;
    },
  ),
  whole(
    "reservoir-empty",
    "reservoir-float",
    NO_VALUE,
    "The reservoir is empty; it is filled again at untilH.",
    (tank) => drainReservoir(tank.plumbing),
    (tank) => fillReservoir(tank.plumbing),
  ),
  whole(
    "reservoir-salty",
    "reservoir-float",
    number(0, 42, 35, "salinity"),
    "The reservoir was filled with salt water; it is exchanged for fresh water at untilH.",
    (tank, fault) => saltReservoir(tank.plumbing, fault.value),
    (tank) => saltReservoir(tank.plumbing, 0),
  ),
];

const BOX_FAULTS: readonly FaultKind[] = [
  whole(
    "return-pump-stopped",
    "return-pump",
    NO_VALUE,
    "The return pump stands still.",
    (tank) => {
      tank.returnPump.stopped = true;
    },
    (tank) => {
      tank.returnPump.stopped = false;
    },
  ),
  whole(
    "chamber-clogged",
    null,
    number(0, 1, 0.7, "closed"),
    "The grid between the rear chambers is clogged, so the last chamber falls although nothing is missing.",
    (tank, fault) => {
      tank.clogging.chamber = fault.value;
    },
    (tank) => {
      tank.clogging.chamber = 0;
    },
  ),
  whole(
    "weir-clogged",
    null,
    number(0, 1, 0.7, "closed"),
    "The weir is clogged, so the display stands higher and the last chamber falls.",
    (tank, fault) => {
      tank.clogging.weir = fault.value;
    },
    (tank) => {
      tank.clogging.weir = 0;
    },
  ),
  whole(
    "tank-leak",
    null,
    number(0.001, 100, 0.5, "L/h"),
    "Tank water seeps away where no floor sensor lies.",
    (tank, fault) => {
      tank.leakLPerH = fault.value;
    },
    (tank) => {
      tank.leakLPerH = 0;
    },
  ),
  whole(
    "salt-loss",
    null,
    number(0, 50, 0.5, "% a day"),
    "Salt leaves the tank and water does not: creep, spray, skimming made up with fresh water.",
    (tank, fault) => {
      tank.saltLossPercentPerDay = fault.value;
    },
    (tank) => {
      tank.saltLossPercentPerDay = 0;
    },
  ),
  whole(
    "evaporation-factor",
    null,
    number(0.3, 3, 2, "of what was commissioned"),
    "Less or more evaporates than was commissioned: damp or dry air, a lid, a draught.",
    (tank, fault) => {
      tank.evaporationFactor = fault.value;
    },
    (tank) => {
      tank.evaporationFactor = 1;
    },
  ),
  whole(
    "cold-water-change",
    null,
    number(0, 20, 6, "K below the tank"),
    "The next water change comes cold.",
    (tank, fault) => {
      tank.nextChangeColderK = fault.value;
    },
    null,
  ),
];

/** Pump, tube, reservoir, and the way of the water through the box. */
export const WATER_FAULTS: readonly FaultKind[] = [...PUMP_FAULTS, ...BOX_FAULTS];
