import type { Settings } from "../../../shared/settings/schema.ts";
import { type Answer, accept, type Kept, type Machine, refuse, type Sensed } from "../machine.ts";
import { isAtTank, NOT_AT_TANK } from "../presence.ts";
import { agreeingWith } from "./agreeing.ts";
import { CALIBRATION, type CalibrationVolatile, type Shown } from "./key.ts";
import {
  type CalibrationMemory,
  type CalibrationTestimony,
  calibrationAfterRestart,
  calibrationInDoubt,
  calibrationUnder,
  nothingCalibrated,
  olderCalibration,
  storedCalibration,
  storedCalibrationTestimony,
  wellCalibrated,
} from "./memory.ts";
import { undoCalibration } from "./requests.ts";
import { followSession, type SessionMemory, type SessionReads, sessionStatus } from "./session.ts";
import { calibrationStatus } from "./status.ts";
import { calibrate } from "./steps.ts";

type Own = Kept<CalibrationMemory, CalibrationVolatile>;

/** What readings and settings are corrected by, the walk that finds it, and the way back. */
export const calibration: Machine<CalibrationMemory, CalibrationVolatile, null, CalibrationTestimony> = {
  key: CALIBRATION,
  fresh: (settings) => ({ durable: wellCalibrated(settings), volatile: NO_SESSION }),
  lost: (settings, { testimony }) => calibrationInDoubt(nothingCalibrated(settings), settings, testimony),
  afterRestart: ({ durable, volatile }, restart, settings) => ({
    durable:
      restart.memory === "sound"
        ? calibrationAfterRestart(durable, restart.offMs)
        : calibrationInDoubt(durable, settings, restart.testimony),
    volatile,
  }),
  schema: storedCalibration,
  testimony: {
    schema: storedCalibrationTestimony,
    of: ({ values, numbers }) => ({ flowLPerMin: values["top-off-flow"]?.value ?? null, calibrations: numbers }),
  },

  underSettings(kept, { file, isStart }) {
    const under = calibrationUnder(kept.durable, file);
    if (under === kept.durable && !isStart) return kept;
    return { durable: agreeingWith(under, file), volatile: kept.volatile };
  },

  request(kept, request, context) {
    if (request.kind !== "calibrate" && request.kind !== "undo-calibration") return null;
    if (!isAtTank(request.at, context)) return refuse(kept, NOT_AT_TANK);
    const { session } = kept.volatile;
    if (request.kind === "calibrate") {
      const before = { calibration: kept.durable, session };
      return answer(kept, calibrate(before, request, sessionReads(context), context.file));
    }
    // What a session has read was corrected by what would be taken back.
    if (session !== null) return refuse(kept, "A calibration is under way: accept or abandon it first.");
    return answer(kept, { session, ...undoCalibration(kept.durable, request, context.file) });
  },

  watch({ durable, volatile }, context) {
    const { elapsed, file } = context;
    const session = volatile.session === null ? null : followSession(volatile.session, sessionReads(context), elapsed);
    return {
      kept: {
        durable: olderCalibration(durable, elapsed.ms),
        volatile: {
          session,
          corrected: context.before(CALIBRATION).durable.values,
          shown: showAnew(volatile.shown, durable, session, file),
        },
      },
      urgent: false,
    };
  },

  show(draft, { volatile }) {
    draft.calibration = (volatile.shown as Shown).status;
  },
};

const NO_SESSION: CalibrationVolatile = { session: null, corrected: null, shown: null };

interface Calibrated {
  readonly calibration: CalibrationMemory;
  readonly session: SessionMemory | null;
  readonly accepted: boolean;
  readonly why: string;
}

function answer(
  kept: Own,
  { calibration, session, accepted, why }: Calibrated,
): Answer<Own["durable"], Own["volatile"]> {
  const after = { durable: calibration, volatile: { ...kept.volatile, session } };
  return accepted ? accept(after, why) : refuse(after, why);
}

/** In the air a cell reads next to nothing, which is out of the signal's range; here that is what is looked for. */
export function sessionReads({
  image,
  signals,
  corrections,
}: Pick<Sensed, "image" | "signals" | "corrections">): SessionReads {
  const { conductivity, conductivityTemperature, readC } = signals;
  const bare = image.readings["conductivity-probe"]?.value?.conductivityMsPerCm ?? null;
  const inAir = bare !== null && Number.isFinite(bare) && conductivity.doubt === "out-of-range";
  return {
    cellMsPerCm: conductivity.value ?? (inAir ? bare * corrections.cellFactor : null),
    cellC: conductivityTemperature.value,
    firstC: readC.first,
    secondC: readC.second,
  };
}

function showAnew(
  before: Shown | null,
  memory: CalibrationMemory,
  session: SessionMemory | null,
  file: Settings,
): Shown {
  if (before !== null && before.entries === memory.entries && before.session === session) return before;
  const status = calibrationStatus(memory, session === null ? null : sessionStatus(session), file);
  return { entries: memory.entries, session, status };
}
