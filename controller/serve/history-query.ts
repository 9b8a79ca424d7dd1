import { z } from "zod";
import { HISTORY_CHANNELS, type HistoryChannel } from "../../shared/contract/index.ts";

export interface HistoryQuery {
  readonly channels: readonly HistoryChannel[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly buckets: number;
}

const whole = z
  .string()
  .regex(/^-?\d{1,15}$/, "a whole number")
  .transform(Number);
const LONGEST_SPAN_MS = 400 * 86_400_000;

const schema = z
  .strictObject({
    channels: z
      .string()
      .max(200)
      .transform((list) => list.split(","))
      .pipe(z.array(z.enum(HISTORY_CHANNELS)).min(1).max(HISTORY_CHANNELS.length))
      .refine((list) => new Set(list).size === list.length, "each channel once"),
    fromMs: whole,
    toMs: whole,
    buckets: whole.pipe(z.number().min(1).max(1_500)).default(600),
  })
  .refine(({ fromMs, toMs }) => toMs > fromMs, { path: ["toMs"], message: "later than fromMs" })
  .refine(({ fromMs, toMs }) => toMs - fromMs <= LONGEST_SPAN_MS, {
    path: ["toMs"],
    message: "at most 400 days later",
  });

/** A query as it came, or one plain sentence on what is wrong with it. */
export function readHistoryQuery(query: unknown): HistoryQuery | string {
  const parsed = schema.safeParse(query);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  if (issue?.code === "unrecognized_keys") return `There is no ${JSON.stringify(issue.keys[0])} in a query of history.`;
  return `The query's ${issue?.path[0]?.toString() ?? "form"} is wrong: ${issue?.message}.`;
}
