import { OUTPUT_PARTS } from "../../shared/contract/parts.ts";
import type { Settings } from "../../shared/settings/index.ts";

/** Who opens pump and heater when this computer dies; without anybody they are energised only beside a person. */
export interface Attendance {
  /** Whether anything may be energised now. */
  mayEnergise(nowMs: number): boolean;
  describe(nowMs: number): readonly string[];
}

const MINUTE_MS = 60_000;
const REMIND_AT_MINUTES = [1, 2, 5, 10, 20, 30, 60, 120];

/** `isService`: nobody stands beside what a service manager has started, and starts again whenever it likes. */
export function openAttendance(settings: Settings, startedMs: number, isService: boolean): Attendance {
  const { boards, outputs, independentGuard, attendedMinutes } = settings;
  const carriers = new Set(OUTPUT_PARTS.flatMap((part) => outputs[part]?.board ?? []));
  if (carriers.size === 0) return { mayEnergise: () => true, describe: () => [] };
  const holding = [...carriers].filter((name) => {
    const board = boards[name];
    return board?.kind !== "firmata" || board.firmware === "standard";
  });
  if (holding.length === 0) {
    const names = [...carriers].join(" and ");
    const sentence = `When this computer dies, the guard firmware of board ${names} opens pump and heater after 2 s.`;
    return { mayEnergise: () => true, describe: () => [sentence] };
  }
  if (independentGuard !== null) {
    const sentence = `When this computer dies, this switches off: ${independentGuard}`;
    return { mayEnergise: () => true, describe: () => [sentence] };
  }
  const minutes = isService ? 0 : (attendedMinutes ?? 0);
  const leftMs = (nowMs: number) => minutes * MINUTE_MS - (nowMs - startedMs);
  // Told in steps, so that a terminal reminds and does not count.
  const told = [...REMIND_AT_MINUTES.filter((step) => step < minutes), minutes];
  return {
    mayEnergise: (nowMs) => leftMs(nowMs) > 0,
    describe: (nowMs) => {
      const left = leftMs(nowMs) / MINUTE_MS;
      return [STANDARD_HOLDS, attended(left > 0 ? (told.find((step) => step >= left) ?? minutes) : 0)];
    },
  };
}

const STANDARD_HOLDS =
  "With standard firmware the outputs stay as they are when this computer dies: a running pump runs on. Do not leave " +
  "it alone without an independent switch, and name that in the settings under independentGuard.";

const attended = (minutesLeft: number): string =>
  minutesLeft > 0
    ? `Somebody must stay beside the box: in at most ${minutesLeft} min all outputs go off until the next start.`
    : "All outputs are off and stay off: nobody is known to stand beside the box, and nothing else would switch them off.";
