import { type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { NODES } from "../../shared/contract/topics.ts";

/** The newest word on every topic, each a signal, so that only what changed is drawn again. */
export interface Values {
  /** The payload as it came; "" where nothing is known. */
  text(node: string, property: string): string;
  /** Ids of the alarms that were ever told of, without their `alarm-`. */
  readonly alarmIds: ReadonlySignal<readonly string[]>;
  /** Takes a message in. False when it is none of the tank's values: unknown topic, too long, too many. */
  take(topic: string, text: string): boolean;
}

export function createValues(tank: string): Values {
  const told = new Map<string, Signal<string>>();
  const alarmIds = signal<readonly string[]>([]);
  const prefix = `homie/5/${tank}/`;

  const signalOf = (key: string): Signal<string> => {
    const known = told.get(key);
    if (known !== undefined) return known;
    const made = signal("");
    told.set(key, made);
    return made;
  };

  return {
    alarmIds,
    text: (node, property) => signalOf(`${node}/${property}`).value,
    take(topic, text) {
      if (!topic.startsWith(prefix) || text.length > LONGEST_JSON) return false;
      const rest = topic.slice(prefix.length);
      const [node = "", property = "", ...more] = rest === "$state" ? ["$state", "value"] : rest.split("/");
      if (more.length > 0 || !isKnown(node, property)) return false;
      if (text.length > LONGEST_PAYLOAD && !JSON_PLACES.has(`${node}/${property}`)) return false;
      const alarm = ALARM_NODE.exec(node)?.[1];
      if (alarm !== undefined && !alarmIds.peek().includes(alarm)) {
        if (alarmIds.peek().length >= MOST_ALARMS) return false;
        alarmIds.value = [...alarmIds.peek(), alarm].sort();
      }
      signalOf(`${node}/${property}`).value = text;
      return true;
    },
  };
}

const ALARM_NODE = /^alarm-([a-z0-9-]{1,60})$/;
const ALARM_PROPERTIES = new Set(["state", "priority", "since", "message", "what-to-do", "first-up", "times-in-hour"]);
const LONGEST_PAYLOAD = 2_000;
/** Whole lists come as JSON, on topics of their own. */
const LONGEST_JSON = 40_000;
const JSON_PLACES: ReadonlySet<string> = new Set(["proving/status", "calibration/status"]);
const MOST_ALARMS = 200;

/** A map, not an object: a topic named like a part of every object must find nothing. */
const KNOWN: ReadonlyMap<string, ReadonlySet<string>> = new Map(
  Object.entries(NODES).map(([node, { properties }]) => [node, new Set(Object.keys(properties))]),
);

function isKnown(node: string, property: string): boolean {
  if (node === "$state") return true;
  if (ALARM_NODE.test(node)) return ALARM_PROPERTIES.has(property);
  return KNOWN.get(node)?.has(property) ?? false;
}
