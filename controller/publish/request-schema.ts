import { z } from "zod";
import {
  MACHINES,
  MARKS,
  PROOF_PARTS,
  PROVING_RUNS,
  REQUEST_KINDS,
  type Request,
  type RequestKind,
  SESSIONS,
  STANDARDS,
  WATER_THERMOMETERS,
} from "../../shared/contract/index.ts";

/** What each request must look like on the wire. Where it came from is never believed from its own words. */
const id = z.string().regex(/^[\x21-\x7e]{1,64}$/, "1 to 64 characters without spaces, chosen by whoever asks");
/** Written by a person: letters, digits and ordinary signs of any language, nothing that moves a cursor. */
const word = (most: number) =>
  z.string().regex(new RegExp(`^[\\p{L}\\p{N}\\p{P} ]{1,${most}}$`, "u"), `1 to ${most} letters, digits and signs`);
const by = word(40);

const SCHEMAS = {
  hold: z.strictObject({ id, minutes: z.number().min(1).max(240) }),
  "end-hold": z.strictObject({
    id,
    answer: z.enum(["salt-water-added", "evaporation"]).nullable().default(null),
  }),
  acknowledge: z.strictObject({ id, alarm: z.string().min(1).max(64) }),
  clear: z.strictObject({ id, machine: z.enum(MACHINES), occurrence: z.number().int().min(0) }),
  "hand-test": z.strictObject({ id, salinity: z.number().min(0).max(42) }),
  "reservoir-test": z.strictObject({ id, salinity: z.number().min(0).max(42) }),
  refill: z.strictObject({ id, litres: z.number().min(0).max(100) }),
  "cartridge-changed": z.strictObject({ id }),
  // The scan says in words which span it takes; beyond this there is none.
  absence: z.strictObject({ id, fromH: z.number().min(0).max(10_000), toH: z.number().min(0).max(10_000) }),
  "end-absence": z.strictObject({ id }),
  trust: z.strictObject({ id, part: z.enum(WATER_THERMOMETERS) }),
  "at-tank": z.strictObject({ id, minutes: z.number().min(0).max(60) }),
  prove: z.strictObject({ id, part: z.enum(PROVING_RUNS), seconds: z.number().min(1).max(300) }),
  "end-run": z.strictObject({ id }),
  proven: z.strictObject({
    id,
    part: z.enum(PROOF_PARTS),
    by: by.optional(),
    ml: z.number().min(0).max(5000).optional(),
    backward: z.boolean().optional(),
    mm: z.number().min(-300).max(300).optional(),
  }),
  calibrate: z.discriminatedUnion("step", [
    z.strictObject({ id, step: z.literal("begin"), session: z.enum(SESSIONS), by: by.optional() }),
    z.strictObject({ id, step: z.literal("dry") }),
    z.strictObject({ id, step: z.literal("watch") }),
    z.strictObject({
      id,
      step: z.literal("standard"),
      standard: z.enum(STANDARDS),
      lot: word(40).optional(),
      temperatureC: z.number().min(0).max(45).optional(),
      labelMsPerCm: z.number().min(0.05).max(90).optional(),
      labelC: z.number().min(0).max(45).optional(),
      labelPercentPerK: z.number().min(0).max(5).optional(),
    }),
    z.strictObject({ id, step: z.literal("reference"), referenceC: z.number().min(0).max(45).optional() }),
    z.strictObject({ id, step: z.literal("accept") }),
    z.strictObject({ id, step: z.literal("abandon") }),
    z.strictObject({
      id,
      step: z.literal("mark"),
      mark: z.enum(MARKS),
      mm: z.number().min(-300).max(300),
      by: by.optional(),
    }),
  ]),
  "undo-calibration": z.strictObject({ id, number: z.number().int().min(1) }),
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
    ...bareSchema(z.strictObject({ id: z.string(), accepted: z.boolean(), why: z.string(), stored: z.boolean() })),
    examples: [{ id: "a1", accepted: true, why: "Holding for 30 minutes.", stored: true }],
  });

const EXAMPLES: { readonly [Kind in RequestKind]: object } = {
  hold: { id: "a1", minutes: 30 },
  "end-hold": { id: "a2", answer: "evaporation" },
  acknowledge: { id: "a3", alarm: "all" },
  clear: { id: "a4", machine: "top-off", occurrence: 1 },
  "hand-test": { id: "a5", salinity: 35 },
  "reservoir-test": { id: "a16", salinity: 0 },
  refill: { id: "a6", litres: 8 },
  prove: { id: "a7", part: "top-off-pump", seconds: 10 },
  "cartridge-changed": { id: "a9" },
  absence: { id: "a21", fromH: 0, toH: 336 },
  "end-absence": { id: "a22" },
  trust: { id: "a15", part: "thermometer-1" },
  "at-tank": { id: "a13", minutes: 30 },
  "end-run": { id: "a10" },
  proven: { id: "a8", part: "top-off-pump", by: "Kim", ml: 250 },
  calibrate: { id: "a11", step: "begin", session: "conductivity" },
  "undo-calibration": { id: "a12", number: 1 },
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
