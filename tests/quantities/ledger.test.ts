import { describe, expect, it } from "vitest";
import { freshLedgerVolatile } from "../../controller/quantities/ledger/index.ts";
import { type Evidence, tellStories, type Window } from "../../controller/quantities/ledger/stories.ts";
import type { Belief, LedgerGap } from "../../shared/contract/ledger.ts";
import { BELIEFS, LEDGER_GAPS } from "../../shared/contract/ledger.ts";
import { LedgerWorld, type Ways } from "./ledger-world.ts";

const NOTHING_MEASURED: Evidence = { tests: [], reservoirIsFresh: null };

describe("the ledger's belief", () => {
  const rows: [name: string, ways: Partial<Ways>, belief: Belief][] = [
    ["nothing out of the way", {}, "evaporation-only"],
    ["a little less evaporation", { evaporation: 1.35 }, "evaporation-only"],
    ["half as much evaporation again", { evaporation: 2.4 }, "more-evaporation-or-weaker-pump"],
    ["a pump at half its flow", { pump: 0.5 }, "more-evaporation-or-weaker-pump"],
    ["a leak of a litre a day", { leak: 1 }, "fresh-water-or-salt-leaving"],
    ["a probe that fouls", { drift: -0.2 }, "probe-drift-or-slow-salt-loss"],
    ["salt that is lost", { saltLoss: 0.006 }, "probe-drift-or-slow-salt-loss"],
    ["a reservoir of sea water", { reservoirSalinity: 30 }, "reservoir-not-fresh"],
  ];
  it.each(rows)("72 h of evaporation, then 48 h with %s: $2", (_, ways, belief) => {
    const world = new LedgerWorld().run(72);
    expect(world.status.belief).toBe("evaporation-only");
    Object.assign(world.ways, ways);
    world.run(48);
    expect(world.status.belief).toBe(belief);
    expect(world.status.sureness).toBeGreaterThan(0.6);
    expect(world.status.because).toBeNull();
  });

  it("drift or salt loss for 100 h: one belief, unsettled; hand test after it: settled as the right one", () => {
    const drifting = new LedgerWorld().run(30).handTest();
    drifting.ways.drift = -0.25;
    drifting.run(100);
    expect(drifting.status.settled).toBeNull();
    drifting.handTest().run(1);
    expect(drifting.status).toMatchObject({ belief: "probe-drift-or-slow-salt-loss", settled: "probe-drift" });
    const losing = new LedgerWorld().run(30).handTest();
    losing.ways.saltLoss = 0.008;
    losing.run(100);
    expect(losing.status.settled).toBeNull();
    losing.handTest().run(1);
    expect(losing.status).toMatchObject({ belief: "probe-drift-or-slow-salt-loss", settled: "salt-loss" });
  });

  it("probe drifts up: reservoir-not-fresh; reservoir measured as 0: probe drift; filled anew: reservoir-not-fresh", () => {
    const world = new LedgerWorld().run(72);
    world.ways.drift = 0.12;
    world.run(60);
    expect(world.status.belief).toBe("reservoir-not-fresh");
    world.reservoirTest(0);
    expect(world.status).toMatchObject({ belief: "probe-drift-or-slow-salt-loss", settled: "probe-drift" });
    // What was filled in since may be anything.
    world.reservoirTest(null);
    expect(world.status.belief).toBe("reservoir-not-fresh");
  });

  it("reservoir of 30 for 14 h: reservoir-not-fresh, surer once measured", () => {
    const world = new LedgerWorld().run(72);
    world.ways.reservoirSalinity = 30;
    world.run(14);
    const unmeasured = world.status;
    world.reservoirTest(30);
    expect(world.status.belief).toBe("reservoir-not-fresh");
    expect(unmeasured.belief === "reservoir-not-fresh" ? unmeasured.sureness : 0).toBeLessThan(world.status.sureness);
  });

  it("reservoir of 30, measured: the water's salinity within 0.1, before it 0.1 less", () => {
    const world = new LedgerWorld().run(72).handTest();
    world.ways.reservoirSalinity = 30;
    world.run(40);
    const shown = () => world.status.salinityAtFull?.value ?? Number.NaN;
    const before = shown();
    world.reservoirTest(30);
    expect(shown() - before).toBeGreaterThan(0.1);
    expect(Math.abs(shown() - world.salinity)).toBeLessThan(0.1);
  });

  it("reservoir measured: known after four days of pours, forgotten after seven", () => {
    const world = new LedgerWorld().run(24).reservoirTest(0);
    world.run(4 * 24);
    expect(world.durable.reservoirSalinity).toBe(0);
    world.run(3 * 24);
    expect(world.durable.reservoirSalinity).toBeNull();
  });

  it("water change of 28 L at 33, told: evaporation-only, no forecast of salinity", () => {
    const world = new LedgerWorld().run(60).waterChange(28, 33).run(30);
    expect(world.status.belief).toBe("evaporation-only");
    expect(world.status.forecasts.salinityHours).toBeNull();
  });

  it("2 L unexplained with −0.5: fresh water; with 0: more evaporation; −0.5 with none: drift or loss; shares sum to 1", () => {
    const window: Window = {
      days: 2,
      blindDays: 0,
      litres: 2,
      litresDeviation: 0.3,
      salinity: -0.5,
      salinityDeviation: 0.05,
      perLitre: 0.25,
      pouredL: 5,
    };
    expect(tellStories(window, NOTHING_MEASURED).fresh).toBeGreaterThan(0.9);
    expect(tellStories({ ...window, salinity: 0 }, NOTHING_MEASURED).more).toBeGreaterThan(0.9);
    const { drift, "salt-loss": lost } = tellStories({ ...window, litres: 0 }, NOTHING_MEASURED);
    expect(drift + lost).toBeGreaterThan(0.9);
    const tests = [
      { byHand: 35, byProbe: 35.2 },
      { byHand: 34.6, byProbe: 34.7 },
    ];
    const shares = Object.values(tellStories(window, { tests, reservoirIsFresh: null }));
    expect(shares.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 9);
  });
});

describe("belief unknown, with its reason", () => {
  const unknown = (because: LedgerGap) => ({ belief: "unknown", sureness: 0, because });
  const settled = () => new LedgerWorld().run(48);
  const expectCovered = ({ status, salinity }: LedgerWorld) => {
    const { value, uncertainty } = status.salinityAtFull ?? { value: Number.NaN, uncertainty: 0 };
    expect(Math.abs(value - salinity)).toBeLessThanOrEqual(uncertainty);
  };

  it("first 6 h: starting", () => {
    expect(freshLedgerVolatile().status).toMatchObject(unknown("starting"));
    expect(new LedgerWorld().run(6).status).toMatchObject(unknown("starting"));
  });

  it("scan gap of an hour: gap; 20 h later: evaporation-only", () => {
    const world = settled();
    world.minute({ gap: true, elapsedMs: 3_600_000 });
    expect(world.status).toMatchObject(unknown("gap"));
    expect(world.run(20).status.belief).toBe("evaporation-only");
  });

  it("off for 10 min: starting, learned figure and hand tests kept; 20 h later: evaporation-only", () => {
    const world = settled().handTest();
    const { evaporationLPerDay, tests } = world.durable;
    world.restart(600_000);
    expect(world.status).toMatchObject(unknown("starting"));
    expect(world.durable.evaporationLPerDay).toBe(evaporationLPerDay);
    expect(world.durable.tests).toHaveLength(tests.length);
    expect(world.run(20).status.belief).toBe("evaporation-only");
  });

  it("off for an unknown time: its reason, probe's readings at hand tests voided", () => {
    const world = settled().handTest();
    world.restart(null);
    expect(world.status).toMatchObject(unknown("restarted-after-unknown-time"));
    expect(world.durable.tests.every(({ probe }) => probe === null)).toBe(true);
  });

  it("probe exchanged, 1.2 lower: probe-stepped, truth within its doubt", () => {
    const world = settled();
    world.offset -= 1.2;
    world.run(0.3);
    expect(world.status).toMatchObject(unknown("probe-stepped"));
    expect(world.run(20).status.belief).toBe("evaporation-only");
    expectCovered(world);
  });

  it("probe exchanged while unplugged for 3 h: probe-stepped", () => {
    const world = settled();
    world.probe = false;
    world.run(3);
    world.probe = true;
    world.offset += 1.4;
    world.run(0.3);
    expect(world.status).toMatchObject(unknown("probe-stepped"));
    expectCovered(world);
  });

  it("off for an hour, same probe: starting; another, 0.9 lower: probe-stepped, its readings voided", () => {
    const world = settled().handTest();
    world.restart(3_600_000);
    expect(world.run(1).status).toMatchObject(unknown("starting"));
    world.restart(3_600_000);
    world.offset -= 0.9;
    world.run(1);
    expect(world.status).toMatchObject(unknown("probe-stepped"));
    expect(world.durable.tests.every(({ probe }) => probe === null)).toBe(true);
    expectCovered(world);
    expect(world.run(20).status.belief).toBe("evaporation-only");
  });

  it("salinity 1 lower, not told: probe-stepped; water change told and then off: starting", () => {
    const untold = settled();
    untold.salinity -= 1;
    expect(untold.run(0.3).status).toMatchObject(unknown("probe-stepped"));
    expectCovered(untold);
    const told = settled().waterChange(40, 31);
    told.restart(600_000);
    expect(told.run(1).status.because).toBe("starting");
  });

  it("calibrated amid a drift: calibrated; 30 h later: evaporation-only", () => {
    const world = settled();
    world.ways.drift = -0.2;
    world.run(48);
    world.calibrationDays = 0;
    world.offset = 0;
    world.ways.drift = 0;
    world.minute();
    expect(world.status).toMatchObject(unknown("calibrated"));
    expect(world.run(30).status.belief).toBe("evaporation-only");
  });

  it("hand test 3 lower: hand-test-contradicts, salinity stays; next one as before: evaporation-only, the first dropped", () => {
    const world = settled().handTest().run(24);
    const before = world.status.salinityAtFull;
    world.handTest(-3);
    expect(world.status).toMatchObject(unknown("hand-test-contradicts"));
    expect(world.status.salinityAtFull?.value).toBeCloseTo(before?.value ?? 0, 0);
    world.run(2).handTest();
    expect(world.status.belief).toBe("evaporation-only");
    expect(world.durable.tests.some(({ salinity }) => salinity < 33)).toBe(false);
  });

  it("second hand test 3 lower too: believed against the probe", () => {
    const world = settled();
    world.handTest(-3).run(2).handTest(-3);
    expect(world.status.because).not.toBe("hand-test-contradicts");
    expect(world.status.salinityAtFull?.value).toBeCloseTo(world.salinity - 3, 0);
  });

  it("no probe for 60 h: no-salinity", () => {
    const world = settled();
    world.probe = false;
    expect(world.run(60).status).toMatchObject(unknown("no-salinity"));
    expect(world.status.salinityAtFull).not.toBeUndefined();
  });

  it("nothing judged for 96 h: no-salinity; water low throughout: not-at-mark", () => {
    const blind = settled();
    blind.extra = { judged: false };
    expect(blind.run(96).status).toMatchObject(unknown("no-salinity"));
    const low = settled();
    low.extra = { full: false, low: true, pouredTotalL: low.pouredTotalL };
    expect(low.run(96).status).toMatchObject(unknown("not-at-mark"));
  });

  it("every belief and gap: has words", () => {
    for (const { says, check } of Object.values(BELIEFS)) expect(says.length * check.length).toBeGreaterThan(100);
    for (const words of Object.values(LEDGER_GAPS)) expect(words).toMatch(/^[A-Z].+\.$/);
  });
});

describe("classes for decisions", () => {
  it("settled: expected both; leak of 1.2 L for 48 h: unexplained above; gap: unknown", () => {
    const world = new LedgerWorld().run(72);
    expect(world.status.classes).toEqual({ evaporation: "expected", unexplained: "expected" });
    world.ways.leak = 1.2;
    expect(world.run(48).status.classes.unexplained).toBe("above");
    world.minute({ gap: true });
    expect(world.status.classes.unexplained).toBe("unknown");
  });
});
