import { createHash } from "node:crypto";

/** One copy of the durable memory as it lies in its file: a line of heading, then the memory as JSON. */
export interface Slot {
  readonly sequence: number;
  /** Wall time, Unix milliseconds. */
  readonly savedAtMs: number;
  readonly memory: unknown;
}

/** The heading carries the body's length and checksum, so that a copy cut short or half overwritten is never believed. */
export function encodeSlot(slot: Slot): Buffer {
  const body = Buffer.from(`${JSON.stringify(slot.memory)}\n`, "utf8");
  const facts = `evenbrine-memory 1 ${slot.sequence} ${slot.savedAtMs} ${body.length}`;
  return Buffer.concat([Buffer.from(`${facts} ${checksum(facts, body)}\n`, "utf8"), body]);
}

/** `null` = nothing was ever written here; `"corrupt"` = something was, and it cannot be believed. */
export function decodeSlot(bytes: Buffer): Slot | "corrupt" | null {
  if (bytes.length === 0) return null;
  const end = bytes.indexOf(0x0a);
  const heading = bytes.subarray(0, Math.max(0, end)).toString("utf8");
  const fields = /^(evenbrine-memory 1 (\d{1,16}) (\d{1,16}) (\d{1,9})) ([0-9a-f]{64})$/.exec(heading);
  if (fields === null) return "corrupt";
  const [, facts, sequence, savedAtMs, length, sum] = fields as unknown as string[];
  const body = bytes.subarray(end + 1, end + 1 + Number(length));
  if (body.length !== Number(length) || checksum(facts as string, body) !== sum) return "corrupt";
  return { sequence: Number(sequence), savedAtMs: Number(savedAtMs), memory: JSON.parse(body.toString("utf8")) };
}

const checksum = (facts: string, body: Buffer): string =>
  createHash("sha256").update(facts).update("\n").update(body).digest("hex");

/** What lies in the witness's file. */
export interface WitnessFile {
  /** The highest sequence number ever known to be on disk. */
  readonly sequence: number;
  /** What else is kept there; null = nothing, or not to be believed. */
  readonly testimony: unknown | null;
}

/**
 * A heading of always the same length, which one sector holds, with the sequence number and both checksums; then the
 * testimony. A cut that tears the testimony leaves the number believed, and the testimony not.
 */
export function encodeWitness(sequence: number, testimony: unknown = null): Buffer {
  const digits = String(sequence).padStart(16, "0");
  const body = testimony === null ? "" : `${JSON.stringify(testimony)}\n`;
  const length = String(Buffer.byteLength(body)).padStart(6, "0");
  return Buffer.from(`${digits} ${sumOf(digits)} ${length} ${sumOf(`${digits} ${length}`, body)}\n${body}`, "utf8");
}

/** `null` = no such file, or not to be believed. */
export function decodeWitness(bytes: Buffer): WitnessFile | null {
  const fields = /^(\d{16}) ([0-9a-f]{64})[ \n]/.exec(bytes.toString("latin1"));
  if (fields === null) return null;
  const [, digits, sum] = fields as unknown as [string, string, string];
  return sumOf(digits) === sum ? { sequence: Number(digits), testimony: testimonyIn(bytes, digits) } : null;
}

function testimonyIn(bytes: Buffer, digits: string): unknown | null {
  const end = bytes.indexOf(0x0a);
  const fields = / (\d{6}) ([0-9a-f]{64})$/.exec(bytes.subarray(0, Math.max(0, end)).toString("latin1"));
  if (fields === null) return null;
  const [, length, sum] = fields as unknown as [string, string, string];
  const body = bytes.subarray(end + 1, end + 1 + Number(length)).toString("utf8");
  return body !== "" && sumOf(`${digits} ${length}`, body) === sum ? JSON.parse(body) : null;
}

function sumOf(facts: string, body?: string): string {
  const hash = createHash("sha256").update(facts);
  return (body === undefined ? hash : hash.update("\n").update(body)).digest("hex");
}
