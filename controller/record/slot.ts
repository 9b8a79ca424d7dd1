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

/** The witness: the highest sequence number ever known to be on disk, always of the same length. */
export function encodeWitness(sequence: number): Buffer {
  const digits = String(sequence).padStart(16, "0");
  return Buffer.from(`${digits} ${createHash("sha256").update(digits).digest("hex")}\n`, "utf8");
}

/** `null` = no such file, or not to be believed. */
export function decodeWitness(bytes: Buffer): number | null {
  const fields = /^(\d{16}) ([0-9a-f]{64})\n$/.exec(bytes.toString("utf8"));
  if (fields === null) return null;
  const [, digits, sum] = fields as unknown as string[];
  return createHash("sha256")
    .update(digits as string)
    .digest("hex") === sum
    ? Number(digits)
    : null;
}
