import { ABSENCE_STATES } from "./absence.ts";
import { BOARD_STATES, FRONT_STATES } from "./image.ts";
import { BELIEFS } from "./ledger.ts";
import { PROOF_PARTS, PROOF_WORDS } from "./proving.ts";
import { capital } from "./sentence.ts";

/**
 * The tree of topics, from which `$description`, the publisher and the dashboard are made: the Homie convention 5
 * (open, CC BY 4.0): `homie/5/<tank>/<node>/<property>`, values retained, requests never.
 * Nodes that the convention lacks are ordinary nodes of our own: quality and time beside every value, one node per
 * alarm, the scan's reasons.
 */
export type Datatype = "float" | "integer" | "boolean" | "string" | "enum" | "datetime" | "json";

export interface Property {
  readonly name: string;
  readonly datatype: Datatype;
  readonly unit?: string;
  /** An enum's members, a range, or what a JSON value looks like. */
  readonly format?: string;
  readonly settable?: boolean;
  /** False only for events such as a request's outcome. */
  readonly retained?: boolean;
}

export interface Node {
  readonly name: string;
  readonly properties: Readonly<Record<string, Property>>;
}

/** A measured quantity and its doubt. An unknown value is published as an empty property with quality `bad`. */
function quantity(name: string, unit: string | undefined): Node {
  return {
    name,
    properties: {
      value: { name, datatype: "float", ...(unit === undefined ? {} : { unit }) },
      quality: { name: "Quality", datatype: "enum", format: "good,uncertain,bad" },
      doubt: { name: "Why it is not simply good", datatype: "string" },
      uncertainty: { name: "Uncertainty (k = 2)", datatype: "float", ...(unit === undefined ? {} : { unit }) },
      "measured-at": { name: "Measured at", datatype: "datetime" },
      "last-value": { name: "Last value that was not bad", datatype: "float", ...(unit === undefined ? {} : { unit }) },
    },
  };
}

/** A learned value and its doubt. */
const doubtful = <Id extends string>(id: Id, name: string, unit: string | undefined) => {
  const value: Property = { name, datatype: "float", ...(unit === undefined ? {} : { unit }) };
  const uncertainty: Property = { ...value, name: `${name}: uncertainty (k = 2)` };
  return { [id]: value, [`${id}-uncertainty`]: uncertainty } as Record<Id | `${Id}-uncertainty`, Property>;
};

/** What is expected, and between what it falls 19 times in 20. An empty latest = perhaps never. */
const forecast = <Id extends string>(id: Id, name: string, unit: string) =>
  ({
    [id]: { name, datatype: "float", unit },
    [`${id}-earliest`]: { name: `${name}: earliest`, datatype: "float", unit },
    [`${id}-latest`]: { name: `${name}: latest`, datatype: "float", unit },
  }) as Record<Id | `${Id}-earliest` | `${Id}-latest`, Property>;

const contact = (name: string, on: string, off: string): Node => ({
  name,
  properties: {
    position: { name, datatype: "enum", format: `${on},${off},unknown,not-fitted` },
    doubt: { name: "Why it is unknown", datatype: "string" },
    "measured-at": { name: "Reported at", datatype: "datetime" },
  },
});

const daysOf = <Id extends string>(words: Readonly<Record<Id, string>>): Record<Id, Property> =>
  Object.fromEntries(
    Object.entries<string>(words).map(([id, name]) => [id, { name: capital(name), datatype: "float", unit: "d" }]),
  ) as Record<Id, Property>;

const switchNode = (name: string, property: string, description: string): Node => ({
  name,
  properties: { [property]: { name: description, datatype: "boolean" } },
});

const heat = (name: string) => ({
  name,
  properties: {
    state: { name: "State", datatype: "enum", format: "off,heating,cautious,held,waiting,cut-out,locked" },
    why: { name: "Reason", datatype: "string" },
    latch: { name: "What a person must clear", datatype: "string" },
    "latch-number": { name: "Number to name in a clear request", datatype: "integer" },
    clearable: { name: "Its cause is gone and it may be cleared", datatype: "boolean" },
    duty: { name: "Share of the last day that the heater was on", datatype: "float", unit: "%" },
    setpoint: { name: "Setpoint", datatype: "float", unit: "°C" },
  } as const satisfies Node["properties"],
});

/** JSON of each request; every one carries an `id` (1–64 characters) by which its outcome is known. */
const request = (name: string, format: string): Property => ({
  name,
  datatype: "json",
  format,
  settable: true,
  retained: false,
});

export const NODES = {
  box: {
    name: "The box as a whole",
    properties: {
      sentence: { name: "How the box is doing, in one sentence", datatype: "string" },
      water: { name: "Real water, or a rehearsal on the simulated tank", datatype: "enum", format: "real,rehearsal" },
      clock: { name: "The time all times here are given in (simulated in a rehearsal)", datatype: "datetime" },
    },
  },
  temperature: quantity("Temperature", "°C"),
  salinity: quantity("Practical salinity (PSS-78)", undefined),
  "specific-gravity": quantity("Specific gravity 25/25 °C", undefined),
  conductivity: quantity("Conductivity, not compensated", "mS/cm"),
  "thermometer-1": quantity("Thermometer 1", "°C"),
  "thermometer-2": quantity("Thermometer 2", "°C"),
  room: quantity("Room temperature", "°C"),
  level: {
    name: "Water level in the last chamber",
    properties: {
      state: { name: "Level", datatype: "enum", format: "low,at-mark,high,contradiction,unknown" },
      "from-mm": { name: "Not below", datatype: "float", unit: "mm" },
      "to-mm": { name: "Not above", datatype: "float", unit: "mm" },
      "estimate-mm": { name: "Estimate above the working mark", datatype: "float", unit: "mm" },
    },
  },
  "working-float": contact("Working float", "full", "low"),
  "high-float": contact("High float", "wet", "dry"),
  "low-float": contact("Low float", "covered", "dry"),
  "reservoir-float": contact("Reservoir float", "has-water", "empty"),
  "floor-sensor": contact("Floor sensor", "wet", "dry"),
  "mains-sensor": contact("Mains sensor", "power", "no-power"),
  "return-sensor": contact("Return-pump sensor", "running", "stopped"),
  "top-off": {
    name: "Top-off",
    properties: {
      state: {
        name: "State",
        datatype: "enum",
        format: "resting,confirming,pouring,settling,held,locked,proving",
      },
      why: { name: "Reason", datatype: "string" },
      blockers: { name: "What stands in its way", datatype: "string" },
      latch: { name: "What a person must clear", datatype: "string" },
      "latch-number": { name: "Number to name in a clear request", datatype: "integer" },
      clearable: { name: "Its cause is gone and it may be cleared", datatype: "boolean" },
      "budget-left": { name: "Litres left in today's budget", datatype: "float", unit: "L" },
      "poured-total": { name: "Litres poured in all", datatype: "float", unit: "L" },
      excess: { name: "Litres poured beyond credible evaporation", datatype: "float", unit: "L" },
      "excess-limit": { name: "Excess at which it locks", datatype: "float", unit: "L" },
      due: { name: "Litres due", datatype: "float", unit: "L" },
      reservoir: { name: "Litres left in the reservoir, by the ledger", datatype: "float", unit: "L" },
      "reservoir-days": { name: "Days left in the reservoir", datatype: "float", unit: "d" },
    },
  },
  heat: heat("Heat"),
  "second-heat": heat("Heat of the second heater; empty where there is none"),
  ledger: {
    name: "Ledger of water and salt",
    properties: {
      belief: {
        name: "What it believes",
        datatype: "enum",
        format: Object.keys(BELIEFS).join(","),
      },
      sureness: { name: "How sure", datatype: "float", unit: "%" },
      says: { name: "What that means, or why nothing is believed", datatype: "string" },
      check: { name: "The check that would settle it", datatype: "string" },
      settled: { name: "What hand tests have told apart", datatype: "enum", format: "probe-drift,salt-loss" },
      ...doubtful("salinity-at-full", "Salinity of the water at its mark", undefined),
      ...doubtful("litres-per-day", "Fresh water that goes in per day", "L"),
      ...doubtful("excess-per-day", "Litres per day beyond expected evaporation", "L"),
      ...doubtful("salinity-per-day", "Change of the shown salinity per day", undefined),
      ...doubtful("evaporation-per-day", "Evaporation learned, litres per day", "L"),
      "evaporation-by-air": { name: "Evaporation by the room's air, from–to, litres per day", datatype: "string" },
      ...doubtful("pump-strength", "Flow of the top-off pump against its proven flow", "%"),
      ...doubtful("heat-loss", "Heat that leaves the water, mean of a day", "W"),
      ...doubtful("heat-loss-per-kelvin", "The same per kelvin above the room", "W/K"),
      ...doubtful("heater-power", "Power of the heater as the water shows it", "W"),
      ...forecast("reservoir-days", "Days left in the reservoir", "d"),
      ...forecast("salinity-hours", "Hours until salinity leaves its band", "h"),
      ...forecast("temperature-hours", "Hours until temperature leaves its band", "h"),
    },
  },
  "source-water": {
    name: "The water that fills the reservoir",
    properties: {
      ...quantity("Dissolved solids", "mg/L").properties,
      "litres-since-change": {
        name: "Litres poured since its cartridge was changed; nothing = nobody has said when",
        datatype: "float",
        unit: "L",
      },
      "days-since-change": { name: "Days since its cartridge was changed", datatype: "float", unit: "d" },
    },
  },
  hold: {
    name: "Hold: hands in the tank",
    properties: {
      active: { name: "Holding", datatype: "boolean" },
      "with-heat": { name: "The heater is held off too", datatype: "boolean" },
      until: { name: "Ends at", datatype: "datetime" },
      question: { name: "Waiting for an answer about the low level", datatype: "boolean" },
    },
  },
  absence: {
    name: "Absence: nobody but a sitter is there",
    properties: {
      state: { name: "Absence", datatype: "enum", format: ABSENCE_STATES.join(",") },
      begins: { name: "Begins at; nothing = it has begun, or there is none", datatype: "datetime" },
      ends: { name: "Ends at; nothing = when somebody says so, or there is none", datatype: "datetime" },
      due: {
        name: "What runs out or falls due, in hours from now, soonest first",
        datatype: "json",
        format:
          '{"parts":[{"kind":"reservoir","of":null,"inH":64,"earliestH":53.3,"renewedH":53.3,"litres":{"left":4,"full":4}}]}',
      },
    },
  },
  "top-off-pump": switchNode("Top-off pump relay", "on", "Commanded on"),
  "heater-1": switchNode("Heater relay", "on", "Commanded on"),
  "water-guard": switchNode("Water guard", "closed", "Commanded closed"),
  "heat-guard": switchNode("Heat guard", "closed", "Commanded closed"),
  "heater-2": switchNode("Second heater's relay", "on", "Commanded on"),
  "heat-guard-2": switchNode("Second heat guard", "closed", "Commanded closed"),
  proofs: {
    name: "Days since a part was last seen to work; nothing = never",
    properties: daysOf(PROOF_WORDS),
  },
  proving: {
    name: "Parts that are seen to work before they are trusted",
    properties: {
      next: { name: "The part to prove next", datatype: "enum", format: PROOF_PARTS.join(",") },
      status: {
        name: "Every part, the run under way and what to do now",
        datatype: "json",
        format: '{"parts":{"high-float":{"standing":"never","next":"Lift it."}},"run":null,"lastRun":null}',
      },
    },
  },
  calibration: {
    name: "What readings are corrected by",
    properties: {
      status: {
        name: "What is in force, the session under way, and every calibration kept",
        datatype: "json",
        format: '{"inForce":{"conductivity":{"value":1,"unit":""}},"session":null,"entries":[]}',
      },
    },
  },
  parts: {
    name: "What hangs on this computer",
    properties: {
      connections: { name: "What each connection says of itself, one sentence each", datatype: "string" },
    },
  },
  scan: {
    name: "The scan",
    properties: {
      count: { name: "Scans since the start", datatype: "integer" },
      late: { name: "Scans that began late", datatype: "integer" },
      missed: { name: "Scans that never began", datatype: "integer" },
      overlong: { name: "Scans that took longer than allowed", datatype: "integer" },
      "worst-ms": { name: "Longest scan of the last minute", datatype: "float", unit: "ms" },
      "lateness-p99-ms": { name: "99 of 100 scans began no later than this", datatype: "float", unit: "ms" },
      "lateness-worst-ms": { name: "The latest scan since the start began so late", datatype: "float", unit: "ms" },
      board: { name: "Input and output board", datatype: "enum", format: BOARD_STATES.join(",") },
      disk: { name: "Disk", datatype: "enum", format: "working,failed" },
      front: { name: "What serves page and messages", datatype: "enum", format: FRONT_STATES.join(",") },
      history: { name: "History", datatype: "enum", format: "working,failed" },
      fault: { name: "What failed beside the scan lately", datatype: "string" },
      stopped: { name: "Why the scan stopped, if it did", datatype: "string" },
    },
  },
  request: {
    name: "What a person may ask",
    properties: {
      hold: request("Start a hold", '{"id":"a1","minutes":30}'),
      "end-hold": request("End a hold, or answer its question", '{"id":"a2","answer":"salt-water-added|evaporation"}'),
      acknowledge: request("Acknowledge an alarm", '{"id":"a3","alarm":"<alarm id>|all"}'),
      clear: request("Clear a latch", '{"id":"a4","machine":"top-off|heat|second-heat","occurrence":1}'),
      "hand-test": request("Enter a salinity measured by hand", '{"id":"a5","salinity":35.0}'),
      "reservoir-test": request("Enter the salinity of the water in the reservoir", '{"id":"a16","salinity":0}'),
      refill: request("Enter litres put into the reservoir", '{"id":"a6","litres":8}'),
      trust: request("Say that a thermometer hangs in the water again", '{"id":"a15","part":"thermometer-1"}'),
      "cartridge-changed": request("Count litres and days of the source water's cartridge from now", '{"id":"a9"}'),
      absence: request("Tell of an absence, in hours from now", '{"id":"a21","fromH":0,"toH":336}'),
      "end-absence": request("End an absence: somebody is back", '{"id":"a22"}'),
      "at-tank": request("Say that somebody stands at the tank, at the tank only", '{"id":"a13","minutes":30}'),
      prove: request("Run a part for a moment", '{"id":"a7","part":"top-off-pump","seconds":10}'),
      "end-run": request("End the run under way", '{"id":"a10"}'),
      proven: request("Say that a part was seen to work", '{"id":"a8","part":"top-off-pump","by":"Kim","ml":250}'),
      calibrate: request("A step of a calibration", '{"id":"a11","step":"begin","session":"conductivity"}'),
      "undo-calibration": request("Take back a calibration", '{"id":"a12","number":1}'),
      outcome: {
        name: "Answer to a request",
        datatype: "json",
        format: '{"id":"a1","accepted":true,"why":"…","stored":true}',
        retained: false,
      },
    },
  },
} as const satisfies Record<string, Node>;

/** One such node per condition in `controller/alarms`, with the id `alarm-<condition>`. */
export const alarmNode = (title: string): Node => ({
  name: title,
  properties: {
    state: {
      name: "State",
      datatype: "enum",
      format: "normal,unacknowledged,acknowledged,returned,latched,suppressed",
    },
    priority: { name: "Priority", datatype: "enum", format: "low,medium,high" },
    since: { name: "Active since", datatype: "datetime" },
    message: { name: "What it means", datatype: "string" },
    "what-to-do": { name: "What to do now", datatype: "string" },
    "first-up": { name: "It was the first of those that stand", datatype: "boolean" },
    "times-in-hour": { name: "Times in the last hour", datatype: "float" },
  },
});

export type NodeId = keyof typeof NODES;

export const topicOf = (tank: string, node: string, property: string): string => `homie/5/${tank}/${node}/${property}`;
