import { z } from "zod";
import {
  PROOF_PARTS,
  PROVING_RUNS,
  REQUEST_KINDS,
  type Request,
  type RequestKind,
} from "../../shared/contract/index.ts";

/** What each request must look like on the wire. Where it came from is never believed from its own words. */
const id = z.string().regex(/^[\x21-\x7e]{1,64}$/, "1 to 64 characters without spaces, chosen by whoever asks");

const SCHEMAS = {
  hold: z.strictObject({ id, minutes: z.number().min(1).max(240) }),
  "end-hold": z.strictObject({
    id,
    answer: z.enum(["salt-water-added", "evaporation"]).nullable().default(null),
  }),
  acknowledge: z.strictObject({ id, alarm: z.string().min(1).max(64) }),
  clear: z.strictObject({ id, machine: z.enum(["top-off", "heat"]), occurrence: z.number().int().min(0) }),
  "hand-test": z.strictObject({ id, salinity: z.number().min(0).max(42) }),
  refill: z.strictObject({ id, litres: z.number().min(0).max(100) }),
  "cartridge-changed": z.strictObject({ id }),
  prove: z.strictObject({ id, part: z.enum(PROVING_RUNS), seconds: z.number().min(1).max(60) }),
  proven: z.strictObject({ id, part: z.enum(PROOF_PARTS) }),
} satisfies Record<RequestKind, z.ZodType>;

export type ReadRequest =
  | { readonly request: Request }
  /** `id` is the request's own as far as it could be read, else empty. */
  | { readonly request: null; readonly id: string; readonly why: string };

/** Reads a request as it came over the network. */
export function readRequest(kind: string, payload: string): ReadRequest {
  if (!isKind(kind)) return unreadable("", `There is no request called ${quoted(kind)}: ${REQUEST_KINDS.join(", ")}.`);
  let raw: unknown;
  try {
    raw = JSON.parse(payload);
  } catch {
    return unreadable("", `The request is not JSON. It looks like ${example(kind)}.`);
  }
  const parsed = SCHEMAS[kind].safeParse(raw);
  if (parsed.success) return { request: { kind, at: "network", ...parsed.data } as Request };
  const named = id.safeParse((raw as { id?: unknown } | null)?.id);
  return unreadable(named.success ? named.data : "", `${faultWords(parsed.error)} It looks like ${example(kind)}.`);
}

/** JSON Schema of each request, as the convention wants it in `$description`, with an example. */
export const requestFormat = (kind: RequestKind): string =>
  JSON.stringify({ ...bareSchema(SCHEMAS[kind]), examples: [EXAMPLES[kind]] });

/** JSON Schema of the answer to a request. */
export const outcomeFormat = (): string =>
  JSON.stringify({
    ...bareSchema(z.strictObject({ id: z.string(), accepted: z.boolean(), why: z.string() })),
    examples: [{ id: "a1", accepted: true, why: "Holding for 30 minutes." }],
  });

const EXAMPLES: { readonly [Kind in RequestKind]: object } = {
  hold: { id: "a1", minutes: 30 },
  "end-hold": { id: "a2", answer: "evaporation" },
  acknowledge: { id: "a3", alarm: "all" },
  clear: { id: "a4", machine: "top-off", occurrence: 1 },
  "hand-test": { id: "a5", salinity: 35 },
  refill: { id: "a6", litres: 8 },
  "cartridge-changed": { id: "a9" },
  prove: { id: "a7", part: "top-off-pump", seconds: 10 },
  proven: { id: "a8", part: "top-off-pump" },
};

const example = (kind: RequestKind): string => JSON.stringify(EXAMPLES[kind]);

function bareSchema(schema: z.ZodType): object {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io: "input" }) as Record<string, unknown>;
  return rest;
}

const isKind = (kind: string): kind is RequestKind => (REQUEST_KINDS as readonly string[]).includes(kind);

const unreadable = (foundId: string, why: string): ReadRequest => ({ request: null, id: foundId, why });

function faultWords(error: z.ZodError): string {
  const [issue] = error.issues;
  if (issue === undefined) return "The request cannot be read.";
  if (issue.code === "unrecognized_keys") return `It has no field called ${quoted(issue.keys[0] ?? "")}.`;
  const field = issue.path.map(String).join(".");
  return `${field === "" ? "The request" : `Its field ${quoted(field)}`} is wrong: ${issue.message}.`;
}

/** What somebody else wrote is shown short and without what could disturb a terminal or a page. */
const quoted = (text: string): string => `"${text.replace(/[^\x20-\x7e]/g, "?").slice(0, 40)}"`;
