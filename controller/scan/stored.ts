import * as z from "zod";
import type { Settings } from "../../shared/settings/schema.ts";
import { storedAlarms } from "../alarms/index.ts";
import { EVERY_MACHINE } from "../decisions/list.ts";
import { STORED_VERSION, type StoredMemory } from "./memory.ts";
import { isFirstFormat, migrateFirstFormat } from "./migrate-first-format.ts";

/** Stored memory as it was found. */
export type FoundMemory =
  | { readonly state: "sound"; readonly memory: StoredMemory }
  /** `why`: what of it was not as expected. */
  | { readonly state: "corrupt"; readonly why: string }
  /** Written by a newer program than this one: to be left as it is. */
  | { readonly state: "newer"; readonly version: number };

/** Memory as it was stored, through the schemas of the scan and of every machine. Outside their bounds it is corrupt. */
export function readMemory(stored: unknown, settings: Settings): FoundMemory {
  const version = versionOf(stored);
  if (version > STORED_VERSION) return { state: "newer", version };
  const read = storedMemory(settings).safeParse(isFirstFormat(stored) ? migrateFirstFormat(stored) : stored);
  if (read.success) return { state: "sound", memory: read.data };
  const [issue] = read.error.issues;
  return { state: "corrupt", why: `${issue?.path.join(".") || "the whole"}: ${issue?.message ?? "unreadable"}` };
}

function versionOf(stored: unknown): number {
  const read = z.object({ version: z.number() }).safeParse(stored);
  return read.success ? read.data.version : 0;
}

const storedAnswer = z
  .object({ id: z.string().max(64), accepted: z.boolean(), why: z.string(), asked: z.string() })
  .readonly();

function storedMemory(settings: Settings): z.ZodType<StoredMemory> {
  const machines = Object.fromEntries(EVERY_MACHINE.map((machine) => [machine.key.name, machine.schema(settings)]));
  return z.object({
    version: z.literal(STORED_VERSION),
    sequence: z.int().min(0),
    machines: z.object(machines),
    alarms: storedAlarms,
    answered: z.array(storedAnswer).readonly(),
    stoppedBy: z.string().nullable().catch(null),
  });
}
