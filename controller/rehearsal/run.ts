import type { Request, ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { type Agenda, createAgenda } from "./agenda.ts";
import { type AlarmWatch, watchAlarmRows } from "./alarm-rows.ts";
import { type AskWatch, watchAskRows } from "./ask-rows.ts";
import { type BeliefWatch, watchBeliefs } from "./belief-rows.ts";
import { settingsOf, tankOf } from "./box.ts";
import { type InvariantWatch, watchInvariants } from "./checkers/watch.ts";
import { type Controller, type Core, createController } from "./controller.ts";
import { type EpisodeWatch, watchEpisodes } from "./episode-rows.ts";
import { resolveFault } from "./faults/table.ts";
import { type Ask, doHand, type Hand } from "./hands/index.ts";
import { createPace, type Pace, type ScanPace, SLOW_SCAN_MS } from "./pace.ts";
import { planFaults, planHands } from "./plan.ts";
import type { Tank } from "./plant/tank.ts";
import { type Report, rounded } from "./report.ts";
import type { Scenario } from "./scenario.ts";
import { type ThrottleWatch, watchThrottle } from "./throttled-time.ts";
import { type TripWatch, watchTrips } from "./trips.ts";

export interface RunOptions {
  readonly seed: number;
  /** What the scenario's own settings are laid over. */
  readonly settings: Settings;
  /** Left out = even. */
  readonly scans?: ScanPace;
  /** Looks at the tank after every period, for a plot. */
  readonly watch?: (tank: Tank) => void;
  /** Hears what every scan says. */
  readonly hear?: (record: ScanRecord, atH: number) => void;
}

const MS_PER_H = 3_600_000;

/** Everything that takes part in one run. */
interface Run {
  readonly settings: Settings;
  /** The same for a scan that comes after more than a period: credits may gain what it waited. */
  readonly slowSettings: Settings;
  readonly tank: Tank;
  readonly pace: Pace;
  readonly controller: Controller;
  readonly agenda: Agenda;
  readonly alarms: AlarmWatch;
  readonly trips: TripWatch;
  readonly beliefs: BeliefWatch;
  readonly throttle: ThrottleWatch;
  readonly asks: AskWatch;
  readonly episodes: EpisodeWatch;
  readonly invariants: InvariantWatch;
  readonly hear: (record: ScanRecord, atH: number) => void;
  nowMs: number;
  scannedMs: number;
  scans: number;
  asked: number;
  requests: Request[];
  record: ScanRecord | null;
}

/** Runs a scenario on the simulated tank with this core. Pure: the same arguments give the same report. */
export function rehearseWith(core: Core, scenario: Scenario, options: RunOptions): Report {
  const settings = settingsOf(scenario, options.settings);
  const run = createRun(core, scenario, settings, options);
  const lastMs = scenario.hours * MS_PER_H;
  while (run.nowMs < lastMs) {
    run.agenda.until(run.nowMs);
    if (run.controller.alive() && run.pace.due(run.nowMs)) scanOnce(run);
    else run.tank.apply(null, settings.scanMs);
    if (run.controller.pass(settings.scanMs)) run.pace.disturb();
    run.nowMs += settings.scanMs;
    options.watch?.(run.tank);
  }
  return reportOf(run, scenario, options.seed);
}

function createRun(core: Core, scenario: Scenario, settings: Settings, options: RunOptions): Run {
  const tank = tankOf(scenario, settings, options.seed);
  const pace = createPace(options.scans ?? "even", tank.state, settings.scanMs);
  const run: Run = {
    settings,
    slowSettings: { ...settings, scanMs: Math.max(settings.scanMs, SLOW_SCAN_MS) },
    tank,
    pace,
    controller: createController(core, settings, oldestMemoryH(scenario), scenario.start.reservoirL),
    agenda: createAgenda(pace.disturb),
    alarms: watchAlarmRows(),
    trips: watchTrips(),
    beliefs: watchBeliefs(),
    throttle: watchThrottle(),
    asks: watchAskRows(),
    episodes: watchEpisodes(),
    invariants: watchInvariants(),
    hear: options.hear ?? (() => undefined),
    nowMs: 0,
    scannedMs: 0,
    scans: 0,
    asked: 0,
    requests: [],
    record: null,
  };
  planFaults(scenario, { tank, controller: run.controller }, run.agenda);
  planHands(scenario, run.agenda, (hand) => useHand(run, hand));
  return run;
}

const oldestMemoryH = ({ faults }: Scenario): number =>
  Math.max(
    0,
    ...faults.filter(({ kind }) => kind === "memory-old").map((each) => resolveFault(each).fault?.value ?? 0),
  );

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
  const { tank, controller, nowMs } = run;
  const elapsedMs = nowMs - run.scannedMs;
  const settings = elapsedMs > run.settings.scanMs ? run.slowSettings : run.settings;
  run.scannedMs = nowMs;
  const atH = run.nowMs / MS_PER_H;
  const requests = run.requests;
  run.requests = NO_REQUESTS;
  let scanned: ReturnType<Controller["scan"]>;
  try {
    scanned = controller.scan(tank.look(), requests, elapsedMs, settings);
  } catch (broken) {
    controller.stop();
    run.invariants.stopped(broken instanceof Error ? broken.message : String(broken), atH);
    tank.apply(null, run.settings.scanMs);
    return;
  }
  run.scans += 1;
  const { image, record, commands } = scanned;
  run.record = record;
  run.alarms.see(record, atH);
  run.trips.see(record, atH);
  run.beliefs.see(record, atH);
  run.throttle.see(record, atH);
  run.asks.see(record, atH);
  run.episodes.see(record, atH);
  run.hear(record, atH);
  run.invariants.see({ image, record, commands, settings }, atH);
  run.pace.scanned(nowMs, commands);
  tank.apply(commands, run.settings.scanMs);
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
    beliefs: run.beliefs.rows(),
    throttledH: run.throttle.hours(),
    asks: run.asks.rows(),
    episodes: run.episodes.rows(),
    violations: run.invariants.violations(),
  });
}
