import type { TreeContext } from "../../controller/publish/index.ts";
import type { AlarmWords } from "../../shared/contract/index.ts";

export const NOW_MS = Date.UTC(2026, 2, 1, 12);

export const FLOOR_WET: AlarmWords = {
  id: "floor-wet",
  title: "Water on the floor",
  priority: "high",
  cause: "Something leaks or overflows.",
  consequence: "The floor and what stands on it are harmed.",
  whatToDo: "Look where the water comes from.",
  timeToRespond: "At once.",
};

export const CONTEXT: TreeContext = {
  tank: "reef-box",
  nowMs: NOW_MS,
  water: "rehearsal",
  sentence: "All is well.",
  alarms: [FLOOR_WET],
  alarmDetails: {},
  scans: {
    count: 42,
    late: 1,
    missed: 0,
    overlong: 0,
    worstMs: 0.84,
    latenessP99Ms: 1.2,
    latenessWorstMs: 3.4,
    stopped: null,
  },
  connections: ["Board io on /dev/ttyACM0: ready.", "Line probes on /dev/ttyUSB0: ready."],
};
