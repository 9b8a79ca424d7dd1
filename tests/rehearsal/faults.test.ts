import { describe, expect, it } from "vitest";
import type { ControllerFaults } from "../../controller/rehearsal/faults/kind.ts";
import { FAULT_KINDS, faultKind, resolveFault, type WrittenFault } from "../../controller/rehearsal/faults/table.ts";
import { createTank, type Tank } from "../../controller/rehearsal/plant/tank.ts";
import type { ContactPart, InputPart } from "../../shared/contract/index.ts";
import { defaultTank, HEAT, levelMm, OFF, POUR, runFor, SETTINGS, salinity } from "./still-tank.ts";

/** What a row looks at: some number that the fault must move, and that its end must let go again. */
type Seen = (tank: Tank) => unknown;

const contact =
  (part: ContactPart): Seen =>
  (tank) => {
    const reading = tank.look().readings[part];
    return reading?.fault ?? reading?.value;
  };
const fault =
  (part: InputPart): Seen =>
  (tank) =>
    tank.look().readings[part]?.fault ?? "fine";

const poured =
  (seconds: number): Seen =>
  (tank) => {
    const before = tank.truth().pouredL;
    runFor(tank, seconds, POUR);
    runFor(tank, 5);
    return Number((tank.truth().pouredL - before).toFixed(1));
  };
const heated: Seen = (tank) => {
  const before = tank.state.accounts.heaterJ;
  runFor(tank, 60, HEAT);
  return Math.round((tank.state.accounts.heaterJ - before) / 1000);
};
const idle =
  (seconds: number, of: (tank: Tank) => number, digits = 1): Seen =>
  (tank) => {
    const before = of(tank);
    runFor(tank, seconds, OFF);
    return Number((of(tank) - before).toFixed(digits));
  };

interface Row {
  readonly fault: WrittenFault;
  readonly see: Seen;
  readonly healthy: unknown;
  readonly broken: unknown;
  /** Brings the tank to where the fault shows. */
  readonly first?: (tank: Tank) => void;
  /** Left out = the default tank. */
  readonly tank?: () => Tank;
}

const FAN = { aboveC: 26, evaporationLPerDay: 3 };
const tankWithFan = (): Tank => createTank(1, { ...SETTINGS, topOff: { ...SETTINGS.topOff, fan: FAN } });

const drop = (tank: Tank): void => {
  tank.state.jobs.push({ litresLeft: 0.4, outwards: true, salinity: 0, celsius: 0 });
  runFor(tank, 60);
};
const hot = (tank: Tank): void => {
  tank.state.heat.chamberC = 27;
  tank.state.heat.chamberJ *= 27 / 25;
  tank.state.heat.restJ *= 27 / 25;
  runFor(tank, 2);
};

const ROWS: readonly Row[] = [
  {
    fault: { kind: "float-stuck", part: "working-float", value: "dry" },
    see: contact("working-float"),
    healthy: true,
    broken: false,
  },
  {
    fault: { kind: "float-stuck", part: "high-float", value: "wet" },
    see: contact("high-float"),
    healthy: false,
    broken: true,
  },
  {
    fault: { kind: "float-stuck", part: "working-float", value: "wet" },
    see: contact("working-float"),
    healthy: false,
    broken: true,
    first: drop,
  },
  {
    fault: { kind: "float-open-circuit", part: "low-float" },
    see: contact("low-float"),
    healthy: true,
    broken: "open-circuit",
  },
  {
    fault: { kind: "float-short", part: "reservoir-float" },
    see: contact("reservoir-float"),
    healthy: true,
    broken: "short-circuit",
  },
  { fault: { kind: "float-chatter", part: "high-float" }, see: flips, healthy: 0, broken: 1 },
  {
    fault: { kind: "shared-cable-short" },
    see: bothFloats,
    healthy: "true false",
    broken: "short-circuit short-circuit",
  },
  { fault: { kind: "reports-frozen", part: "board" }, see: boardAge, healthy: "ready fresh", broken: "ready old" },
  { fault: { kind: "board-silent" }, see: boardAge, healthy: "ready fresh", broken: "silent old" },
  { fault: { kind: "relay-welded", part: "top-off-pump" }, see: guardAlone, healthy: 0, broken: 0.5 },
  { fault: { kind: "relay-welded", part: "water-guard" }, see: relayAlone, healthy: 0, broken: 0.5 },
  { fault: { kind: "relay-welded", part: "heater-1" }, see: heatedWhileOff, healthy: 0, broken: 12 },
  { fault: { kind: "relay-dead", part: "heat-guard" }, see: heated, healthy: 12, broken: 0 },
  { fault: { kind: "relay-dead", part: "top-off-pump" }, see: poured(60), healthy: 1.5, broken: 0 },
  { fault: { kind: "guard-and-relay-welded", part: "top-off-pump" }, see: idle(60, pouredL), healthy: 0, broken: 1.5 },
  { fault: { kind: "guard-and-relay-welded", part: "heater-1" }, see: heatedWhileOff, healthy: 0, broken: 12 },
  { fault: { kind: "pump-worn" }, see: poured(60), healthy: 1.5, broken: 0.7 },
  { fault: { kind: "siphon", value: 0.6 }, see: afterPour, healthy: 0, broken: 0.6 },
  { fault: { kind: "tube-off" }, see: poured(20), healthy: 0.5, broken: 0 },
  { fault: { kind: "reservoir-empty" }, see: contact("reservoir-float"), healthy: true, broken: false },
  { fault: { kind: "reservoir-salty" }, see: pouredSalinity, healthy: 0, broken: 35 },
  { fault: { kind: "return-pump-stopped" }, see: contact("return-sensor"), healthy: true, broken: false },
  { fault: { kind: "chamber-clogged" }, see: sunken, healthy: false, broken: true },
  { fault: { kind: "weir-clogged", value: 0.5 }, see: sunken, healthy: false, broken: true },
  { fault: { kind: "tank-leak", value: 6 }, see: idle(600, leakedL), healthy: 0, broken: 1 },
  { fault: { kind: "salt-loss", value: 50 }, see: idle(3600, salinity), healthy: 0, broken: -0.7 },
  { fault: { kind: "heater-dead" }, see: heated, healthy: 12, broken: 0 },
  { fault: { kind: "heater-thermostat-stuck" }, see: heated, healthy: 0, broken: 12, first: hot },
  { fault: { kind: "heater-uncovered" }, see: heated, healthy: 12, broken: 0 },
  { fault: { kind: "probe-out-of-water", part: "thermometer-2" }, see: nearRoom, healthy: false, broken: true },
  { fault: { kind: "probe-out-of-water", part: "conductivity-probe" }, see: cellInAir, healthy: false, broken: true },
  {
    fault: { kind: "probe-open", part: "thermometer-1" },
    see: fault("thermometer-1"),
    healthy: "fine",
    broken: "open-circuit",
  },
  {
    fault: { kind: "probe-open", part: "conductivity-probe" },
    see: fault("conductivity-probe"),
    healthy: "fine",
    broken: "open-circuit",
  },
  {
    fault: { kind: "probe-short", part: "thermometer-2" },
    see: fault("thermometer-2"),
    healthy: "fine",
    broken: "short-circuit",
  },
  { fault: { kind: "probe-frozen", part: "conductivity-probe" }, see: moves, healthy: true, broken: false },
  {
    fault: { kind: "probe-power-on-value", part: "thermometer-1" },
    see: fault("thermometer-1"),
    healthy: "fine",
    broken: "power-on-value",
  },
  { fault: { kind: "probe-offset", part: "thermometer-1", value: 3 }, see: warmBy, healthy: 0, broken: 3 },
  { fault: { kind: "probe-offset", part: "conductivity-probe", value: -10 }, see: cellShare, healthy: 1, broken: 0.9 },
  { fault: { kind: "thermometer-bus-short" }, see: fault("thermometer-2"), healthy: "fine", broken: "all-zero" },
  {
    fault: { kind: "conductivity-fouling", value: -20 },
    see: idle(43_200, driftedPercent, 0),
    healthy: -0,
    broken: -10,
  },
  { fault: { kind: "conductivity-bubbles" }, see: cellBubbles, healthy: false, broken: true },
  { fault: { kind: "mains-lost" }, see: contact("mains-sensor"), healthy: true, broken: false },
  { fault: { kind: "mains-flapping" }, see: mainsTurns, healthy: 0, broken: 2 },
  { fault: { kind: "mains-sensor-open" }, see: contact("mains-sensor"), healthy: true, broken: "open-circuit" },
  { fault: { kind: "return-sensor-wrong" }, see: contact("return-sensor"), healthy: true, broken: false },
  { fault: { kind: "float-splash", part: "high-float", value: 1 }, see: wetFor6h, healthy: 0, broken: 1 },
  { fault: { kind: "evaporation-factor", value: 3 }, see: evaporates, healthy: 1, broken: 3 },
  { fault: { kind: "fan-stuck-on" }, see: blows, healthy: false, broken: true, tank: tankWithFan },
  { fault: { kind: "fan-dead" }, see: blows, healthy: true, broken: false, tank: tankWithFan, first: hot },
  { fault: { kind: "room-temperature" }, see: (tank) => Math.round(tank.state.roomC), healthy: 21, broken: 35 },
];

describe("a fault of the simulated tank", () => {
  it.each(ROWS.map((row) => [`${row.fault.kind} ${row.fault.part ?? ""} ${row.fault.value ?? ""}`, row] as const))(
    "%s: seen while it lasts, gone when it ends",
    (_, { fault: written, see, healthy, broken, first, tank: build = defaultTank }) => {
      const tank = build();
      runFor(tank, 30);
      first?.(tank);
      expect(see(tank)).toEqual(healthy);
      const { fault: resolved } = resolveFault(written);
      if (resolved === null) throw new Error("refused");
      const kind = faultKind(written.kind);
      kind.begin({ tank, controller: null }, resolved);
      runFor(tank, 8);
      expect(see(tank)).toEqual(broken);
      kind.end?.({ tank, controller: null }, resolved);
      expect(kind.end).not.toBeNull();
    },
  );

  it("kinds of fault: each has a row here, but for those of controller and water change", () => {
    const elsewhere = FAULT_KINDS.filter((kind) => kind.end === null || kind.kind === "broker-down");
    const seen = new Set([...ROWS.map((row) => row.fault.kind), ...elsewhere.map((kind) => kind.kind)]);
    expect(FAULT_KINDS.map((kind) => kind.kind).filter((kind) => !seen.has(kind))).toEqual([]);
    expect(elsewhere.map((kind) => kind.kind).sort()).toEqual([
      "broker-down",
      "clock-jump",
      "cold-water-change",
      "controller-killed",
      "kill-mid-pour",
      "memory-lost",
      "memory-old",
    ]);
  });

  it("begun and ended: state of the tank as before, to the byte", () => {
    for (const { fault: written, tank: build = defaultTank } of ROWS) {
      if (written.kind === "reservoir-empty" || written.kind === "reservoir-salty") continue;
      const tank = build();
      const before = JSON.stringify(tank.state);
      const { fault: resolved } = resolveFault(written);
      if (resolved === null) throw new Error("refused");
      const kind = faultKind(written.kind);
      kind.begin({ tank, controller: null }, resolved);
      expect(JSON.stringify(tank.state)).not.toBe(before);
      kind.end?.({ tank, controller: null }, resolved);
      tank.state.board.restarted = false;
      expect(JSON.stringify(tank.state)).toBe(before);
    }
  });

  it("fault of the controller: handed to the controller with its default", () => {
    const calls: string[] = [];
    const controller: ControllerFaults = {
      kill: (ms) => calls.push(`kill ${ms}`),
      killInNextPour: (ms) => calls.push(`pour ${ms}`),
      loseMemory: () => calls.push("lost"),
      useOldMemory: (hours) => calls.push(`old ${hours}`),
      jumpClock: (ms) => calls.push(`jump ${ms}`),
    };
    for (const name of [
      "controller-killed",
      "kill-mid-pour",
      "memory-lost",
      "memory-old",
      "clock-jump",
      "broker-down",
    ]) {
      const { fault: resolved } = resolveFault({ kind: name });
      if (resolved !== null) faultKind(name).begin({ tank: defaultTank(), controller }, resolved);
    }
    expect(calls).toEqual(["kill 30000", "pour 30000", "lost", "old 24", "jump 3600000"]);
  });
});

function flips(tank: Tank): number {
  let flipped = 0;
  let last = tank.look().readings["high-float"]?.value;
  for (let scan = 0; scan < 40; scan++) {
    const now = tank.look().readings["high-float"]?.value;
    if (now !== last) flipped = 1;
    last = now;
    tank.apply(OFF, 250);
  }
  return flipped;
}

/** Seconds that the high float is wet in the next six hours. */
function wetFor6h(tank: Tank): number {
  let scans = 0;
  for (let scan = 0; scan < 6 * 3600 * 4; scan++) {
    tank.apply(OFF, 250);
    if (tank.look().readings["high-float"]?.value === true) scans += 1;
  }
  return scans / 4;
}

const STILL_L_PER_DAY = 1.45;
/** What evaporates, beside what does from the default tank at the beginning of its day. */
function evaporates(tank: Tank): number {
  runFor(tank, 10);
  return Math.round((tank.state.evaporationLPerS * 86_400) / STILL_L_PER_DAY);
}

function blows(tank: Tank): boolean {
  runFor(tank, 10);
  return tank.state.fan?.blowing === true;
}

function bothFloats(tank: Tank): string {
  return `${contact("working-float")(tank)} ${contact("high-float")(tank)}`;
}

function boardAge(tank: Tank): string {
  const look = tank.look();
  return `${look.board} ${(look.readings["floor-sensor"]?.ageMs ?? 0) > 2000 ? "old" : "fresh"}`;
}

function guardAlone(tank: Tank): unknown {
  const before = pouredL(tank);
  runFor(tank, 20, { ...OFF, "water-guard": true });
  return Number((pouredL(tank) - before).toFixed(1));
}

function relayAlone(tank: Tank): unknown {
  const before = pouredL(tank);
  runFor(tank, 20, { ...OFF, "top-off-pump": true });
  return Number((pouredL(tank) - before).toFixed(1));
}

function heatedWhileOff(tank: Tank): number {
  const before = tank.state.accounts.heaterJ;
  runFor(tank, 60, OFF);
  return Math.round((tank.state.accounts.heaterJ - before) / 1000);
}

function afterPour(tank: Tank): number {
  runFor(tank, 5, POUR);
  runFor(tank, 5);
  const before = pouredL(tank);
  runFor(tank, 60);
  return Number((pouredL(tank) - before).toFixed(1));
}

function pouredSalinity(tank: Tank): number {
  const { accounts } = tank.state;
  const [litres, grams] = [accounts.pouredL, accounts.pouredG];
  runFor(tank, 20, POUR);
  return Math.round((accounts.pouredG - grams) / (accounts.pouredL - litres) / 1.028);
}

function sunken(tank: Tank): boolean {
  runFor(tank, 120);
  return levelMm(tank) < -10;
}

function nearRoom(tank: Tank): boolean {
  runFor(tank, 400);
  const { thermometers, roomC } = tank.state;
  return Math.abs(thermometers["thermometer-2"].sleeveC - roomC) < 1;
}

function cellInAir(tank: Tank): boolean {
  runFor(tank, 100);
  return (tank.look().readings["conductivity-probe"]?.value?.conductivityMsPerCm ?? 99) < 1;
}

function moves(tank: Tank): boolean {
  const of = () => tank.look().readings["conductivity-probe"]?.value?.conductivityMsPerCm;
  const before = of();
  runFor(tank, 10);
  return of() !== before;
}

function warmBy(tank: Tank): number {
  const { thermometers, heat } = tank.state;
  return Math.round(thermometers["thermometer-1"].reportedC - heat.chamberC);
}

function cellShare(tank: Tank): number {
  const { reported, cellMsPerCm } = tank.state.probe;
  return Number((reported.conductivityMsPerCm / cellMsPerCm).toFixed(1));
}

function cellBubbles(tank: Tank): boolean {
  const { reported, cellMsPerCm } = tank.state.probe;
  return reported.conductivityMsPerCm / cellMsPerCm < 0.96;
}

function mainsTurns(tank: Tank): number {
  let turns = 0;
  let last = tank.look().readings["mains-sensor"]?.value;
  for (let second = 0; second < 20; second++) {
    runFor(tank, 1);
    const now = tank.look().readings["mains-sensor"]?.value;
    if (now !== last) turns += 1;
    last = now;
  }
  return turns;
}

function pouredL(tank: Tank): number {
  return tank.truth().pouredL;
}
function leakedL(tank: Tank): number {
  return tank.truth().leakedL;
}
function driftedPercent(tank: Tank): number {
  return tank.state.probe.driftedPercent;
}
