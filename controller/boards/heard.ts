import type { ReadingFault } from "../../shared/contract/reading.ts";

/**
 * What a connection last heard of one pin or one register, at the monotonic time `atMs`.
 * A fault is as of now; `atMs` and `sample` then still tell of the last real report, or of the opening where none came.
 */
export type Heard<Value> =
  | { readonly value: Value; readonly fault: null; readonly atMs: number; readonly sample: number }
  | { readonly value: null; readonly fault: ReadingFault; readonly atMs: number; readonly sample: number };
