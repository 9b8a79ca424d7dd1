/** The 8-bit check of 1-Wire devices: x⁸ + x⁵ + x⁴ + 1, reflected (0x8C), start 0, bytes in the order received.
 *  Source: Maxim application note 27. Check: 02 1C B8 01 00 00 00 gives A2; a frame with its own CRC gives 0.
 *  A frame of zeros passes with CRC 0, so a shorted bus must be caught by other means. */
export function crc8(bytes: ArrayLike<number>): number {
  let crc = 0;
  for (let index = 0; index < bytes.length; index++) {
    crc ^= bytes[index]!;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0x8c : crc >>> 1;
  }
  return crc;
}
