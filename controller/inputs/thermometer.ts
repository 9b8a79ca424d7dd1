import type { ThermometerReading } from "../../shared/contract/reading.ts";
import type { Register } from "../../shared/settings/index.ts";
import type { Heard } from "../boards/index.ts";
import { reading } from "./reading.ts";
import { numberFrom } from "./register.ts";

/** °C from a register of a transmitter. Whether it can be true is for the signals to say. */
export const thermometerReading = (
  words: Heard<readonly number[]>,
  register: Pick<Register, "type" | "wordOrder" | "scale" | "offset">,
  nowMs: number,
): ThermometerReading => reading(words, nowMs, (raw) => numberFrom(raw, register));
