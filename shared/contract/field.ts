import type { Commands, Image } from "./image.ts";
import type { ContactReading } from "./reading.ts";

/** Where the scan meets the parts: real boards, or the simulated tank in their place. */
export interface Field {
  /** What every part says, as of the monotonic time `nowMs`. Never throws and never waits. */
  look(nowMs: number): Pick<Image, "readings" | "seen" | "board" | "pumpLocked">;
  /** Renews every output. What is not renewed for `OUTPUT_EXPIRY_MS` falls to its safe state by itself. */
  command(commands: Commands, nowMs: number): void;
  /** One plain sentence for each connection as it is now, such as "Board io on /dev/ttyACM0: ready." */
  describe(): readonly string[];
  /** Whether somebody presses the button at the tank; null = there is none. */
  button?(nowMs: number): ContactReading | null;
  /** One plain sentence for each input that is wired; changes nothing of what the next `look` tells. */
  sayInputs?(): readonly string[];
  /** Outputs off first, then the connections closed. */
  close(): Promise<void>;
}
