import { describe, expect, it } from "vitest";
import { descriptionOf } from "../../controller/publish/index.ts";
import { FLOOR_WET } from "./context.ts";

/**
 * Rules of the Homie convention 5.0.0 (11 May 2025, homieiot.github.io, CC BY 4.0), chapters "Topic IDs", "Device
 * attributes", "Nodes", "Properties" and "Formats", written down from memory and from the project's notes.
 */
function faultsOf(text: string): string[] {
  const device = JSON.parse(text);
  const faults: string[] = [];
  const need = (holds: boolean, fault: string) => {
    if (!holds) faults.push(fault);
  };
  const isName = (name: unknown) => typeof name === "string" && name.trim() !== "";
  need(/^5\.\d+$/.test(device.homie), "homie is the version, major and minor");
  need(Number.isSafeInteger(device.version) && device.version >= 0, "version is an integer");
  need(isName(device.name), "the device has a name");
  for (const [nodeId, node] of Object.entries<Fields>(device.nodes)) {
    need(/^[a-z0-9-]+$/.test(nodeId), `${nodeId}: id of letters, digits and hyphens`);
    need(isName(node.name), `${nodeId}: has a name`);
    for (const [propertyId, property] of Object.entries<Fields>((node.properties ?? {}) as Record<string, Fields>)) {
      const at = `${nodeId}/${propertyId}`;
      need(/^[a-z0-9-]+$/.test(propertyId), `${at}: id of letters, digits and hyphens`);
      need(isName(property.name), `${at}: has a name`);
      need(FORMATS.has(property.datatype as string), `${at}: knows its datatype`);
      need(FORMATS.get(property.datatype as string)?.(property.format) === true, `${at}: format fits the datatype`);
      need(["boolean", "undefined"].includes(typeof property.settable), `${at}: settable is a boolean`);
      need(["boolean", "undefined"].includes(typeof property.retained), `${at}: retained is a boolean`);
      need(property.unit === undefined || isName(property.unit), `${at}: unit is a text`);
      const extra = Object.keys(property).filter((key) => !ATTRIBUTES.includes(key));
      need(extra.length === 0, `${at}: nothing that the convention does not name`);
    }
  }
  return faults;
}
type Fields = Record<string, unknown>;

const ATTRIBUTES = ["name", "datatype", "format", "settable", "retained", "unit"];
const none = (format: unknown) => format === undefined;
const range = (format: unknown) => none(format) || /^(-?[\d.]+)?:(-?[\d.]+)?(:[\d.]+)?$/.test(String(format));
const FORMATS = new Map<string, (format: unknown) => boolean>([
  ["integer", range],
  ["float", range],
  ["boolean", (format) => none(format) || /^[^,]+,[^,]+$/.test(String(format))],
  ["string", none],
  ["enum", (format) => typeof format === "string" && new Set(format.split(",")).size === format.split(",").length],
  ["datetime", none],
  ["duration", none],
  ["json", (format) => none(format) || isJsonObject(format)],
]);

function isJsonObject(text: unknown): boolean {
  try {
    const value: unknown = JSON.parse(String(text));
    return typeof value === "object" && value !== null;
  } catch {
    return false;
  }
}

const description = descriptionOf("Reef box", [FLOOR_WET]);

describe("$description", () => {
  it("description of the box: no fault by the rules of Homie 5.0", () => {
    expect(faultsOf(description)).toEqual([]);
  });

  it.each([
    ["an id with a capital", (it: Device) => rename(it.nodes, "heat", "Heat")],
    ["an id with an underscore", (it: Device) => rename(it.nodes, "heat", "the_heat")],
    ["a node without a name", (it: Device) => Object.assign(it.nodes.heat ?? {}, { name: " " })],
    ["a version with a point", (it: Device) => Object.assign(it, { version: 1.5 })],
    ["a format that its datatype does not have", (it: Device) => spoil(it, "hold", "until", { format: "days" })],
    ["an enum without members", (it: Device) => spoil(it, "heat", "state", { format: undefined })],
    ["an enum with a member twice", (it: Device) => spoil(it, "heat", "state", { format: "off,off" })],
    ["a JSON format that is no JSON", (it: Device) => spoil(it, "request", "hold", { format: "{" })],
    ["an attribute that the convention does not know", (it: Device) => spoil(it, "heat", "why", { priority: "high" })],
  ])("%s: one fault", (_, harm) => {
    const spoiled = JSON.parse(description);
    harm(spoiled);
    expect(faultsOf(JSON.stringify(spoiled))).toHaveLength(1);
  });

  it("requests: settable and not retained; outcome not retained; all else retained and not settable", () => {
    const { nodes } = JSON.parse(description) as Device;
    for (const [node, { properties }] of Object.entries(nodes)) {
      for (const [id, property] of Object.entries(properties)) {
        const isRequest = node === "request" && id !== "outcome";
        expect([`${node}/${id}`, property.settable === true]).toEqual([`${node}/${id}`, isRequest]);
        expect([`${node}/${id}`, property.retained !== false]).toEqual([`${node}/${id}`, node !== "request"]);
      }
    }
  });

  it("hold: JSON schema of its fields, with an example", () => {
    const { nodes } = JSON.parse(description) as Device;
    const schema = JSON.parse(String(nodes.request?.properties.hold?.format));
    expect(schema).toMatchObject({ type: "object", required: ["id", "minutes"], additionalProperties: false });
    expect(schema.examples).toEqual([{ id: "a1", minutes: 30 }]);
  });

  it("one alarm: a node with its title; alarms or name changed: another version, otherwise the same", () => {
    const version = (text: string) => JSON.parse(text).version;
    expect(JSON.parse(description).nodes["alarm-floor-wet"].name).toBe(FLOOR_WET.title);
    expect(version(descriptionOf("Reef box", [FLOOR_WET]))).toBe(version(description));
    expect(version(descriptionOf("Reef box", []))).not.toBe(version(description));
    expect(version(descriptionOf("Other box", [FLOOR_WET]))).not.toBe(version(description));
  });
});

interface Device {
  version: number;
  nodes: Record<string, { name: string; properties: Record<string, Fields> }>;
}

function spoil({ nodes }: Device, node: string, property: string, changes: Fields): void {
  Object.assign(nodes[node]?.properties[property] ?? {}, changes);
}

function rename(nodes: Device["nodes"], from: string, to: string): void {
  nodes[to] = nodes[from] as Device["nodes"][string];
  delete nodes[from];
}
