import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** A thermometer as the kernel shows it (w1_therm), with the check sum of a real one: CRC-8, Maxim application note 27. */
export function writeThermometer(folder: string, device: string, celsius: number): void {
  const raw = Math.round(celsius * 16) & 0xffff;
  const eight = [raw & 0xff, raw >> 8, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
  const bytes = [...eight, crc8(eight)].map((byte) => byte.toString(16).padStart(2, "0")).join(" ");
  mkdirSync(join(folder, device), { recursive: true });
  writeFileSync(
    join(folder, device, "w1_slave"),
    `${bytes} : crc=${bytes.slice(-2)} YES\n${bytes} t=${Math.round(celsius * 1000)}\n`,
  );
}

const crc8 = (bytes: readonly number[]): number =>
  bytes.reduce((crc, byte) => {
    let value = crc ^ byte;
    for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? (value >> 1) ^ 0x8c : value >> 1;
    return value;
  }, 0);
