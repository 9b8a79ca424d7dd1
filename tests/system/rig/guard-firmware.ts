import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Tool } from "./tools.ts";

/** What `describeWith` needs to know before a test builds the firmware. */
export const GUARD_FIRMWARE_TOOLS: readonly Tool[] = ["gcc-avr"];

/** Pins as the firmware's `board.h` has them. */
export const GUARD_PINS = { pump: 8, waterGuard: 9, heater: 10, heatGuard: 11 } as const;
/** Built with `SECOND_HEATER=1`. */
export const SECOND_HEATER_PINS = { secondHeater: 12, secondHeatGuard: 13 } as const;

export interface BuiltFirmware {
  readonly hexPath: string;
  readonly hex: string;
  remove(): void;
}

/** Builds the guard firmware of the wiring notes, with the Makefile that is there for everybody. */
export function buildGuardFirmware(...options: readonly string[]): BuiltFirmware {
  const folder = mkdtempSync(join(tmpdir(), "evenbrine-guard-"));
  const source = join(import.meta.dirname, "../../../wiring-notes/guard");
  execFileSync("make", ["-s", "-C", source, `BUILD=${folder}`, ...options], { stdio: ["ignore", "ignore", "inherit"] });
  const hexPath = join(folder, "guard.hex");
  return {
    hexPath,
    hex: readFileSync(hexPath, "utf8"),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}
