import type { Register } from "../../shared/settings/index.ts";

/**
 * The number in a slave's registers, scaled as the settings say; null where there is none: a NaN, which transmitters
 * send for a broken probe, or an infinity.
 * Each register is a big-endian word (MODBUS Application Protocol Specification V1.1b3, §4.2). Which of two words comes
 * first is not in the standard, so it is a setting.
 */
export function numberFrom(
  words: readonly number[],
  { type, wordOrder, scale, offset }: Pick<Register, "type" | "wordOrder" | "scale" | "offset">,
): number | null {
  const narrow = type === "int16" || type === "uint16";
  const [first, second] = words;
  if (first === undefined || (!narrow && second === undefined)) return null;
  const view = new DataView(new ArrayBuffer(4));
  view.setUint16(0, wordOrder === "high-first" || narrow ? first : (second as number));
  view.setUint16(2, narrow ? 0 : wordOrder === "high-first" ? (second as number) : first);
  const value = RAW[type](view) * scale + offset;
  return Number.isFinite(value) ? value : null;
}

const RAW: Record<Register["type"], (view: DataView) => number> = {
  int16: (view) => view.getInt16(0),
  uint16: (view) => view.getUint16(0),
  int32: (view) => view.getInt32(0),
  uint32: (view) => view.getUint32(0),
  float32: (view) => view.getFloat32(0),
};
