import {
  CALIBRATED,
  CALIBRATED_WORDS,
  type CalibrationEntry,
  type CalibrationStatus,
  capital,
  PROOF_PARTS,
  PROOF_WORDS,
  type ProofPart,
  type ProofStatus,
  type ProvingStatus,
  SECOND_HEATER_PROOFS,
  SESSION_WORDS,
} from "../../../shared/contract/index.ts";
import { alignColumns } from "../status/status.ts";

/** What is proven, when, by whom, with what reading; and what stays off and why. */
export function proofLines(status: ProvingStatus, nowMs: number): string[] {
  const fitted = PROOF_PARTS.filter((part) => status.parts[part].standing !== "not-fitted");
  const rows = fitted.map((part) => {
    const proof = status.parts[part];
    return [
      PROOF_WORDS[part],
      STANDING_WORDS[proof.standing],
      whenWords(proof.ageMs, nowMs),
      proof.by ?? "",
      readingWords(proof),
    ];
  });
  const lines = alignColumns([["part", "state", "when", "by", "reading"], ...rows]);
  const missing = PROOF_PARTS.filter(
    (part) => status.parts[part].standing === "not-fitted" && !NOBODY_MISSES.includes(part),
  );
  if (missing.length > 0) lines.push("", `Not fitted: ${missing.map((part) => PROOF_WORDS[part]).join(", ")}.`);
  return [...lines, "", ...offLines(status)];
}

const NOBODY_MISSES: readonly ProofPart[] = SECOND_HEATER_PROOFS;

const STANDING_WORDS: Readonly<Record<ProofStatus["standing"], string>> = {
  "not-fitted": "not fitted",
  never: "never proven",
  fallen: "fallen: the settings changed",
  proven: "proven",
  due: "due again",
  overdue: "overdue",
};

const GATED = {
  "top-off": "Top-off stays off",
  heat: "The heater stays off",
  "second-heat": "The second heater stays off",
} as const;

function offLines({ parts, fallen }: ProvingStatus): string[] {
  const lines = (Object.keys(GATED) as (keyof typeof GATED)[]).flatMap((gate) => {
    const wanted = PROOF_PARTS.filter(
      (part) => parts[part].gates === gate && (parts[part].standing === "never" || parts[part].standing === "fallen"),
    );
    if (wanted.length === 0) return [];
    return [`${GATED[gate]} until these are proven: ${wanted.map((part) => PROOF_WORDS[part]).join(", ")}.`];
  });
  const why = fallen.map(({ part, why }) => `${capital(PROOF_WORDS[part])}: ${why}`);
  return [...(lines.length === 0 ? ["Nothing stays off for want of a proof."] : lines), ...why];
}

function readingWords({ reading }: ProofStatus): string {
  if (reading === null) return "";
  const decimals = reading.unit === "mL/s" || reading.unit === "K" ? 1 : 0;
  return `${reading.value.toFixed(decimals)} ${reading.unit}`;
}

/** The day, and the time of a day that is today's. */
function whenWords(ageMs: number | null, nowMs: number): string {
  if (ageMs === null) return "";
  const at = new Date(nowMs - ageMs);
  const two = (number: number) => String(number).padStart(2, "0");
  const day = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
  return `${day} ${two(at.getHours())}:${two(at.getMinutes())}`;
}

/** What corrects each reading, and every calibration that is kept. */
export function calibrationLines({ inForce, session, entries }: CalibrationStatus, nowMs: number): string[] {
  const values = CALIBRATED.map((what) => {
    const { value, unit, number, ageMs } = inForce[what];
    const from = number === null ? "as in the settings" : `calibration ${number}`;
    return [CALIBRATED_WORDS[what], amount(value, unit), from, whenWords(ageMs, nowMs)];
  });
  const kept = entries.map((entry) => [
    String(entry.number),
    CALIBRATED_WORDS[entry.what],
    `${amount(entry.before, "")} → ${amount(entry.after, entry.unit)}`,
    KEPT_WORDS[entry.standing],
    whenWords(entry.ageMs, nowMs),
    entry.by ?? "",
    withWords(entry),
  ]);
  const lines = alignColumns([["what", "in force", "from", "since"], ...values]);
  if (kept.length === 0) lines.push("", "Nothing was calibrated yet.");
  else lines.push("", ...alignColumns([["no", "what", "before → after", "state", "when", "by", "with"], ...kept]));
  if (session !== null) lines.push("", `A session is open: ${SESSION_WORDS[session.session]}. It can be gone on with.`);
  return lines;
}

const KEPT_WORDS: Readonly<Record<CalibrationEntry["standing"], string>> = {
  "in-force": "in force",
  followed: "followed",
  undone: "undone",
  fallen: "fallen: the settings changed",
};

/** What it was made with: each standard by its name, lot and temperature. */
function withWords({ standards, lot, temperatureC }: CalibrationEntry): string {
  const made =
    standards.length > 0
      ? standards.map((each) => ({ ...each, name: each.standard }))
      : [{ name: "", lot, temperatureC }];
  return made
    .map((each) =>
      [
        each.name,
        each.lot === null ? "" : `lot ${each.lot}`,
        each.temperatureC === null ? "" : `${each.temperatureC.toFixed(1)} °C`,
      ]
        .filter(Boolean)
        .join(", "),
    )
    .join("; ");
}

/** As many digits as the quantity is worth. */
function amount(value: number, unit: string): string {
  const digits = (Math.abs(value) >= 10 ? value.toFixed(1) : value.toFixed(3)).replace(/\.?0+$/, "");
  return unit === "" ? digits : `${digits} ${unit}`;
}
