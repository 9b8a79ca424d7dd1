import {
  CALIBRATED,
  CALIBRATED_WORDS,
  type CalibrationStatus,
  PROOF_PARTS,
  PROOF_WORDS,
  type ProofStatus,
  type ProvingStatus,
} from "../../../shared/contract/index.ts";

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
  const lines = columns([["part", "state", "when", "by", "reading"], ...rows]);
  const missing = PROOF_PARTS.filter((part) => status.parts[part].standing === "not-fitted");
  if (missing.length > 0) lines.push("", `Not fitted: ${missing.map((part) => PROOF_WORDS[part]).join(", ")}.`);
  return [...lines, "", ...offLines(status)];
}

const STANDING_WORDS: Readonly<Record<ProofStatus["standing"], string>> = {
  "not-fitted": "not fitted",
  never: "never proven",
  fallen: "fallen: the settings changed",
  proven: "proven",
  due: "due again",
  overdue: "overdue",
};

const GATED = { "top-off": "Top-off stays off", heat: "The heater stays off" } as const;

function offLines({ parts, fallen }: ProvingStatus): string[] {
  const lines = (["top-off", "heat"] as const).flatMap((gate) => {
    const wanted = PROOF_PARTS.filter(
      (part) => parts[part].gates === gate && (parts[part].standing === "never" || parts[part].standing === "fallen"),
    );
    if (wanted.length === 0) return [];
    return [`${GATED[gate]} until these are proven: ${wanted.map((part) => PROOF_WORDS[part]).join(", ")}.`];
  });
  const why = fallen.map(({ part, why }) => `${capital(PROOF_WORDS[part])}: ${why}`);
  return [...(lines.length === 0 ? ["Nothing stays off for want of a proof."] : lines), ...why];
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

function readingWords({ reading }: ProofStatus): string {
  if (reading === null) return "";
  const decimals = reading.unit === "mL" || reading.unit === "s" ? 0 : 1;
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
export function calibrationLines({ inForce, entries }: CalibrationStatus, nowMs: number): string[] {
  const values = CALIBRATED.map((what) => {
    const { value, unit, number, ageMs } = inForce[what];
    const from = number === null ? "as in the settings" : `calibration ${number}`;
    return [CALIBRATED_WORDS[what], `${amount(value)} ${unit}`, from, whenWords(ageMs, nowMs)];
  });
  const kept = entries.map((entry) => [
    String(entry.number),
    CALIBRATED_WORDS[entry.what],
    `${amount(entry.before)} → ${amount(entry.after)} ${entry.unit}`,
    entry.standing.replace("-", " "),
    whenWords(entry.ageMs, nowMs),
    entry.by ?? "",
    [
      entry.lot === null ? "" : `lot ${entry.lot}`,
      entry.temperatureC === null ? "" : `${entry.temperatureC.toFixed(1)} °C`,
    ]
      .filter(Boolean)
      .join(", "),
  ]);
  const lines = columns([["what", "in force", "from", "since"], ...values]);
  if (kept.length === 0) return [...lines, "", "Nothing was calibrated yet."];
  return [...lines, "", ...columns([["no", "what", "before → after", "state", "when", "by", "with"], ...kept])];
}

/** As many digits as the quantity is worth. */
const amount = (value: number): string =>
  (Math.abs(value) >= 10 ? value.toFixed(1) : value.toFixed(3)).replace(/\.?0+$/, "");

function columns(rows: readonly (readonly string[])[]): string[] {
  const widths = (rows[0] ?? []).map((_, index) => Math.max(...rows.map((row) => row[index]?.length ?? 0)));
  return rows.map((row) =>
    row
      .map((cell, index) => cell.padEnd(widths[index] as number))
      .join("  ")
      .trimEnd(),
  );
}
