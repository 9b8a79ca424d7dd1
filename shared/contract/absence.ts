/** Nobody but a sitter is there for a while: what is told of it, and what will be wanted of a person meanwhile. */

/** `planned`: told, and not begun yet. */
export const ABSENCE_STATES = ["none", "planned", "lasting"] as const;

export interface AbsenceStatus {
  readonly state: (typeof ABSENCE_STATES)[number];
  /** 0 = it has begun, or there is none. */
  readonly beginsInMs: number;
  /** Null = it ends only when somebody says so, or there is none. */
  readonly endsInMs: number | null;
  /** Whatever will want a person, soonest first. Made anew once a minute, to a tenth of an hour. */
  readonly due: readonly Due[];
}

export const DUE_KINDS = ["lock", "reservoir", "measurement", "calibration", "proof", "cartridge"] as const;
export type DueKind = (typeof DUE_KINDS)[number];

/** One thing that runs out or falls due, told by the part that knows of it. */
export interface Due {
  readonly kind: DueKind;
  /** Which lock, probe or proof, in words; null = there is only one of its kind. */
  readonly of: string | null;
  /** Hours from now, 0 = it is already; null = nobody can tell. */
  readonly inH: number | null;
  /** The same with all doubt against us: what an answer beforehand goes by. */
  readonly earliestH: number | null;
  /** Done anew, it lasts at least so many hours; null = for as long as anybody is away. */
  readonly renewedH: number | null;
  /** Of the reservoir: litres left, null = never told; and in a full one. */
  readonly litres?: { readonly left: number | null; readonly full: number };
}

export interface AbsenceSpan {
  /** Hours from now. */
  readonly fromH: number;
  readonly toH: number;
}

/** `before` it begins, `within` it, `after` its end; `unknown`: nobody can tell when. */
export type DueWhen = "before" | "within" | "after" | "unknown";

/**
 * What to do now so that it does not: `nothing`; `before-leaving`: done anew on the day of leaving it lasts; `sitter`: that,
 * and a sitter does it again; `stays-due`: that, and it falls due all the same, and waits.
 */
export type Remedy = "nothing" | "before-leaving" | "sitter" | "stays-due";

export interface OutlookRow {
  readonly due: Due;
  readonly when: DueWhen;
  readonly remedy: Remedy;
}

export interface Outlook extends AbsenceSpan {
  /** The gravest remedy of all rows. */
  readonly verdict: Remedy;
  /** What wants something first, soonest first; then the rest. */
  readonly rows: readonly OutlookRow[];
}

/** The answer beforehand, part by part. */
export function forecastAbsence(dues: readonly Due[], span: AbsenceSpan): Outlook {
  const rows = dues.map((due): OutlookRow => {
    const when = placeDue(due, span);
    return { due, when, remedy: when === "after" ? "nothing" : chooseRemedy(due, span) };
  });
  const asking = rows.filter(({ remedy }) => remedy !== "nothing");
  const verdict = GRAVEST_FIRST.find((remedy) => rows.some((row) => row.remedy === remedy)) ?? "nothing";
  return { ...span, verdict, rows: [...asking, ...rows.filter(({ remedy }) => remedy === "nothing")] };
}

const GRAVEST_FIRST: readonly Remedy[] = ["sitter", "stays-due", "before-leaving", "nothing"];

function placeDue({ earliestH }: Due, { fromH, toH }: AbsenceSpan): DueWhen {
  if (earliestH === null) return "unknown";
  if (earliestH < fromH) return "before";
  return earliestH < toH ? "within" : "after";
}

/** A sitter can carry water and dip a meter; what hangs on hands in the tank or on standards waits for the keeper. */
const BY_SITTER: readonly DueKind[] = ["reservoir", "measurement"];

function chooseRemedy({ kind, renewedH }: Due, { fromH, toH }: AbsenceSpan): Remedy {
  if (renewedH === null || renewedH >= toH - fromH) return "before-leaving";
  return BY_SITTER.includes(kind) ? "sitter" : "stays-due";
}

/** Soonest first; what nobody can tell comes last. */
export const sortDues = (dues: readonly Due[]): readonly Due[] =>
  [...dues].sort((one, other) => (one.earliestH ?? NEVER_H) - (other.earliestH ?? NEVER_H));

const NEVER_H = 1e9;

/** To a tenth of an hour, and never below now: finer changes nothing and would be told anew all the time. */
export const dueHours = (hours: number): number => Math.round(Math.max(0, hours) * 10) / 10;
