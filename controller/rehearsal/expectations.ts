import type { Reason } from "../../shared/contract/index.ts";

/** What a scenario must come to: who stops it, who is told, and the worst that may have happened meanwhile. */
export interface Expectation {
  /** File in `scenarios`, without its ending. */
  readonly scenario: string;
  /** The way of failing that it shows. */
  readonly shows: string;
  readonly trip: ExpectedTrip;
  /** Alarm that must be raised; null = none at all. */
  readonly alarm: string | null;
  /** No more than this. */
  readonly damage: Damage;
  /** What becomes of the same tank with a bare float, relay and thermostat, rounded up to a tenth. */
  readonly bare: Damage;
}

export interface ExpectedTrip {
  /** `none`: no trip. `any`: nothing is locked, and what stops it for a while is not told here. */
  readonly kind: "none" | "any" | "stops" | "locks";
  /** For `locks` all that may be locked. */
  readonly reasons: readonly Reason[];
}

export interface Damage {
  readonly floorL: number;
  /** Farthest from the target salinity, up or down. */
  readonly salinity: number;
  /** Farthest from the setpoint, up or down. */
  readonly kelvin: number;
}

export interface Chapter {
  readonly title: string;
  readonly rows: readonly Expectation[];
}

const NOTHING: ExpectedTrip = { kind: "none", reasons: [] };
const GOES_ON: ExpectedTrip = { kind: "any", reasons: [] };
const stops = (reason: Reason): ExpectedTrip => ({ kind: "stops", reasons: [reason] });
const locks = (...reasons: Reason[]): ExpectedTrip => ({ kind: "locks", reasons });

type Figures = readonly [floorL: number, salinity: number, kelvin: number];
const damage = ([floorL, salinity, kelvin]: Figures): Damage => ({ floorL, salinity, kelvin });

function row(
  scenario: string,
  shows: string,
  trip: ExpectedTrip,
  alarm: string | null,
  most: Figures,
  bare: Figures,
): Expectation {
  return { scenario, shows, trip, alarm, damage: damage(most), bare: damage(bare) };
}

/**
 * Every way of failing that is rehearsed, with what must come of it. The first three figures are the greatest damage:
 * litres on the floor, salinity away from its target, kelvin away from the setpoint; the other three are the same tank
 * with the bare parts. Latent faults are here too: they must change nothing by themselves.
 */
export const EXPECTATIONS: readonly Chapter[] = [
  {
    title: "An ordinary box",
    rows: [
      row("quiet-day", "Nothing is wrong", NOTHING, null, [0, 0.2, 0.6], [0, 0.1, 0.5]),
      row("water-change", "Water change in progress, announced", NOTHING, null, [0, 0.2, 0.3], [0, 1.9, 0.3]),
      row("cold-water-change", "New water that is too cold", NOTHING, null, [0, 0.2, 0.9], [0, 1.9, 0.8]),
      row("broker-down", "Network or broker lost", NOTHING, null, [0, 0.2, 0.2], [0, 0.1, 0.2]),
      row("clock-jump", "Clock jumps while it runs", NOTHING, null, [0, 0.2, 0.2], [0, 0.1, 0.2]),
    ],
  },
  {
    title: "Floats",
    rows: [
      row(
        "working-float-stuck-dry",
        "Working float stuck low",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.5, 0.3],
        [0, 2.4, 0.3],
      ),
      row(
        "working-float-stuck-wet",
        "Working float stuck full",
        locks("floats-contradict"),
        "water-under-low-mark",
        [0, 0.5, 0.3],
        [0, 0.4, 0.2],
      ),
      row(
        "working-float-wire-broken",
        "Working float, wire open",
        stops("working-float-unknown"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "working-float-shorted",
        "Working float, wires touch",
        stops("working-float-unknown"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 2.4, 0.4],
      ),
      row(
        "working-float-chatters",
        "Working float chatters",
        NOTHING,
        "float-chattering",
        [0, 0.2, 0.3],
        [0, 2.4, 0.3],
      ),
      row(
        "high-float-wet",
        "High float wet",
        locks("high-float-wet"),
        "water-over-high-mark",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "high-float-stuck-dry",
        "High float stuck, nothing else wrong: latent until it is lifted",
        NOTHING,
        null,
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "high-float-wire-broken",
        "High float, wire open",
        stops("high-float-unknown"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "high-float-shorted",
        "High float, wires touch",
        stops("high-float-unknown"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "high-float-chatters",
        "High float chatters",
        locks("high-float-wet"),
        "float-chattering",
        [0, 0.2, 0.3],
        [0, 0.1, 0.2],
      ),
      row(
        "both-floats-fouled",
        "Both floats fouled, one cause",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.5, 0.3],
        [0, 2.4, 0.3],
      ),
      row(
        "shared-cable-crushed",
        "Both floats in one cable, shorted",
        stops("high-float-unknown"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 2.4, 0.4],
      ),
      row(
        "low-float-stuck-dry",
        "Low float stuck dry",
        locks("floats-contradict"),
        "water-under-low-mark",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "low-float-wire-broken",
        "Low float, wire open",
        stops("floats-contradict"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "reservoir-float-wire-broken",
        "Reservoir float, wire open",
        stops("reservoir-float-unknown"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
    ],
  },
  {
    title: "Pump, tube and reservoir",
    rows: [
      row("pump-welded", "Pump relay welded: the water guard rests open", NOTHING, null, [0, 0.2, 0.2], [0, 2.4, 0.3]),
      row(
        "water-guard-welded",
        "Water guard welded: latent until the monthly test",
        NOTHING,
        null,
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "pump-welded-with-guard",
        "Relay and guard both welded",
        locks("high-float-wet"),
        "water-over-high-mark",
        [0, 2.8, 0.4],
        [0, 2.4, 0.4],
      ),
      row(
        "float-stuck-and-pump-welded",
        "Double fault: float stuck and relay welded",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.5, 0.3],
        [0, 2.4, 0.3],
      ),
      row(
        "pump-relay-dead",
        "Pump relay stuck off",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "water-guard-dead",
        "Water guard stuck off",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row("pump-worn", "Pump worn", NOTHING, null, [0, 0.2, 0.2], [0, 0.1, 0.2]),
      row(
        "pump-weak-and-slow",
        "Pump nearly worn out",
        stops("daily-budget-used"),
        "daily-budget-used",
        [0, 0.2, 0.3],
        [0, 0.1, 0.2],
      ),
      row(
        "pump-blocked",
        "Pump blocked or air-locked",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.3, 0.2],
        [0, 0.2, 0.2],
      ),
      row(
        "siphon",
        "Tube end under water: siphon",
        locks("high-float-wet"),
        "water-over-high-mark",
        [0, 2.8, 0.4],
        [0, 2.4, 0.3],
      ),
      row(
        "siphon-slow",
        "Siphon through a thin tube",
        locks("high-float-wet"),
        "water-over-high-mark",
        [0, 2.8, 0.3],
        [0, 2.3, 0.2],
      ),
      row(
        "siphon-lifted-out",
        "Siphon ended by hand",
        locks("high-float-wet"),
        "water-over-high-mark",
        [0, 2.3, 0.3],
        [0, 2, 0.2],
      ),
      row("tube-off", "Tube slips out of the tank", locks("floor-wet"), "floor-wet", [0.2, 0.2, 0.2], [10, 0.1, 0.2]),
      row(
        "reservoir-empty",
        "Reservoir emptied long before its time: a leak, a siphon, a hand",
        locks("emptied-early"),
        "water-not-ordered",
        [0, 0.3, 0.3],
        [0, 0.2, 0.2],
      ),
      row(
        "reservoir-used-up",
        "Reservoir used up as it should, and filled again",
        stops("reservoir-empty"),
        "reservoir-empty",
        [0, 0.5, 0.6],
        [0, 0.2, 0.5],
      ),
      row(
        "reservoir-float-stuck-wet",
        "Reservoir empty and its float stuck: pump runs dry",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.3, 0.2],
        [0, 0.2, 0.2],
      ),
      row(
        "reservoir-salty",
        "Reservoir filled with salt water",
        GOES_ON,
        "reservoir-not-fresh",
        [0, 1.5, 0.3],
        [0, 1.2, 0.2],
      ),
      row(
        "reservoir-overfilled",
        "More water than the reservoir holds: pouring stops at its rim",
        NOTHING,
        "reservoir-low",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
    ],
  },
  {
    title: "Water in the box",
    rows: [
      row(
        "return-pump-stopped",
        "Return pump stops",
        stops("return-pump-stopped"),
        "return-pump-stopped",
        [0, 0.2, 1.4],
        [0, 0.1, 1.2],
      ),
      row(
        "return-pump-flaps",
        "Return pump stops and starts",
        stops("return-pump-stopped"),
        "return-pump-stopped",
        [0, 0.2, 0.3],
        [0, 0.1, 0.3],
      ),
      row(
        "return-sensor-wrong",
        "Return-pump sensor wrong",
        stops("return-pump-stopped"),
        "return-sensor-suspect",
        [0, 0.3, 0.3],
        [0, 0.1, 0.2],
      ),
      row(
        "chamber-clogged",
        "Grid between the chambers clogs: the chamber falls, the rear one overflows",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.5, 0.2],
        [3.3, 2.4, 0.4],
      ),
      row(
        "weir-clogged",
        "Weir clogs: the chamber falls although nothing evaporated",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.6, 0.3],
        [0, 1.2, 0.3],
      ),
      row(
        "weir-cleaned",
        "Weir clogs, then is cleaned",
        locks("failed-pours"),
        "top-off-not-answered",
        [0, 0.6, 0.3],
        [0, 0.6, 0.2],
      ),
      row(
        "tank-leak",
        "Leak takes salt water, slowly",
        stops("daily-budget-used"),
        "daily-budget-used",
        [0, 0.5, 0.2],
        [0, 1.2, 0.2],
      ),
      row(
        "tank-leak-fast",
        "Leak takes salt water, fast",
        stops("daily-budget-used"),
        "water-under-low-mark",
        [0, 0.6, 0.3],
        [0, 2.4, 0.2],
      ),
      row("salt-loss", "Skimming and spray take salt", NOTHING, "salinity-low", [0, 1.7, 0.6], [0, 1.4, 0.5]),
      row(
        "water-change-untold",
        "Water change in progress, not announced",
        NOTHING,
        "water-under-low-mark",
        [0, 0.5, 0.2],
        [0, 1.9, 0.3],
      ),
      row("hold-forgotten", "Hold runs out with low water", NOTHING, "hold-question", [0, 0.3, 0.3], [0, 0.4, 0.2]),
    ],
  },
  {
    title: "Heat",
    rows: [
      row(
        "heater-welded",
        "Heater relay welded, own thermostat stuck",
        stops("one-contact-heating"),
        "heating-while-off",
        [0, 0.2, 0.6],
        [0, 0.1, 3.6],
      ),
      row(
        "heater-guard-welded",
        "Heat guard welded: latent until the monthly test",
        NOTHING,
        null,
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "heater-and-guard-welded",
        "Relay and guard welded: the heater's own thermostat is left",
        stops("heating-while-off"),
        "heating-while-off",
        [0, 0.2, 1.5],
        [0, 0.1, 1.2],
      ),
      row(
        "heater-welded-everywhere",
        "Relay, guard and thermostat all stuck: only a small heater helps",
        stops("heat-cut-out"),
        "temperature-high",
        [0, 0.2, 6.1],
        [0, 0.1, 5.2],
      ),
      row(
        "heater-thermostat-stuck",
        "Own thermostat stuck, nothing else wrong: latent",
        NOTHING,
        null,
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row("heater-dead", "Heater dead", stops("heater-no-effect"), "heater-no-effect", [0, 0.2, 5.2], [0, 0.1, 4.6]),
      row(
        "heater-relay-dead",
        "Heater relay stuck off",
        stops("heater-no-effect"),
        "heater-no-effect",
        [0, 0.2, 4.7],
        [0, 0.1, 4.1],
      ),
      row(
        "heat-guard-dead",
        "Heat guard stuck off",
        stops("heater-no-effect"),
        "heater-no-effect",
        [0, 0.2, 4.7],
        [0, 0.1, 4.1],
      ),
      row(
        "heater-uncovered",
        "Heater out of the water",
        stops("heater-no-effect"),
        "heater-no-effect",
        [0, 0.2, 3.8],
        [0, 0.1, 3.3],
      ),
      row("heatwave", "Hot room", stops("heat-cut-out"), "temperature-very-high", [0, 0.2, 6.6], [0, 0.1, 5.7]),
      row(
        "heatwave-with-fan",
        "Hot room, fan over the water",
        stops("heat-cut-out"),
        "temperature-high",
        [0, 0.2, 5.9],
        [0, 0.1, 5.0],
      ),
      row("cold-room", "Cold room", NOTHING, "temperature-low", [0, 0.2, 2.8], [0, 0.1, 2.2]),
      row("two-heaters-take-turns", "Two heaters, a winter day: nothing", NOTHING, null, [0, 0.2, 0.4], [0, 0.1, 0.2]),
      row(
        "two-heaters-first-dead",
        "One of two heaters dead: the other one carries on",
        stops("heater-no-effect"),
        "heater-no-effect",
        [0, 0.2, 0.7],
        [0, 0.1, 0.5],
      ),
      row(
        "two-heaters-second-welded",
        "One of two heaters welded, own thermostat stuck",
        GOES_ON,
        "heating-while-off",
        [0, 0.2, 1.4],
        [0, 0.1, 1.5],
      ),
      row(
        "two-heaters-guard-dead",
        "Guard of one of two heaters stuck off",
        stops("heater-no-effect"),
        "heater-no-effect",
        [0, 0.2, 0.7],
        [0, 0.1, 0.5],
      ),
      row("two-heaters-cold-room", "Cold room, two heaters", NOTHING, "temperature-low", [0, 0.2, 2.7], [0, 0.1, 2.2]),
    ],
  },
  {
    title: "Thermometers",
    rows: [
      row(
        "probe-out-of-water",
        "Probe fell out of the water",
        GOES_ON,
        "thermometers-disagree",
        [0, 0.2, 0.2],
        [0, 0.1, 1.2],
      ),
      row(
        "both-thermometers-out",
        "Both probes fell out of the water",
        GOES_ON,
        "thermometer-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 1.2],
      ),
      row(
        "thermometer-open",
        "Probe, wire open (no device)",
        GOES_ON,
        "thermometer-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 1.2],
      ),
      row("thermometer-shorted", "Probe, wires touch", GOES_ON, "thermometer-failed", [0, 0.2, 0.4], [0, 0.1, 0.2]),
      row(
        "thermometer-power-on-value",
        "Probe gives its power-on value, 85.0 °C",
        NOTHING,
        "thermometer-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.5],
      ),
      row(
        "thermometer-bus-short",
        "Shared bus shorted: 0.00 °C, all-zero scratchpads",
        GOES_ON,
        "thermometer-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 1.2],
      ),
      row(
        "thermometer-frozen",
        "Probe repeats one value exactly",
        NOTHING,
        "thermometer-failed",
        [0, 0.2, 0.5],
        [0, 0.1, 1.2],
      ),
      row("thermometer-drifts", "Probe wrong by 1 K", NOTHING, "thermometers-disagree", [0, 0.2, 0.3], [0, 0.1, 0.2]),
      row(
        "thermometer-reads-cold",
        "Probe reads 3 K too cold",
        GOES_ON,
        "thermometers-disagree",
        [0, 0.2, 0.2],
        [0, 0.1, 1.2],
      ),
      row(
        "thermometer-reads-warm",
        "Probe reads 3 K too warm",
        GOES_ON,
        "thermometers-disagree",
        [0, 0.2, 0.2],
        [0, 0.1, 1.9],
      ),
    ],
  },
  {
    title: "Conductivity",
    rows: [
      row("conductivity-open", "Probe, wire open", NOTHING, "conductivity-probe-failed", [0, 0.2, 0.2], [0, 0.1, 0.2]),
      row(
        "conductivity-shorted",
        "Probe, wires touch",
        NOTHING,
        "conductivity-probe-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "conductivity-out-of-water",
        "Probe out of the water",
        NOTHING,
        "conductivity-probe-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row(
        "conductivity-frozen",
        "Probe repeats one value exactly",
        NOTHING,
        "conductivity-probe-failed",
        [0, 0.2, 0.3],
        [0, 0.1, 0.2],
      ),
      row(
        "conductivity-reads-low",
        "Probe reads low; top-off goes on",
        NOTHING,
        "salinity-low",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row("conductivity-fouling", "Probe fouls", NOTHING, "salinity-low", [0, 0.2, 0.6], [0, 0.1, 0.5]),
      row("conductivity-bubbles", "Bubbles in the cell", NOTHING, "salinity-low", [0, 0.2, 0.2], [0, 0.1, 0.2]),
    ],
  },
  {
    title: "Power, board and computer",
    rows: [
      row("mains-lost", "Power loss", stops("mains-lost"), "mains-lost", [0, 0.2, 1.9], [0, 0.1, 1.7]),
      row("mains-flapping", "Power comes and goes", stops("mains-lost"), "mains-lost", [0, 0.2, 0.3], [0, 0.1, 0.2]),
      row(
        "mains-sensor-open",
        "Mains sensor, wire open",
        stops("mains-lost"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row("board-silent", "Board silent", stops("board-silent"), "board-silent", [0, 0.2, 0.3], [0, 0.1, 0.2]),
      row(
        "reports-frozen",
        "Board answers but does not report",
        stops("working-float-unknown"),
        "float-failed",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row("controller-killed", "Controller dead for an hour", NOTHING, null, [0, 0.2, 0.6], [0, 0.1, 0.2]),
      row("killed-mid-pour", "Controller dies with the pump on", NOTHING, null, [0, 0.2, 0.2], [0, 0.1, 0.2]),
      row("killed-often", "Controller dies again and again", NOTHING, null, [0, 0.2, 0.3], [0, 0.1, 0.2]),
      row("memory-lost", "Memory lost", locks("memory-lost"), "top-off-locked", [0, 0.2, 0.2], [0, 0.1, 0.2]),
      row(
        "memory-lost-while-locked",
        "Memory of a lock lost",
        locks("high-float-wet"),
        "water-over-high-mark",
        [0, 0.2, 0.2],
        [0, 0.1, 0.2],
      ),
      row("memory-old", "Old memory restored", locks("memory-lost"), "top-off-locked", [0, 0.2, 0.2], [0, 0.1, 0.2]),
      row(
        "clock-set-back-while-off",
        "Clock set back while it was off",
        NOTHING,
        "high-float-proof-due",
        [0, 0.2, 0.3],
        [0, 0.1, 0.2],
      ),
    ],
  },
];
