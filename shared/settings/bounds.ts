import type { Bounds } from "./issue-words.ts";

/** As much of a JSON Schema as leads to the bounds of a number. */
interface SchemaNode extends Bounds {
  readonly description?: string;
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  readonly prefixItems?: readonly SchemaNode[];
  readonly items?: SchemaNode;
  /** What may also be left out is this or null. */
  readonly anyOf?: readonly SchemaNode[];
}

/** The bounds that a published schema has for the number at a path; null = it has none there. */
export function boundsIn(schema: object, path: readonly PropertyKey[]): Bounds | null {
  const node = nodeIn(schema, path);
  const own = node?.anyOf?.find(({ minimum }) => minimum !== undefined) ?? node;
  return own?.minimum === undefined && own?.maximum === undefined ? null : own;
}

/** What a published schema says of the value at a path; empty = nothing. */
export const descriptionIn = (schema: object, path: readonly PropertyKey[]): string =>
  nodeIn(schema, path)?.description ?? "";

function nodeIn(schema: object, path: readonly PropertyKey[]): SchemaNode | undefined {
  let node: SchemaNode | undefined = schema;
  for (const key of path) {
    const there: SchemaNode | undefined = node?.anyOf?.find(({ properties }) => properties !== undefined) ?? node;
    node = typeof key === "number" ? (there?.prefixItems?.[key] ?? there?.items) : there?.properties?.[String(key)];
  }
  return node;
}
