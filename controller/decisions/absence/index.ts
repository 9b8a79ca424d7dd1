import {
  type AbsenceSpan,
  type AbsenceStatus,
  type Due,
  forecastAbsence,
  sortDues,
} from "../../../shared/contract/absence.ts";
import { ABSENCE_ANSWERS, describeOutlook } from "../../../shared/contract/absence-words.ts";
import type { AbsenceRequest } from "../../../shared/contract/requests.ts";
import { type Answer, accept, type Kept, type Machine, refuse, type ScanContext } from "../machine.ts";
import { everyDue } from "./every-due.ts";
import { ABSENCE, type AbsenceVolatile } from "./key.ts";
import {
  type AbsenceMemory,
  absenceAfterRestart,
  beginAbsence,
  followAbsence,
  isLasting,
  refuseAbsence,
  storedAbsence,
} from "./memory.ts";

type Own = Kept<AbsenceMemory, AbsenceVolatile>;
type OwnAnswer = Answer<AbsenceMemory, AbsenceVolatile>;

/** Nobody but a sitter is there: what falls due meanwhile is told beforehand, and reminders rest. It commands nothing. */
export const absence: Machine<AbsenceMemory, AbsenceVolatile> = {
  key: ABSENCE,
  fresh: () => ({ durable: null, volatile: NOT_ASKED }),
  lost: () => null,
  // An older memory may know of an absence that is over: better reminded for nothing than not at all.
  afterRestart: ({ durable, volatile }, restart) => ({
    durable: restart.memory === "sound" ? absenceAfterRestart(durable, restart.offMs) : null,
    volatile,
  }),
  schema: () => storedAbsence,

  passTime(kept, { elapsed }) {
    const durable = followAbsence(kept.durable, elapsed.ms);
    return durable === kept.durable ? kept : { durable, volatile: kept.volatile };
  },

  request(kept, request, context) {
    if (request.kind === "absence") return answerAbsence(kept, request, context);
    if (request.kind === "end-absence") return answerEnd(kept);
    return null;
  },

  watch({ durable, volatile }, context) {
    const sinceMs = volatile.sinceMs + context.elapsed.ms;
    const isDue = sinceMs >= ASKED_EVERY_MS || context.image.requests.length > 0 || context.image.start !== null;
    return {
      kept: { durable, volatile: isDue ? askAnew(volatile, context) : { sinceMs, due: volatile.due } },
      urgent: durable === null && context.before(ABSENCE).durable !== null,
    };
  },

  show(draft, kept) {
    draft.absence = absenceStatus(kept);
  },
};

const ASKED_EVERY_MS = 60_000;
const NOT_ASKED: AbsenceVolatile = { sinceMs: ASKED_EVERY_MS, due: [] };

function answerAbsence(kept: Own, request: AbsenceRequest, context: ScanContext): OwnAnswer {
  const no = refuseAbsence(kept.durable, request);
  if (no !== null) return refuse(kept, no);
  const after = { durable: beginAbsence(request), volatile: kept.volatile };
  return accept(after, [ABSENCE_ANSWERS.noted(request), ...outlookSentences(request, context)].join(" "));
}

function outlookSentences({ fromH, toH }: AbsenceSpan, context: ScanContext): readonly string[] {
  const outlook = forecastAbsence(sortDues(everyDue(context)), { fromH, toH });
  const { verdict, asks } = describeOutlook(outlook, context.settings.units);
  return [verdict, ...asks];
}

const answerEnd = (kept: Own): OwnAnswer =>
  kept.durable === null
    ? refuse(kept, ABSENCE_ANSWERS.none)
    : accept({ durable: null, volatile: kept.volatile }, ABSENCE_ANSWERS.over);

/** The same list again where nothing in it is another: it is published as it is made. */
function askAnew({ due: before }: AbsenceVolatile, context: ScanContext): AbsenceVolatile {
  const due = sortDues(everyDue(context));
  return { sinceMs: 0, due: isSame(before, due) ? before : due };
}

const isSame = (before: readonly Due[], after: readonly Due[]): boolean =>
  JSON.stringify(before) === JSON.stringify(after);

function absenceStatus({ durable, volatile: { due } }: Own): AbsenceStatus {
  if (durable === null) return { state: "none", beginsInMs: 0, endsInMs: null, due };
  return {
    state: isLasting(durable) ? "lasting" : "planned",
    beginsInMs: durable.untilBeginMs,
    endsInMs: durable.untilTold ? null : durable.untilEndMs,
    due,
  };
}
