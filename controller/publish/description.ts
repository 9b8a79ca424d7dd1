import { type AlarmWords, alarmNode, NODES, type Node, REQUEST_KINDS } from "../../shared/contract/index.ts";
import { outcomeFormat, requestFormat } from "./request-schema.ts";

/** The `$description` of the tank by the Homie convention 5, as JSON. Its version changes exactly when its content does. */
export function descriptionOf(name: string, alarms: readonly AlarmWords[]): string {
  const nodes: Record<string, Node> = { ...NODES, request: withSchemas(NODES.request) };
  for (const { id, title } of alarms) nodes[`alarm-${id}`] = alarmNode(title);
  const content = { homie: "5.0", name, nodes };
  return JSON.stringify({ ...content, version: versionOf(JSON.stringify(content)) });
}

/** Examples are for people; the convention wants a JSON Schema, which holds the example too. */
function withSchemas(node: Node): Node {
  const formats = Object.fromEntries([
    ...REQUEST_KINDS.map((kind) => [kind, requestFormat(kind)]),
    ["outcome", outcomeFormat()],
  ]) as Record<string, string>;
  const properties = Object.entries(node.properties).map(([id, property]) => [
    id,
    { ...property, format: formats[id] ?? property.format },
  ]);
  return { name: node.name, properties: Object.fromEntries(properties) };
}

/** Fowler, Noll and Vo's hash (FNV-1a) in 31 bits: no clock and no counter on disk, and equal for equal content. */
function versionOf(text: string): number {
  let hash = 0x811c9dc5;
  for (const byte of Buffer.from(text)) hash = Math.imul(hash ^ byte, 0x01000193);
  return hash >>> 1;
}
