import type { Request, ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { type Agenda, createAgenda } from "./agenda.ts";
import { type AlarmWatch, watchAlarmRows } from "./alarm-rows.ts";
import { type InvariantWatch, watchInvariants } from "./checkers/watch.ts";
import { type Controller, type Core, createController } from "./controller.ts";
import { faultKind, resolveFault } from "./faults/table.ts";
import { type Ask, doHand } from "./hands.ts";
import { overriddenSettings } from "./merge-settings.ts";
import { createTank, type Tank } from "./plant/tank.ts";
import { type Report, rounded } from "./report.ts";
import type { Hand, Scenario, ScenarioFault } from "./scenario.ts";
import { type TripWatch, watchTrips } from "./trips.ts";

export interface RunOptions {
  readonly seed: number;
  /** What the scenario's own settings are laid over. */
  readonly settings: Settings;
}

const MS_PER_H = 3_600_000;

/** Everything that takes part in one run. */
interface Run {
  readonly settings: Settings;
  readonly tank: Tank;
  readonly controller: Controller;
  readonly agenda: Agenda;
  readonly alarms: AlarmWatch;
  readonly trips: TripWatch;
  readonly invariants: InvariantWatch;
  nowMs: number;
  scans: number;
  asked: number;
  requests: Request[];
  record: ScanRecord | null;
}

/** Runs a scenario on the simulated tank with this core. Pure: the same arguments give the same report. */
export function rehearseWith(core: Core, scenario: Scenario, { seed, settings: base }: RunOptions): Report {
  const settings = overriddenSettings(base, scenario.settings);
  const run = createRun(core, scenario, settings, seed);
  const lastMs = scenario.hours * MS_PER_H;
  while (run.nowMs < lastMs) {
    run.agenda.until(run.nowMs);
    if (run.controller.alive()) scanOnce(run);
    else run.tank.apply(null, settings.scanMs);
    run.controller.pass(settings.scanMs);
    run.nowMs += settings.scanMs;
  }
  return reportOf(run, scenario, seed);
}

function createRun(core: Core, scenario: Scenario, settings: Settings, seed: number): Run {
  const { start } = scenario;
  const tank = createTank(seed, settings, {
    room: scenario.room,
    start: {
      temperatureC: start.temperatureC ?? settings.targets.temperatureC,
      salinity: start.salinity ?? settings.targets.salinity,
      reservoirL: start.reservoirL ?? settings.topOff.reservoirL,
    },
  });
  const run: Run = {
    settings,
    tank,
    controller: createController(core, settings),
    agenda: createAgenda(),
    alarms: watchAlarmRows(),
    trips: watchTrips(),
    invariants: watchInvariants(),
    nowMs: 0,
    scans: 0,
    asked: 0,
    requests: [],
    record: null,
  };
  for (const fault of scenario.faults) planFault(run, fault);
  for (const hand of scenario.hands) run.agenda.add(hand.atH * MS_PER_H, () => useHand(run, hand));
  return run;
}

function planFault(run: Run, written: ScenarioFault): void {
  const { fault } = resolveFault(written);
  if (fault === null) throw new Error(`a fault of kind ${written.kind} that was never checked`);
  const kind = faultKind(fault.kind);
  const world = { tank: run.tank, controller: run.controller };
  run.agenda.add(written.atH * MS_PER_H, () => kind.begin(world, fault));
  if (written.untilH !== undefined) run.agenda.add(written.untilH * MS_PER_H, () => kind.end?.(world, fault));
}

function useHand(run: Run, hand: Hand): void {
  const { asks, later } = doHand(hand, run.tank, run.settings, run.record);
  ask(run, asks);
  if (later !== null) run.agenda.add(run.nowMs + later.afterMs, () => ask(run, later.asks));
}

/** Whoever finds the controller dead asks again until it answers: what was asked waits for the next scan. */
function ask(run: Run, asks: readonly Ask[]): void {
  run.requests = [
    ...run.requests,
    ...asks.map((each) => ({ ...each, id: `hand-${++run.asked}`, at: "tank" as const })),
  ];
}

const NO_REQUESTS: Request[] = [];

function scanOnce(run: Run): void {
  const { settings, tank, controller } = run;
  const atH = run.nowMs / MS_PER_H;
  const requests = run.requests;
  run.requests = NO_REQUESTS;
  let scanned: ReturnType<Controller["scan"]>;
  try {
    scanned = controller.scan(tank.look(), requests, run.scans === 0 ? 0 : settings.scanMs);
  } catch (broken) {
    controller.stop();
    run.invariants.stopped(broken instanceof Error ? broken.message : String(broken), atH);
    tank.apply(null, settings.scanMs);
    return;
  }
  run.scans += 1;
  const { image, record, commands } = scanned;
  run.record = record;
  run.alarms.see(record, atH);
  run.trips.see(record, atH);
  run.invariants.see({ image, record, commands, settings }, atH);
  tank.apply(commands, settings.scanMs);
}

function reportOf(run: Run, scenario: Scenario, seed: number): Report {
  return rounded({
    name: scenario.name,
    seed,
    hours: scenario.hours,
    scans: run.scans,
    truth: run.tank.truth(),
    alarms: run.alarms.rows(),
    trips: run.trips.trips(),
    lockouts: run.trips.lockouts(),
    beliefs: [],
    violations: run.invariants.violations(),
  });
}
