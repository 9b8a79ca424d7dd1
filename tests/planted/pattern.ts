import { isSyntax, parse, type Syntax, statementsOf, type Tree, unwrap } from "./tree.ts";

/**
 * A piece of TypeScript with holes in it, looked for in the syntax tree of a source, so that neither layout nor the
 * names of functions, variables and files matter. `$anything` stands for one expression, statement or name, the same
 * wherever it is repeated; `$$anything` for any number of arguments, elements, properties or statements. Not compared:
 * types, casts, comments, and braces around a single statement.
 */
export interface Pattern {
  readonly kind: "expression" | "properties" | "statements";
  readonly nodes: readonly Syntax[];
}

/** Where a pattern was found, and what stood in its holes. */
export interface Match {
  readonly start: number;
  readonly end: number;
  readonly holes: Holes;
}

type Holes = ReadonlyMap<string, readonly Syntax[]>;
const NO_HOLES: Holes = new Map();

export function parsePattern(text: string): Pattern {
  const expression = parse(`(${text}\n)`);
  if (expression !== null) return { kind: "expression", nodes: [expressionIn(expression)] };
  const object = parse(`({${text}\n})`);
  const properties = object === null ? null : (expressionIn(object).properties as readonly Syntax[]);
  // `if (…) { … }` is no method of that name.
  if (properties?.every(({ method }) => method !== true) === true) return { kind: "properties", nodes: properties };
  const around = parse(`function around() {${text}\n}`);
  if (around === null) throw new Error(`neither an expression nor properties nor statements: ${text}`);
  const [{ body }] = statementsOf(around) as [Syntax];
  return { kind: "statements", nodes: statementsOf(body as Syntax) };
}

function expressionIn(program: Syntax): Syntax {
  const [{ expression }] = statementsOf(program) as [Syntax];
  return expression as Syntax;
}

export function findMatches(pattern: Pattern, tree: Tree): readonly Match[] {
  return candidatesIn(tree, pattern).flatMap((nodes) => {
    const holes = matchList(pattern.nodes, nodes, NO_HOLES);
    return holes === null ? [] : [{ ...spanOf(nodes), holes }];
  });
}

/** The source with the text, its holes filled, in the place of what was found. */
export function replaceMatch(source: string, { start, end, holes }: Match, { kind }: Pattern, text: string): string {
  const filled = text.replaceAll(/\$\$?\w+/g, (hole) => {
    const nodes = holes.get(hole);
    if (nodes === undefined) throw new Error(`nothing was found for ${hole}: ${text}`);
    return sourceOf(nodes, source);
  });
  return source.slice(0, start) + (kind === "expression" ? `(${filled})` : filled) + source.slice(end);
}

function sourceOf(nodes: readonly Syntax[], source: string): string {
  const [first, ...more] = nodes;
  if (first === undefined) return "";
  const { start, end } = spanOf(nodes);
  const stood = source.slice(start, end);
  return more.length === 0 && LOOSE.test(first.type) ? `(${stood})` : stood;
}

/** Wants brackets where something else is put around it. */
const LOOSE = /^(Arrow|Assignment|Binary|Conditional|Logical|Sequence|TSAs|Unary).*Expression$/;

const spanOf = (nodes: readonly Syntax[]): { readonly start: number; readonly end: number } => ({
  start: (nodes[0] as Syntax).start,
  end: (nodes.at(-1) as Syntax).end,
});

/** What could be the pattern: nodes of its type, or as many neighbours of a list as the pattern has. */
function candidatesIn({ byType, lists }: Tree, { kind, nodes }: Pattern): readonly (readonly Syntax[])[] {
  if (kind === "expression") return (byType.get((nodes[0] as Syntax).type) ?? []).map((node) => [node]);
  const objects = byType.get("ObjectExpression") ?? [];
  const around = kind === "statements" ? lists : objects.map(({ properties }) => properties as readonly Syntax[]);
  return around.flatMap((list) => list.map((_, at) => list.slice(at, at + nodes.length)));
}

function matchList(wanted: readonly unknown[], there: readonly unknown[], holes: Holes): Holes | null {
  const [first, ...rest] = wanted;
  if (first === undefined) return there.length === 0 ? holes : null;
  const name = holeIn(first);
  if (name?.startsWith("$$") === true) {
    for (let many = 0; many <= there.length; many++) {
      const filled = matchList(rest, there.slice(many), fill(name, there.slice(0, many) as Syntax[], holes));
      if (filled !== null) return filled;
    }
    return null;
  }
  const filled = there.length === 0 ? null : match(first, there[0], holes);
  return filled === null ? null : matchList(rest, there.slice(1), filled);
}

function match(wanted: unknown, there: unknown, holes: Holes): Holes | null {
  if (Array.isArray(wanted)) return Array.isArray(there) ? matchList(wanted, there, holes) : null;
  if (!isSyntax(wanted) || !isSyntax(there)) return wanted === there ? holes : null;
  const name = holeIn(wanted);
  if (name !== null) {
    const before = holes.get(name)?.[0];
    if (before === undefined) return fill(name, [there], holes);
    return match(before, there, NO_HOLES) === null ? null : holes;
  }
  return matchParts(unwrap(wanted), unwrap(there), holes);
}

function matchParts(wanted: Syntax, there: Syntax, holes: Holes): Holes | null {
  if (wanted.type !== there.type) return null;
  let filled: Holes | null = holes;
  for (const part of Object.keys(wanted)) {
    if (!NOT_COMPARED.includes(part)) filled = match(wanted[part], there[part], filled);
    if (filled === null) return null;
  }
  return filled;
}

const NOT_COMPARED: readonly string[] = [
  ...["start", "end", "raw", "shorthand", "decorators"],
  ...["typeAnnotation", "returnType", "typeParameters", "typeArguments"],
];

const fill = (name: string, nodes: readonly Syntax[], holes: Holes): Holes => new Map(holes).set(name, nodes);

/** The name of the hole that this is: written as an expression, as a statement or as a property. */
function holeIn(node: unknown): string | null {
  if (!isSyntax(node)) return null;
  if (node.type === "Identifier") return (node.name as string).startsWith("$") ? (node.name as string) : null;
  if (node.type === "ExpressionStatement") return holeIn(node.expression);
  return node.type === "Property" && node.shorthand === true ? holeIn(node.key) : null;
}
