import { parseSync } from "vite";

/** A node of the syntax tree, as the parser gives it (ESTree). */
export interface Syntax {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [part: string]: unknown;
}

/** A source as patterns are looked for in it: its nodes by type, and the lists that statements stand in. */
export interface Tree {
  readonly byType: ReadonlyMap<string, readonly Syntax[]>;
  readonly lists: readonly (readonly Syntax[])[];
}

/** Null where the source is no TypeScript. */
export function parseTree(source: string): Tree | null {
  const program = parse(source);
  if (program === null) return null;
  const byType = new Map<string, Syntax[]>();
  const lists: (readonly Syntax[])[] = [];
  for (const node of everyNode(program)) {
    const alike = byType.get(node.type);
    if (alike === undefined) byType.set(node.type, [node]);
    else alike.push(node);
    lists.push(...listsIn(node));
  }
  return { byType, lists };
}

/** Brackets leave no trace in the tree but its shape. */
export function parse(source: string): Syntax | null {
  const { program, errors } = parseSync("source.ts", source, { preserveParens: false });
  return errors.length > 0 ? null : (program as unknown as Syntax);
}

export const isSyntax = (value: unknown): value is Syntax =>
  typeof value === "object" && value !== null && "type" in value && "start" in value;

export const statementsOf = ({ body }: Syntax): readonly Syntax[] => body as readonly Syntax[];

/** What is left without a cast, and without braces around one statement; a text is a text, however it is quoted. */
export function unwrap(node: Syntax): Syntax {
  if (/^TS(As|NonNull|Satisfies)Expression$/.test(node.type)) return unwrap(node.expression as Syntax);
  const [only, ...more] = node.type === "BlockStatement" ? statementsOf(node) : [];
  if (only !== undefined && more.length === 0) return unwrap(only);
  return node.type === "TemplateLiteral" ? unquote(node) : node;
}

function unquote(node: Syntax): Syntax {
  const [text, ...more] = node.quasis as readonly { readonly value: { readonly cooked: string } }[];
  if (text === undefined || more.length > 0) return node;
  return { type: "Literal", start: node.start, end: node.end, value: text.value.cooked };
}

function* everyNode(node: Syntax): Generator<Syntax> {
  yield node;
  for (const part of Object.values(node).flat()) if (isSyntax(part)) yield* everyNode(part);
}

/** The statements in a block, or the one that stands without a block. */
const listsIn = ({ body, consequent, alternate }: Syntax): readonly (readonly Syntax[])[] =>
  [body, consequent, alternate].flatMap((part) => {
    if (Array.isArray(part)) return [part as Syntax[]];
    return isSyntax(part) && /(?<!Block)(Statement|Declaration)$/.test(part.type) ? [[part]] : [];
  });
