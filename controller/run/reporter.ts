import type { ScanRecord } from "../../shared/contract/index.ts";
import type { Settings } from "../../shared/settings/index.ts";
import { detailOf } from "../alarms/index.ts";
import { CALIBRATION } from "../decisions/calibration/key.ts";
import type { Report } from "../front/messages.ts";
import type { Cycle } from "../scan/cycle.ts";
import { keptIn } from "../scan/memory.ts";
import type { Narrator } from "./narrator.ts";
import type { Tank } from "./tank.ts";

export interface ReporterParts {
  readonly settings: Settings;
  readonly tank: Tank;
  readonly cycle: () => Cycle;
  readonly narrator: Narrator;
}

/** How often the parts are asked how they are: nobody plugs faster, and a loose plug does not fill a log. */
const PARTS_EVERY_MS = 2_000;

/** Puts together what is told of a scan, for the front and for whoever asks at the control socket. */
export function createReporter({ settings, tank, cycle, narrator }: ReporterParts): (record: ScanRecord) => Report {
  let askedMs = Number.NEGATIVE_INFINITY;
  let parts: Pick<Report, "inputs"> & Pick<Report["context"], "connections"> = { inputs: [], connections: [] };
  return (record) => {
    const nowMs = performance.now();
    if (nowMs - askedMs >= PARTS_EVERY_MS) {
      askedMs = nowMs;
      parts = { connections: tank.field.describe(), inputs: tank.field.sayInputs?.() ?? [] };
      narrator.seeConnections(parts.connections);
    }
    const scans = cycle().counts();
    return {
      record,
      context: {
        nowMs: tank.wallMs(),
        water: tank.kind,
        sentence: narrator.sentence(),
        alarmDetails: detailsOf(record, settings),
        scans,
        connections: parts.connections,
      },
      // News is paced by the time that the box lives in: a fast rehearsal would otherwise tell old ages.
      paceMs: tank.kind === "rehearsal" ? tank.wallMs() : nowMs,
      calibration: keptIn(cycle().memory(), CALIBRATION).durable.values,
      inputs: parts.inputs,
      healthy: scans.stopped === null && !isInTrouble(record),
    };
  };
}

const isInTrouble = ({ alarms }: ScanRecord): boolean =>
  alarms.some(({ active, priority, state }) => active && priority === "high" && state !== "suppressed");

const NOTHING_TO_ADD: Readonly<Record<string, string>> = {};

function detailsOf(record: ScanRecord, settings: Settings): Readonly<Record<string, string>> {
  if (record.alarms.length === 0) return NOTHING_TO_ADD;
  const details = record.alarms.map(({ id }) => [id, detailOf(id, record, settings)] as const);
  return Object.fromEntries(details.filter(([, detail]) => detail !== null)) as Record<string, string>;
}
