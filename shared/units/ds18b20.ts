import { crc8 } from "./crc8.ts";
import type { Celsius } from "./temperature.ts";
import { celsius } from "./temperature.ts";

export type ScratchpadFault =
  | "wrong-length"
  | "all-zero"
  | "no-device"
  | "crc"
  | "not-a-thermometer"
  | "power-on-value"
  | "starved"
  | "out-of-range";

export type Scratchpad =
  | { readonly kind: "good"; readonly value: Celsius; readonly resolutionBits: 9 | 10 | 11 | 12 }
  | { readonly kind: "bad"; readonly reason: ScratchpadFault };

/** 85.0 °C: the register before the first conversion. No tank is at 85 °C, so it always means "never measured". */
const POWER_ON_RAW = 0x0550;
/** 127.94 °C: what the register shows when the supply collapsed during a conversion. */
const STARVED_RAW = 0x07ff;
const COLDEST_C = -55;
const WARMEST_C = 125;

/** Temperature [°C] from the nine bytes of a DS18B20's scratchpad, or what is wrong with them.
 *  Two's complement, 1/16 K; bits below the configured resolution (9…12 bit) are undefined and cleared.
 *  Source: DS18B20 data sheet (from memory) and Maxim application note 27 for the CRC.
 *  Check: 91 01 4B 46 7F FF 0C 10 + CRC is 25.0625 °C. */
export function ds18b20Temperature(bytes: ArrayLike<number>): Scratchpad {
  if (bytes.length !== 9) return bad("wrong-length");
  if (every(bytes, 0x00)) return bad("all-zero");
  if (every(bytes, 0xff)) return bad("no-device");
  if (crc8(bytes) !== 0) return bad("crc");
  const resolutionBits = resolution(bytes[4]!);
  if (resolutionBits === null) return bad("not-a-thermometer");
  const raw = (((bytes[1]! << 8) | bytes[0]!) << 16) >> 16;
  if (raw === POWER_ON_RAW) return bad("power-on-value");
  if (raw === STARVED_RAW) return bad("starved");
  const value = celsius((raw & (-1 << (12 - resolutionBits))) / 16);
  return value >= COLDEST_C && value <= WARMEST_C ? { kind: "good", value, resolutionBits } : bad("out-of-range");
}

/** The configuration byte is 0 R1 R0 1 1111; anything else is another device or a damaged frame. */
function resolution(configuration: number): 9 | 10 | 11 | 12 | null {
  switch (configuration) {
    case 0x1f:
      return 9;
    case 0x3f:
      return 10;
    case 0x5f:
      return 11;
    case 0x7f:
      return 12;
    default:
      return null;
  }
}

function every(bytes: ArrayLike<number>, value: number): boolean {
  for (let index = 0; index < bytes.length; index++) if (bytes[index] !== value) return false;
  return true;
}

const bad = (reason: ScratchpadFault): Scratchpad => ({ kind: "bad", reason });
